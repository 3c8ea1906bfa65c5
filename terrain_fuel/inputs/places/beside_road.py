"""What stands beside the road: water, food, names; tied by distance to every pass, as waypoints are."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.inputs.places.extract import RawMap
from terrain_fuel.inputs.places.meaning import place_kind, season_hours
from terrain_fuel.inputs.places.wanted import Tags, is_place
from terrain_fuel.inputs.start_time import zone_name
from terrain_fuel.inputs.waypoints import BESIDE_ROAD_M, passes
from terrain_fuel.mapped.model import Landmark, LandmarkKind, MappedPlace, Section
from terrain_fuel.text import plain_text
from terrain_fuel.track import Track

LANDMARK_REACH_M: dict[LandmarkKind, float] = {"pass": 60.0, "peak": 250.0, "village": 800.0}
"""A name so near the road is one that the rider meets [m]: common practice (no source)."""

ONE_NAME_M = 2000.0
"""One name is told once in so much road [m]."""


class Thing(NamedTuple):
    """An object of the map as a point: its tags and its position [degrees]."""

    tags: Tags
    lat_deg: float
    lon_deg: float


def places_beside(found: RawMap, track: Track) -> tuple[MappedPlace, ...]:
    """Return places with water or food within 250 m of the road, one for every pass."""
    things = [thing for thing in _things(found) if is_place(thing.tags) and place_kind(thing.tags)]
    places = []
    for index, at_m, offset_m in _tied(things, track):
        thing = things[index]
        kind = place_kind(thing.tags)
        if kind is None or offset_m > BESIDE_ROAD_M:
            continue
        hours, certain = season_hours(thing.tags, thing.lat_deg)
        places.append(
            MappedPlace(
                kind=kind[0],
                name=plain_text(thing.tags.get("name")),
                lat_deg=thing.lat_deg,
                lon_deg=thing.lon_deg,
                at_m=at_m,
                offset_m=offset_m,
                hours=hours,
                zone=zone_name(thing.lat_deg, thing.lon_deg) if hours else "",
                sure=kind[1] and certain,
            )
        )
    return tuple(sorted(places, key=lambda place: (place.at_m, place.offset_m)))


def landmarks_near(found: RawMap, bridges: Sequence[Section], track: Track) -> tuple[Landmark, ...]:
    """Return the names that a rider meets: passes, peaks and villages near the road, bridges on it."""
    things = [thing for thing in _things(found) if thing.tags.get("name") and _landmark_kind(thing.tags)]
    marks = []
    for index, at_m, offset_m in _tied(things, track):
        thing = things[index]
        kind = _landmark_kind(thing.tags)
        if kind is not None and offset_m <= LANDMARK_REACH_M[kind]:
            name = plain_text(thing.tags["name"])
            marks.append(Landmark(kind, name, thing.lat_deg, thing.lon_deg, at_m, offset_m))
    for bridge in bridges:
        if bridge.value:
            at_m = 0.5 * (bridge.start_m + bridge.end_m)
            lat = float(np.interp(at_m, track.distance_m, track.lat_deg))
            lon = float(np.interp(at_m, track.distance_m, np.unwrap(track.lon_deg, period=360.0)))
            marks.append(Landmark("bridge", bridge.value, lat, (lon + 180.0) % 360.0 - 180.0, at_m, 0.0))
    return _each_name_once(marks)


def _each_name_once(marks: Sequence[Landmark]) -> tuple[Landmark, ...]:
    told: dict[str, float] = {}
    kept = []
    for mark in sorted(marks, key=lambda each: (each.at_m, each.offset_m)):
        if mark.name and mark.at_m - told.get(mark.name, -ONE_NAME_M) >= ONE_NAME_M:
            kept.append(mark)
            told[mark.name] = mark.at_m
    return tuple(kept)


def _landmark_kind(tags: Tags) -> LandmarkKind | None:
    if tags.get("mountain_pass") == "yes" or tags.get("natural") == "saddle":
        return "pass"
    if tags.get("natural") == "peak":
        return "peak"
    return "village" if tags.get("place") in ("city", "town", "village") else None


def _things(found: RawMap) -> Iterator[Thing]:
    """Yield nodes, and the middles of ways and of places of several lines, as points."""
    for node in found.nodes:
        yield Thing(node.tags, node.lat_deg, node.lon_deg)
    for area in found.areas:
        yield Thing(area.tags, area.lat_deg, area.lon_deg)
    for way in found.ways:
        lon = np.unwrap(way.lon_deg, period=360.0)
        middle = 0.5 * (float(lon.min()) + float(lon.max()))
        lat_deg = 0.5 * (float(way.lat_deg.min()) + float(way.lat_deg.max()))
        yield Thing(way.tags, lat_deg, (middle + 180.0) % 360.0 - 180.0)


def _tied(things: Sequence[Thing], track: Track) -> Iterator[tuple[int, float, float]]:
    """Yield index, distance along the road and off it [m] of every pass of every point."""
    if not things:
        return
    lat, lon = np.array([(thing.lat_deg, thing.lon_deg) for thing in things]).T
    road = earth_centred_m(track.lat_deg, track.lon_deg)
    yield from passes(road, track.distance_m, earth_centred_m(lat, lon))
