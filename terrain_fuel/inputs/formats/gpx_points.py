"""The points of a GPX file: texts first, all at once, then numbers that are possible."""

import math
import re
from dataclasses import dataclass, field
from datetime import UTC, datetime

import numpy as np
from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.xml_file import split_tag
from terrain_fuel.text import plain_text

VOID_M = (-32768.0, -9999.0)
"""What programs write for a height they do not know."""

LOWEST_M, HIGHEST_M = -500.0, 9000.0
"""No road lies outside: the shore of the Dead Sea is near -430 m, the highest peak 8849 m."""

_COMMA = re.compile(r"[+-]?\d{1,40},\d{1,40}")

_POWER = ("{*}power", "{*}PowerInWatts")

Texts = list[str | float | None]
"""Texts of a file, or numbers where its format has them; None where it says nothing."""


@dataclass(slots=True)
class PointTexts:
    """What the file says of each point, None where it says nothing.

    A piece is a segment, or a route, with at least one point: the index of its first point,
    and which track of the file it belongs to, from 1. Tracks without a point are not counted.
    """

    lat: Texts = field(default_factory=list)
    lon: Texts = field(default_factory=list)
    elevation: Texts = field(default_factory=list)
    time: Texts = field(default_factory=list)
    power: Texts = field(default_factory=list)
    piece_starts: list[int] = field(default_factory=list)
    piece_tracks: list[int] = field(default_factory=list)
    track_names: list[str] = field(default_factory=list)


class PointTaker:
    """Takes the texts of the points out of a file's tree, also while it grows.

    As elements the points of a long ride would fill the memory: who reads a large file calls `take` now and
    then with the tree so far, and what is complete is taken out of it. `texts` gives what was found.
    """

    def __init__(self) -> None:
        self.forget()

    def forget(self) -> None:
        """Begin anew: the file will be read another way."""
        self._texts = PointTexts()
        self._tracks: dict[etree._Element | None, int] = {}
        self._holder = ""
        self._space = ""
        self._last: etree._Element | None = None

    def take(self, root: etree._Element) -> None:
        """Take out the segments that are complete, and of the last all but its last point: it may grow."""
        segments = list(root.iter("{*}trkseg"))
        if not segments or not self._begun(root, "trkpt", ("trkseg", "trk")) or self._holder != "trkseg":
            return
        for segment in segments[:-1]:
            self._add(segment, "trkpt")
            segment.getparent().remove(segment)  # type: ignore[union-attr]  # it lies within the root
        growing = next(segments[-1].iterchildren(reversed=True), None)
        if growing is not None and growing.tag == f"{self._space}trkpt":
            self._add(segments[-1], "trkpt", growing)
            del segments[-1][:-1]

    def texts(self, root: etree._Element) -> PointTexts:
        """Return the texts of the points of all tracks, or else of all routes, once the tree is whole."""
        for point, holders in (("trkpt", ("trkseg", "trk")), ("rtept", ("rte",))):
            if self._begun(root, point, holders):
                for holder in root.iter(f"{{*}}{self._holder}"):
                    self._add(holder, point)
                break
        self._texts.track_names = [
            "" if track is None else plain_text(track.findtext("{*}name")) for track in self._tracks
        ]
        return self._texts

    def _begun(self, root: etree._Element, point: str, holders: tuple[str, ...]) -> bool:
        """Tell whether a point has come; the first tells the namespace of all and what they are held by."""
        if self._holder:
            return True
        first = next(root.iter(f"{{*}}{point}"), None)
        if first is None:
            return False
        (space, _), parent = split_tag(first), first.getparent()
        named = "" if parent is None else split_tag(parent)[1]
        self._holder, self._space = named if named in holders else holders[0], f"{{{space}}}" if space else ""
        return True

    def _add(self, holder: etree._Element, point: str, until: etree._Element | None = None) -> None:
        """Add the texts of a holder's points, of those before one if it is named."""
        start = len(self._texts.lat)
        _add_points(self._texts, holder, self._space, point, until)
        if len(self._texts.lat) > start and holder is not self._last:
            self._last = holder
            track = holder.getparent() if self._holder == "trkseg" else holder
            self._texts.piece_starts.append(start)
            self._texts.piece_tracks.append(self._tracks.setdefault(track, len(self._tracks) + 1))


def _add_points(
    texts: PointTexts, holder: etree._Element, space: str, point: str, until: etree._Element | None
) -> None:
    point, ele, time = space + point, space + "ele", space + "time"
    start = len(texts.lat)
    for element in holder.iter(point, ele, time, *_POWER):
        tag = element.tag
        if tag == point:
            if element is until:
                break
            texts.lat.append(element.get("lat"))
            texts.lon.append(element.get("lon"))
            texts.elevation.append(None)
            texts.time.append(None)
            texts.power.append(None)
        elif len(texts.lat) == start:  # not inside a point
            continue
        elif tag == ele:
            texts.elevation[-1] = element.text
        elif tag == time:
            texts.time[-1] = element.text
        else:
            texts.power[-1] = element.text
    texts.lat[start:] = _as_numbers(texts.lat[start:], -90.0, 90.0)
    texts.lon[start:] = _as_numbers(texts.lon[start:], -180.0, 180.0)
    texts.elevation[start:] = _as_numbers(texts.elevation[start:], LOWEST_M, HIGHEST_M)


def _as_numbers(texts: Texts, least: float, most: float) -> Texts:
    """Return texts as numbers, a third of the memory, if all of them are possible ones; else as they are."""
    values = _plain_numbers(texts, least, most)
    return texts if values is None else values.tolist()


def degrees(texts: Texts, what: str, most: float, source: str) -> FloatArray:
    """Return latitudes or longitudes [degrees], each within +-``most``, shape (n,).

    Raises
    ------
    TrackError
        Naming the first point where the value is missing, no number, or out of range.
    """
    try:
        values = np.array([float(text) for text in texts])  # type: ignore[arg-type]
        wrong = np.flatnonzero(~(np.abs(values) <= most))
    except (TypeError, ValueError):
        wrong = np.array([next(i for i, text in enumerate(texts) if number(text) is None)])
    if wrong.size:
        i = int(wrong[0])
        raise TrackError(
            f"{source}: point {i + 1} has {what} {shown(texts[i])}; allowed is {-most:g} to {most:g} degrees;"
            f" {comma_hint(texts[i]) or 'correct or delete the point'}",
            _refused(i, texts[i]),
        )
    return values


def heights(texts: Texts, source: str) -> FloatArray:
    """Return heights [m], NaN where none or a void mark is given, shape (n,).

    Raises
    ------
    TrackError
        Naming the first point with a height that no road has.
    """
    plain = _plain_numbers(texts, LOWEST_M, HIGHEST_M)
    if plain is not None:
        return plain
    values = np.full(len(texts), np.nan)
    for i, text in enumerate(texts):
        if text is None or text == "" or (isinstance(text, str) and not text.strip()):
            continue
        height = number(text)
        if height in VOID_M:
            continue
        if height is None or not LOWEST_M <= height <= HIGHEST_M:
            advice = "correct it, or take the heights out and give a folder of elevation tiles"
            raise TrackError(
                f"{source}: point {i + 1} has height {shown(text)}; allowed is {LOWEST_M:g} to"
                f" {HIGHEST_M:g} m; {comma_hint(text) or advice}",
                _refused(i, text),
            )
        values[i] = height
    return values


def _plain_numbers(texts: Texts, least: float, most: float) -> FloatArray | None:
    """Return the numbers, read at once, of points that all have a possible one; else None."""
    if not set(map(type, texts)) <= {str, float, int}:
        return None
    try:
        values = np.array([float(text) for text in texts])  # type: ignore[arg-type]
    except ValueError:
        return None
    return values if np.all((values >= least) & (values <= most)) else None


def times(texts: Texts) -> FloatArray | None:
    """Return seconds since the first known time [s], NaN where unreadable; None without any."""
    if not any(texts):
        return None
    stamps = np.array([_seconds(text) for text in texts])
    known = stamps[~np.isnan(stamps)]
    return stamps - known[0] if known.size else None


def _seconds(text: str | float | None) -> float:
    """Return an ISO 8601 time as seconds since 1970 [s], NaN if it is none; without offset it is UTC."""
    if not isinstance(text, str):
        return math.nan
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        return math.nan
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def powers(texts: Texts) -> FloatArray | None:
    """Return power [W], NaN where none is given; None without any."""
    if not any(texts):
        return None
    values = [number(text) for text in texts]
    if all(value is None for value in values):
        return None
    return np.array([math.nan if value is None or value < 0 else value for value in values])


def number(text: str | float | None) -> float | None:
    """Return the finite number a text gives, None if it gives none."""
    if text is None or isinstance(text, bool):
        return None
    try:
        value = float(text)
    except (ValueError, OverflowError):
        return None
    return value if math.isfinite(value) else None


def _refused(index: int, text: str | float | None) -> Fact:
    """Return what a page says of a point that cannot be."""
    if comma_hint(text):
        return fact("refused_comma", number=index + 1, value=quoted(text))
    return fact("refused_point", number=index + 1, value=quoted(text))


def comma_hint(text: str | float | None) -> str:
    """Return what to do about a number with a decimal comma, which looks like one; nothing for any other."""
    if not isinstance(text, str) or not _COMMA.fullmatch(text.strip()):
        return ""
    point = text.strip().replace(",", ".")
    return f"numbers of a route file have a decimal point ({point}): export the route again with one"


def quoted(text: str | float | None) -> str:
    """Return a value of the file as a page shows it."""
    return "?" if text is None else plain_text(str(text), 40)


def shown(text: str | float | None) -> str:
    """Return a value of the file as a message shows it."""
    return "missing" if text is None else repr(str(text).strip()[:40])
