"""What a file is by what it begins with, for the message of whoever wanted another one."""

import re
from pathlib import Path
from typing import NamedTuple

SNIFFED_BYTES = 65_536
"""A file is known by so much of it, or not at all."""


class Kind(NamedTuple):
    """What a file seems to be, as a message has it; a route can be planned."""

    called: str
    is_route: bool = False


GPX = Kind("a route (GPX)", is_route=True)
PLAN = Kind("a plan (plan.json)")
SETTINGS = Kind("a settings file (TOML)")
DATABASE = Kind("a database (SQLite)")
EXTRACT = Kind("an extract of the map (.osm.pbf)")

# signatures as the formats define them, from memory
_BEGINS = {
    b"%PDF": Kind("a PDF"),
    b"\x89PNG": Kind("a picture (PNG)"),
    b"\xff\xd8\xff": Kind("a picture (JPEG)"),
    b"GIF8": Kind("a picture (GIF)"),
    b"PK\x03\x04": Kind("an archive or an office document (zip)"),
    b"\x1f\x8b": Kind("an archive (gzip)"),
    b"SQLite format 3\0": DATABASE,
    b"BEGIN:VCALENDAR": Kind("a calendar"),
}
_HOLDS = {
    re.compile(rb".{8}\.FIT", re.DOTALL): Kind("a FIT file", is_route=True),
    re.compile(rb".{4}\n.OSMHeader", re.DOTALL): EXTRACT,
    re.compile(rb"RIFF.{4}WEBP", re.DOTALL): Kind("a picture (WebP)"),
    re.compile(rb".{4}ftyp(?:heic|heix|mif1|avif)", re.DOTALL): Kind("a picture (HEIF)"),
}
_ELEMENTS = {
    b"gpx": GPX,
    b"TrainingCenterDatabase": Kind("a route or a recording (TCX)", is_route=True),
    b"kml": Kind("a route (KML)", is_route=True),
    b"html": Kind("a web page (HTML)"),
    b"svg": Kind("a picture (SVG)"),
}
_FIRST_ELEMENT = re.compile(rb"<(?:[\w.-]+:)?([A-Za-z][\w.-]*)")
_PLAN = re.compile(rb'"format"\s*:\s*"terrain-fuel plan"')
_GEOJSON = re.compile(rb'"type"\s*:\s*"Feature(?:Collection)?"')
_FIRST_TABLE = re.compile(rb"(?:[ \t\r]*(?:#[^\n]*)?\n)*[ \t]*\[\[?[a-z_]+\]\]?[ \t]*(?:#[^\n]*)?[\r\n]")


def kind_by_content(data: bytes) -> Kind | None:
    """Return what a file seems to be, None for what is not known.

    Parameters
    ----------
    data : what the file holds, or its first `SNIFFED_BYTES`
    """
    head = data[:SNIFFED_BYTES]
    for begins, kind in _BEGINS.items():
        if head.startswith(begins):
            return kind
    for holds, kind in _HOLDS.items():
        if holds.match(head):
            return kind
    text = head.lstrip(b"\xef\xbb\xbf\xfe\xff \t\r\n").replace(b"\0", b"")
    if text.startswith(b"<"):
        element = _FIRST_ELEMENT.search(text)
        return _ELEMENTS.get(element[1]) if element else None
    if text.startswith(b"{"):
        if _PLAN.search(text):
            return PLAN
        return Kind("a route (GeoJSON)", is_route=True) if _GEOJSON.search(text) else None
    return SETTINGS if _FIRST_TABLE.match(text) else None


def other_kind(held: bytes | Path, wanted: Kind) -> Kind | None:
    """Return what a file seems to be where that is known and another kind than what is wanted.

    Parameters
    ----------
    held : what the file holds, or where it lies; of what cannot be read, or is no file, nothing is known
    wanted : what it should be
    """
    kind = kind_by_content(held if isinstance(held, bytes) else _begin_of(held))
    return None if kind is wanted else kind


def _begin_of(path: Path) -> bytes:
    try:
        if not path.is_file():
            return b""
        with path.open("rb") as file:
            return file.read(SNIFFED_BYTES)
    except (OSError, ValueError):
        return b""
