"""XML files read without trust: bounded in size, no network, no entity, one message a fault."""

import codecs
import re
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.file_kinds import kind_by_content
from terrain_fuel.regular_file import read_regular

DEFAULT_MAX_BYTES = 64_000_000
"""About 700,000 points: far more than any day's ride."""

ROOTS = ("gpx", "TrainingCenterDatabase", "kml")
"""The outermost elements of the formats that are XML: GPX, TCX and KML."""

FORMATS = "GPX, TCX, FIT, KML or GeoJSON"
"""What is read, for messages."""


class Asked(NamedTuple):
    """What a file should be, how that may be written, and what a page says of one that is not."""

    noun: str
    formats: str
    refused: Fact


ROUTE = Asked("route", FORMATS, fact("refused_no_route"))

_ANY_ROOT = "|".join(ROOTS)
_ROOT = re.compile(rf"<(?:[\w.-]+:)?(?:{_ANY_ROOT})[\s>/]".encode())
_END = re.compile(rf"</(?:[\w.-]+:)?(?:{_ANY_ROOT})\s*>".encode())
_HTML = re.compile(rb"<!doctype\s+html|<html[\s>]")
_ENCODING = re.compile(rb"""<\?xml[^>]*?encoding\s*=\s*["']([\w.-]+)["'][^>]*\?>""")
_SNIFFED_BYTES = 65_536

LARGE_BYTES, PIECE_BYTES = 1_000_000, 262_144
"""From the one on a file is read in pieces of the other."""

_OPTIONS: dict[str, Any] = {
    "resolve_entities": False, "no_network": True, "load_dtd": False, "dtd_validation": False,
    "attribute_defaults": False, "remove_comments": True, "remove_pis": True, "collect_ids": False,
}  # fmt: skip

_NO_ENCODINGS = frozenset(("punycode", "idna", "undefined", "unicode-escape", "raw-unicode-escape"))
"""Names (as Python has them) of what it decodes too, but no file is written in."""


def read_bytes(path: Path, max_bytes: int, asked: Asked = ROUTE) -> bytes:
    """Return what a file holds, its size checked before a byte is read.

    Raises
    ------
    TrackError
        If there is no such file, or it is empty, too large, or cannot be read.
    """
    thinner = "thin out its points, or allow it with --largest-mb"
    data = read_regular(path, max_bytes, TrackError, f"the file of the {asked.noun}", thinner)
    if not data.strip(b"\0\t\n\r \xef\xbb\xbf"):
        raise TrackError(
            f"{path.name}: the file is empty; export the {asked.noun} again", fact("refused_empty")
        )
    return data


def is_route_xml(data: bytes) -> bool:
    """Return True for what has the outermost element of one of the formats near its beginning."""
    return _ROOT.search(data[:_SNIFFED_BYTES].replace(b"\0", b"")) is not None


class Taker(Protocol):
    """Takes out of a tree what is complete, so that large files never stand in memory whole."""

    def take(self, root: etree._Element) -> None:
        """Take out of the tree so far what is complete."""

    def forget(self) -> None:
        """Forget all that was taken: the file is read once more, another way."""


def parse_xml(data: bytes, source: str, taker: Taker | None = None, asked: Asked = ROUTE) -> etree._Element:
    """Return the root element of a GPX, TCX or KML file.

    Parameters
    ----------
    data : what the file holds, in any encoding XML knows
    source : the file's name, for messages
    taker : is shown the tree of a large file as it grows
    asked : what it should be, for messages

    Raises
    ------
    TrackError
        If it is a web page, not XML, cut off, another kind of XML, or declares a document type: none
        of the formats has one, and entities declared there are how small files grow without end.
    """
    head = data[:_SNIFFED_BYTES].replace(b"\0", b"")  # UTF-16 and UTF-32 read as ASCII
    found = _ROOT.search(head)
    prolog = head[: found.start()] if found else head
    if found is None and _HTML.search(head.lower()):
        raise TrackError(
            f"{source}: is a web page (HTML), not a {asked.noun}; download the {asked.noun} itself, not the"
            " page about it",
            asked.refused,
        )
    if b"<!DOCTYPE" in prolog or b"<!ENTITY" in prolog:
        raise _doctype_refused(source, asked)
    root = _root(data, source, taker, asked)
    if root.getroottree().docinfo.internalDTD is not None:
        raise _doctype_refused(source, asked)
    _, kind = split_tag(root)
    if kind not in ROOTS:
        raise TrackError(f"{source}: is a <{kind[:40]}> file; {_wanted(asked)}", asked.refused)
    return root


def split_tag(element: etree._Element) -> tuple[str, str]:
    """Return an element's namespace, "" without one, and its local name.

    What is declared as a namespace may hold braces, for which lxml has no notation: it counts as none.
    """
    space, _, name = str(element.tag).rpartition("}")
    space = space.removeprefix("{")
    return ("" if "{" in space or "}" in space else space), name


def _root(data: bytes, source: str, taker: Taker | None, asked: Asked) -> etree._Element:
    marked = data.startswith(codecs.BOM_UTF8)
    data = data.removeprefix(codecs.BOM_UTF8).lstrip(b"\t\n\r ")  # an empty line before it is no harm
    try:
        return _parsed(data, taker)
    except (etree.XMLSyntaxError, ValueError) as error:
        fault: Exception = error
    decoded = _decoded(data, marked)
    if decoded is not None:
        try:
            return _parsed(decoded, taker)
        except (etree.XMLSyntaxError, ValueError) as error:
            fault = error
    raise TrackError(_fault(data, fault, source, asked), asked.refused)


def _parsed(data: bytes, taker: Taker | None) -> etree._Element:
    grown = _grown(data, taker)
    return _lenient_parse(data) if grown is None else grown


def _grown(data: bytes, taker: Taker | None) -> etree._Element | None:
    """Return the root of a large file read in pieces; None for a small one and for one that is at fault."""
    if taker is None or len(data) < LARGE_BYTES:
        return None
    parser = etree.XMLPullParser(("start",), tag=[f"{{*}}{root}" for root in ROOTS], **_OPTIONS)
    root: etree._Element | None = None
    try:
        for first in range(0, len(data), PIECE_BYTES):
            parser.feed(data[first : first + PIECE_BYTES])
            root = root if root is not None else _begun(parser)
            if root is not None:
                taker.take(root)
        return parser.close()
    except etree.XMLSyntaxError:
        taker.forget()
        return None


def _begun(parser: etree.XMLPullParser) -> etree._Element | None:
    """Return the outermost element once it has begun."""
    for _, element in parser.read_events():
        if isinstance(element, etree._Element):
            return element
    return None


def _lenient_parse(data: bytes) -> etree._Element:
    """Return the root of a file; prefixes that it forgets to declare are no reason to refuse it."""
    parser = _parser(recover=False)
    try:
        return etree.fromstring(data, parser)
    except etree.XMLSyntaxError:
        if any(entry.domain_name != "NAMESPACE" for entry in parser.error_log):
            raise
    root = etree.fromstring(data, _parser(recover=True))
    for element in root.iter():
        if isinstance(element.tag, str) and ":" in element.tag and not element.tag.startswith("{"):
            element.tag = f"{{undeclared}}{element.tag.rpartition(':')[2]}"
    return root


def _parser(recover: bool) -> etree.XMLParser:
    return etree.XMLParser(recover=recover, **_OPTIONS)


def _decoded(data: bytes, is_utf8: bool) -> bytes | None:
    """Return the file as UTF-8 if what it declares is untrue, or known to Python only."""
    declared = _ENCODING.match(data)
    if declared is None:
        return None
    name = declared.group(1).decode("ascii")
    if is_utf8 or name.lower().startswith(("utf-16", "utf-32")):  # whose declaration could not be read here
        name = "utf-8"
    try:
        if codecs.lookup(name).name in _NO_ENCODINGS:
            return None
        return data[declared.end() :].decode(name).encode("utf-8")
    except (LookupError, UnicodeError):
        return None


def _fault(data: bytes, error: Exception, source: str, asked: Asked) -> str:
    line = getattr(error, "lineno", None) or 1
    detail = re.sub(r"\s+", " ", getattr(error, "msg", None) or "text that XML does not allow")
    detail = re.sub(r"^xml\w+: |,? \(<string>.*|, line \d+, column \d+.*", "", detail)[:120]
    if "entit" in detail.lower() and ("loop" in detail.lower() or "amplification" in detail.lower()):
        return str(_doctype_refused(source, asked))
    if not data[:_SNIFFED_BYTES].replace(b"\0", b"").lstrip(b"\xff\xfe\t\n\r ").startswith(b"<"):
        found = kind_by_content(data)
        said = f"is no {asked.noun}" if found is None else f"is {found.called}, not a {asked.noun}"
        return f"{source}: {said}; {_wanted(asked)}"
    opened = _ROOT.search(data[:_SNIFFED_BYTES].replace(b"\0", b""))
    if opened is None:
        return f"{source}: is XML, but no {asked.noun}; {_wanted(asked)}"
    if not _END.search(data[-_SNIFFED_BYTES:].replace(b"\0", b"")):
        kind = opened.group().strip(b"<>/ \t\r\n").decode("ascii", "replace")
        return (
            f"{source}: is cut off: it ends at line {data.count(10) + 1} without </{kind}>; download or"
            " export it again"
        )
    return f"{source}: line {line} is not well-formed XML ({detail}); export the {asked.noun} again"


def _wanted(asked: Asked) -> str:
    """Return what is allowed, and what to do."""
    return f"a {asked.noun} is {asked.formats}; export the {asked.noun} as {asked.formats.split(',')[0]}"


def _doctype_refused(source: str, asked: Asked) -> TrackError:
    return TrackError(
        f"{source}: declares a document type or entities; {asked.noun}s have none and they are never"
        f" expanded; remove the <!DOCTYPE ...> part or export the {asked.noun} again",
        asked.refused,
    )
