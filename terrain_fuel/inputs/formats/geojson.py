"""GeoJSON files as bare columns: every line, and points as waypoints."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.formats.gpx_points import Texts, degrees, heights
from terrain_fuel.inputs.formats.raw_route import RawRoute, RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import refuse_too_many, waypoint_place
from terrain_fuel.text import plain_text

Json = dict[str, Any]

_BESIDES = ("stretch", "hands_on", "caution", "fuel_point")
"""Features of a plan of our own that are no route: ``what`` tells."""

MOST_PARTS = 4
"""Beyond the height some programs write a time or a measure; more are decimal commas."""

LARGEST = 10**300
"""From here on a whole number of a file may be more than any float."""


def geojson_route(data: bytes, source: str) -> RawRoute:
    """Return the lines and points of a GeoJSON file [RFC7946]_.

    Parameters
    ----------
    data : what the file holds
    source : the file's name, for messages

    Returns
    -------
    RawRoute
        A feature with a line, or with lines that belong together, is a track, one with a point a
        waypoint; areas are counted.

    Raises
    ------
    TrackError
        If the file is no GeoJSON, or a point has a position or height that is impossible.
    """
    lines = _Lines(source)
    try:
        whole = json.loads(data.decode("utf-8-sig"))
        for feature in _features(whole, source):
            lines.add(feature)
    except UnicodeDecodeError:
        raise _refused(source, "it is no UTF-8 text") from None
    except json.JSONDecodeError as fault:
        raise _refused(source, f"{fault.msg} in line {fault.lineno}, column {fault.colno}") from None
    except RecursionError:
        raise _refused(source, "it is nested too deep") from None
    except ValueError as fault:
        if isinstance(fault, TrackError):
            raise
        raise _refused(source, "it holds a number of thousands of digits") from None
    refuse_too_many(len(lines.waypoints), source)
    called = plain_text(whole["name"]) if isinstance(whole.get("name"), str) else ""
    return RawRoute(
        name=lines.names[0] if len(lines.names) == 1 and lines.names[0] else called,
        source=source,
        lat_deg=degrees(lines.lat, "latitude", 90.0, source),
        lon_deg=degrees(lines.lon, "longitude", 180.0, source),
        elevation_m=heights(lines.elevation, source),
        waypoints=tuple(lines.waypoints),
        piece_starts=tuple(lines.starts),
        piece_tracks=tuple(lines.tracks),
        track_names=tuple(lines.names),
        areas=lines.areas,
    )


def _refused(source: str, why: str) -> TrackError:
    return TrackError(
        f"{source}: is not GeoJSON ({why}); download or export it again, best as GPX",
        fact("refused_no_route"),
    )


def _features(value: Any, source: str) -> Iterator[Json]:
    """Yield the features of a file; a bare geometry counts as one."""
    kind = value.get("type") if isinstance(value, dict) else None
    if kind == "FeatureCollection" and isinstance(value.get("features"), list):
        for feature in value["features"]:
            yield from _features(feature, source)
    elif kind == "Feature":
        yield value
    elif kind == "Topology":
        raise _refused(source, "it is TopoJSON, whose lines are shared arcs")
    elif isinstance(kind, str):
        yield {"geometry": value}
    else:
        raise _refused(source, "a feature, or a collection of them, is needed")


@dataclass(slots=True)
class _Lines:
    """What the features give, one after the other."""

    source: str
    lat: Texts = field(default_factory=list)
    lon: Texts = field(default_factory=list)
    elevation: Texts = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    tracks: list[int] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    waypoints: list[RawWaypoint] = field(default_factory=list)
    areas: int = 0

    def add(self, feature: Json) -> None:
        told = feature.get("properties")
        told = told if isinstance(told, dict) else {}
        if told.get("what") in _BESIDES:
            return
        before = len(self.lat)
        for kind, coordinates in _geometries(feature.get("geometry")):
            if kind in ("LineString", "MultiLineString"):
                for line in [coordinates] if kind == "LineString" else coordinates:
                    self._add_line(line)
            elif kind == "Point":
                self._add_waypoint(coordinates, told)
            elif kind in ("Polygon", "MultiPolygon"):
                self.areas += 1 if kind == "Polygon" else len(coordinates)
        if len(self.lat) > before:
            self.names.append(_text(told, "name", "title"))

    def _add_line(self, line: Any) -> None:
        if not isinstance(line, list):
            raise _refused(self.source, "a line is no list of positions")
        if line:
            self.starts.append(len(self.lat))
            self.tracks.append(len(self.names) + 1)
        for position in line:
            lon, lat, height = self._position(position)
            self.lon.append(lon)
            self.lat.append(lat)
            self.elevation.append(height)

    def _position(self, position: Any) -> tuple[Any, Any, Any]:
        if not isinstance(position, list) or len(position) < 2:
            raise _refused(self.source, f"{str(position)[:40]!r} is no position")
        if len(position) > MOST_PARTS:
            raise _refused(
                self.source,
                f"the position {str(position)[:60]} has {len(position)} numbers, which are at most longitude,"
                " latitude, height and a measure, with decimal points",
            )
        lon, lat, height, *_ = [*position, None]
        for part in (lon, lat, height):
            if part is not None and not _is_number(part):
                raise _refused(self.source, f"{str(part)[:40]!r} is no number")
        return lon, lat, height

    def _add_waypoint(self, position: Any, told: Json) -> None:
        lon, lat, _ = self._position(position)
        name = _text(told, "name", "title")
        place = waypoint_place(lat, lon, name or str(len(self.waypoints) + 1), self.source)
        self.waypoints.append(
            RawWaypoint(
                name,
                *place,
                symbol=_text(told, "sym", "symbol", "marker-symbol"),
                type=_text(told, "type", "kind"),
                comment=_text(told, "cmt", "comment", "desc", "description"),
            )
        )


def _geometries(geometry: Any) -> Iterator[tuple[str, Any]]:
    """Yield kind and coordinates of the geometries within one; only lists of them are looked into."""
    if not isinstance(geometry, dict):
        return
    inner = geometry.get("geometries")
    if geometry.get("type") == "GeometryCollection" and isinstance(inner, list):
        for one in inner:
            yield from _geometries(one)
        return
    coordinates = geometry.get("coordinates")
    if isinstance(coordinates, list):
        yield str(geometry.get("type")), coordinates


def _is_number(part: Any) -> bool:
    """Return whether a part of a position is a number, and one that there is a float for."""
    if isinstance(part, bool):
        return False
    return isinstance(part, float) or (isinstance(part, int) and abs(part) < LARGEST)


def _text(told: Json, *keys: str) -> str:
    """Return the first of some properties that is a text."""
    return next((plain_text(told[key]) for key in keys if isinstance(told.get(key), str)), "")
