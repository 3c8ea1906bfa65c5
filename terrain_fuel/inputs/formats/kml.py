"""KML files as bare columns: every line of every placemark."""

import re
from collections.abc import Iterator

from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.formats.gpx_points import Texts, degrees, heights, number, times
from terrain_fuel.inputs.formats.raw_route import RawRoute, RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import refuse_too_many, waypoint_place
from terrain_fuel.text import plain_text

_LINES = ("{*}LineString", "{*}Track")

PARTS = 3
"""More numbers are decimal commas or places without a blank between: which is which cannot be known."""

Tuple3 = tuple[str | None, str | None, str | None]


def kml_route(root: etree._Element, source: str) -> RawRoute:
    """Return the lines and points of a KML file [KML22]_.

    Parameters
    ----------
    root : the file's outermost element
    source : the file's name, for messages

    Returns
    -------
    RawRoute
        A placemark with lines (or recorded tracks) is a track, one with a point a waypoint; areas are
        counted, models left aside. Heights above the ground are no heights; neither are those of a line that
        are all 0, which is how lines without heights are written.

    Raises
    ------
    TrackError
        If a point has a position or height that is impossible.
    """
    points: list[Tuple3] = []
    time: Texts = []
    starts: list[int] = []
    tracks: list[int] = []
    names: list[str] = []
    for mark in root.iter("{*}Placemark"):
        before = len(points)
        for line in mark.iter(*_LINES):
            read = list(_line_points(line, source))
            if read:
                starts.append(len(points))
                tracks.append(len(names) + 1)
                points += _with_true_heights(line, read)
                time += _whens(line, len(read))
        if len(points) > before:
            names.append(plain_text(mark.findtext("{*}name")))
    waypoints = tuple(_waypoints(root, source))
    refuse_too_many(len(waypoints), source)
    return RawRoute(
        name=names[0] if len(names) == 1 and names[0] else plain_text(root.findtext("{*}Document/{*}name")),
        source=source,
        lat_deg=degrees([point[1] for point in points], "latitude", 90.0, source),
        lon_deg=degrees([point[0] for point in points], "longitude", 180.0, source),
        elevation_m=heights([point[2] for point in points], source),
        time_s=times(time),
        waypoints=waypoints,
        piece_starts=tuple(starts),
        piece_tracks=tuple(tracks),
        track_names=tuple(names),
        areas=sum(_is_area(ring) for ring in root.iter("{*}LinearRing")),
    )


def _is_area(ring: etree._Element) -> bool:
    """Return True for a ring that stands alone or around an area, not around a hole in one."""
    around = ring.getparent()
    return around is None or etree.QName(around).localname != "innerBoundaryIs"


def _line_points(line: etree._Element, source: str) -> Iterator[Tuple3]:
    """Yield (longitude, latitude, height) as texts."""
    text = line.findtext("{*}coordinates")
    if text is not None:
        yield from _coordinates(text, source)
    for element in line.iterfind("{*}coord"):
        lon, lat, height, *_ = [*(element.text or "").split(), None, None, None]
        yield lon, lat, height


def _coordinates(text: str, source: str) -> Iterator[Tuple3]:
    """Yield the triples of a text; a blank after a comma is no harm, nor is a comma at the end."""
    for group in re.sub(r"[ \t]*,[ \t]*", ",", text).split():
        parts = group.rstrip(",").split(",")
        if len(parts) > PARTS:
            raise TrackError(
                f"{source}: the place {group[:60]!r} has {len(parts)} numbers; allowed are longitude,"
                " latitude and height, with decimal points, and a blank before the next place; export the"
                " route again",
                fact("refused_no_place", value=plain_text(group[:60])),
            )
        lon, lat, height, *_ = [*parts, None, None, None]
        yield lon, lat, height


def _with_true_heights(line: etree._Element, points: list[Tuple3]) -> list[Tuple3]:
    mode = line.findtext("{*}altitudeMode") or ""
    if "relative" not in mode and any(number(height) for _, _, height in points):
        return points
    return [(lon, lat, None) for lon, lat, _ in points]


def _whens(line: etree._Element, count: int) -> Texts:
    """Return the times of a recorded track, None for each point of a line."""
    whens: Texts = [element.text for element in line.iterfind("{*}when")]
    return whens if len(whens) == count else [None] * count


def _waypoints(root: etree._Element, source: str) -> Iterator[RawWaypoint]:
    for i, mark in enumerate(root.iter("{*}Placemark")):
        for point in mark.iter("{*}Point"):
            name = plain_text(mark.findtext("{*}name"))
            lon, lat, _ = next(
                _coordinates(point.findtext("{*}coordinates") or "", source), (None, None, None)
            )
            place = waypoint_place(lat, lon, name or str(i + 1), source)
            yield RawWaypoint(name, *place, comment=plain_text(mark.findtext("{*}description")))
