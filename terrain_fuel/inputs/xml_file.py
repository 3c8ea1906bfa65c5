"""XML files read without trust: bounded in size, no network, no entity, one message a fault."""

import re
from pathlib import Path

from lxml import etree

from terrain_fuel.errors import TrackError

DEFAULT_MAX_BYTES = 64_000_000
"""About 700,000 points: far more than any day's ride."""

_ROOT = re.compile(rb"<(?:[\w.-]+:)?gpx[\s>/]")
_HTML = re.compile(rb"<!doctype\s+html|<html[\s>]")
_ENCODING = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["']([\w.-]+)["'][^>]*\?>""")
_SNIFFED_BYTES = 65_536


def read_bytes(path: Path, max_bytes: int) -> bytes:
    """Return what a file holds, its size checked before a byte is read.

    Raises
    ------
    TrackError
        If there is no such file, or it is empty, too large, or cannot be read.
    """
    try:
        if not path.exists():
            raise TrackError(f"{path}: there is no such file; check its name and its folder")
        if not path.is_file():
            raise TrackError(f"{path}: is not a file; give the GPX file of the route")
        size = path.stat().st_size
        if size > max_bytes:
            raise TrackError(
                f"{path.name}: the file has {size / 1e6:.1f} MB; allowed are {max_bytes / 1e6:g} MB;"
                " thin out its points, or allow it with --largest-mb"
            )
        data = path.read_bytes()
    except OSError as error:
        raise TrackError(f"{path}: cannot be read ({error.strerror}); check that you may open it") from None
    if not data.strip(b"\0\t\n\r \xef\xbb\xbf"):
        raise TrackError(f"{path.name}: the file is empty; export the route again")
    return data


def parse_gpx(data: bytes, source: str) -> etree._Element:
    """Return the root element of a GPX file.

    Parameters
    ----------
    data : what the file holds, in any encoding XML knows
    source : the file's name, for messages

    Raises
    ------
    TrackError
        If it is a web page, not XML, cut off, not GPX, or declares a document type: GPX has none,
        and entities declared there are how small files grow without end.
    """
    head = data[:_SNIFFED_BYTES].replace(b"\0", b"")  # UTF-16 and UTF-32 read as ASCII
    found = _ROOT.search(head)
    prolog = head[: found.start()] if found else head
    if found is None and _HTML.search(head.lower()):
        raise TrackError(
            f"{source}: is a web page (HTML), not a GPX file;"
            " download the route itself, not the page about it"
        )
    if b"<!DOCTYPE" in prolog or b"<!ENTITY" in prolog:
        raise _doctype_refused(source)
    root = _root(data, source)
    if root.getroottree().docinfo.internalDTD is not None:
        raise _doctype_refused(source)
    kind = etree.QName(root).localname
    if kind != "gpx":
        raise TrackError(
            f"{source}: is a <{kind[:40]}> file; a <gpx> file is needed; export the route as GPX"
        )
    return root


def _root(data: bytes, source: str) -> etree._Element:
    try:
        return _strict_parse(data)
    except (etree.XMLSyntaxError, ValueError) as error:
        fault = error
    decoded = _decoded(data)
    if decoded is not None:
        try:
            return _strict_parse(decoded)
        except (etree.XMLSyntaxError, ValueError) as error:
            fault = error
    raise TrackError(_fault(data, fault, source))


def _strict_parse(data: bytes) -> etree._Element:
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, dtd_validation=False,
        attribute_defaults=False, remove_comments=True, remove_pis=True, collect_ids=False,
    )  # fmt: skip
    return etree.fromstring(data, parser)


def _decoded(data: bytes) -> bytes | None:
    """Return the file as UTF-8 if its declared encoding is one that only Python knows."""
    declared = _ENCODING.match(data)
    if declared is None:
        return None
    try:
        text = data[declared.end() :].decode(declared.group(1).decode("ascii"))
    except (LookupError, UnicodeDecodeError):
        return None
    return text.encode("utf-8")


def _fault(data: bytes, error: Exception, source: str) -> str:
    line = getattr(error, "lineno", None) or 1
    detail = re.sub(r"\s+", " ", str(error))[:120]
    if "entit" in detail.lower() and ("loop" in detail.lower() or "amplification" in detail.lower()):
        return str(_doctype_refused(source))
    if "<" not in data[:_SNIFFED_BYTES].replace(b"\0", b"").decode("latin-1"):
        return f"{source}: is not XML; a GPX file is needed; export the route as GPX"
    if not re.search(rb"</(?:[\w.-]+:)?gpx\s*>", data[-_SNIFFED_BYTES:].replace(b"\0", b"")):
        return (
            f"{source}: is cut off or not GPX: it ends at line {data.count(10) + 1} without </gpx>;"
            " download or export it again"
        )
    return f"{source}: line {line} is not well-formed XML ({detail}); export the route again"


def _doctype_refused(source: str) -> TrackError:
    return TrackError(
        f"{source}: declares a document type or entities; GPX has none and they are never expanded;"
        " remove the <!DOCTYPE ...> part or export the route again"
    )
