"""A route file of any format that riders have, told by what it holds: its points and its waypoints."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.file_kinds import PLAN, kind_by_content
from terrain_fuel.inputs.fit_file import is_fit
from terrain_fuel.inputs.formats.fit import fit_route
from terrain_fuel.inputs.formats.geojson import geojson_route
from terrain_fuel.inputs.formats.gpx import gpx_route
from terrain_fuel.inputs.formats.gpx_points import PointTaker
from terrain_fuel.inputs.formats.kml import kml_route
from terrain_fuel.inputs.formats.raw_route import RawRoute, RawWaypoint
from terrain_fuel.inputs.formats.tcx import tcx_route
from terrain_fuel.inputs.formats.waypoint_places import refuse_too_many
from terrain_fuel.inputs.tracks import choose_track, tracks_told
from terrain_fuel.inputs.unpacking import Content, file_stem, unpacked
from terrain_fuel.inputs.xml_file import (
    DEFAULT_MAX_BYTES,
    FORMATS,
    is_route_xml,
    parse_xml,
    read_bytes,
    split_tag,
)
from terrain_fuel.text import plain_text

_XML = {"TrainingCenterDatabase": tcx_route, "kml": kml_route}
_MARKS = b"\xef\xbb\xbf\t\n\r "
_GEOJSON = (
    b'"FeatureCollection"',
    b'"Feature"',
    b'"LineString"',
    b'"MultiLineString"',
    b'"Polygon"',
    b'"MultiPolygon"',
    b'"GeometryCollection"',
)
_SNIFFED_BYTES = 65_536


def read_route_file(path: Path, max_bytes: int = DEFAULT_MAX_BYTES, track: str | None = None) -> RawRoute:
    """Return the columns and waypoints of a route file.

    Parameters
    ----------
    path : a GPX, TCX, FIT, KML or GeoJSON file, as it is, gzipped or in a zip archive
    max_bytes : larger files are refused before they are read, and archives that unpack to more
    track : which of several tracks: its number, its name or "all"

    Raises
    ------
    TrackError
        If the file is missing, too large, damaged or no route, has fewer than two points or one that
        is impossible, or holds several tracks of which none is chosen.

    Notes
    -----
    In an archive what is no route is left aside, and the waypoints of a file without a line count
    for the lines beside it.
    """
    lines, places = _lines_and_places(path, max_bytes)
    chosen = choose_track(lines, plain_text(path.name), track)
    return replace(chosen, waypoints=(*chosen.waypoints, *places)) if places else chosen


def tracks_of(path: Path, max_bytes: int = DEFAULT_MAX_BYTES) -> tuple[tuple[str, float], ...]:
    """Return name and length [m] of the tracks of a route file, in the order in which they are counted.

    Raises
    ------
    TrackError
        As `read_route_file`.
    """
    lines, _ = _lines_and_places(path, max_bytes)
    return tracks_told(lines)


def _lines_and_places(path: Path, max_bytes: int) -> tuple[list[RawRoute], tuple[RawWaypoint, ...]]:
    """Return the lines of a file, and the waypoints of files that hold no line."""
    source = plain_text(path.name)
    contents = unpacked(read_bytes(path, max_bytes), source, max_bytes)
    if len(contents) != 1 or contents[0].source != source:
        contents = tuple(content for content in contents if _looks_like_route(content.data))
    if not contents:
        raise TrackError(
            f"{source}: holds no route; a route is {FORMATS}; export the route as GPX",
            fact("refused_no_route"),
        )
    files = [_read(content) for content in contents]
    lines = [_named(file) for file in files if file.lat_deg.size]
    places = tuple(waypoint for file in files if not file.lat_deg.size for waypoint in file.waypoints)
    _refuse_without_line(lines, len(places), sum(file.areas for file in files), source)
    refuse_too_many(sum(len(file.waypoints) for file in files), source)
    return lines, places


def _looks_like_route(data: bytes) -> bool:
    return (
        is_fit(data)
        or (_is_json(data) and any(word in data[:_SNIFFED_BYTES] for word in _GEOJSON))
        or is_route_xml(data)
    )


def _is_json(data: bytes) -> bool:
    return data[:_SNIFFED_BYTES].lstrip(_MARKS).startswith(b"{")


def _read(content: Content) -> RawRoute:
    if is_fit(content.data):
        return fit_route(content.data, content.source)
    if kind_by_content(content.data) is PLAN:
        raise TrackError(
            f"{content.source}: is {PLAN.called}, not a route; name the route that it was made for",
            fact("refused_no_route"),
        )
    if _is_json(content.data):
        return geojson_route(content.data, content.source)
    taker = PointTaker()
    root = parse_xml(content.data, content.source, taker)
    _, kind = split_tag(root)
    return gpx_route(root, content.source, taker) if kind == "gpx" else _XML[kind](root, content.source)


def _named(file: RawRoute) -> RawRoute:
    """Return a file's route with the file's own name, if it has no other."""
    return file if file.name else replace(file, name=file_stem(file.source))


def _refuse_without_line(lines: Sequence[RawRoute], places: int, areas: int, source: str) -> None:
    count = sum(file.lat_deg.size for file in lines)
    if count == 0 and areas:
        raise TrackError(
            f"{source}: holds {areas} area{'s' * (areas > 1)} (a ring or a polygon), no line; a route is a"
            " line of points in the order in which they are ridden; draw or export it as a line (LineString)",
            fact("refused_areas"),
        )
    if count == 0 and places:
        raise TrackError(
            f"{source}: holds {places} waypoint{'s' * (places > 1)}, no track; a route is a line of points;"
            " export the track or the route itself",
            fact("refused_waypoints_only", count=places),
        )
    if count < 2:
        has = "no points" if count == 0 else "only one point"
        raise TrackError(
            f"{source}: has {has} in its tracks and routes; a route needs at least 2; export the whole route",
            fact("refused_one_place"),
        )
