"""The plan as GeoJSON: route, stretches, hands-on spans and cautions as lines, fuel points as points."""

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from terrain_fuel.frozen import FloatArray, IntArray
from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.data.rounding import rounded
from terrain_fuel.outputs.data.thinned import needed_on_road, points_to_write
from terrain_fuel.outputs.rows import hands_on_spans, reasons_not_to_ride
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.terrain.model import Profile

Json = dict[str, Any]
Point3 = tuple[float, float, float]

DECIMALS = 6
"""About 0.1 m on the ground."""


def write_geojson(plan: Plan, path: Path, whole_line: bool = False) -> None:
    """Write the plan as one feature collection.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``plan.geojson``
    whole_line : True for every point of the route, False for as many as its line and profile need

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    Positions are longitude, latitude, height in WGS 84; a line that crosses the date line is
    cut there into two parts (sections 3.1.1 and 3.1.9) [RFC7946]_.
    """
    write_text(Path(path), json.dumps(plan_to_geojson(plan, whole_line), ensure_ascii=False) + "\n")


def plan_to_geojson(plan: Plan, whole_line: bool = False) -> Json:
    """Return the plan as a feature collection; the property ``what`` tells the features apart."""
    words = words_for(plan.rider)
    road = _Road.of(plan, whole_line)
    features = [_route(plan, whole_line)]
    features += [
        _line(road, s.start_m, s.end_m, what="stretch", kind=s.kind, name=s.name,
              mean_grade=round(s.mean_grade, 4), gain_m=round(s.gain_m, 1))
        for s in plan.terrain.stretches
    ]  # fmt: skip
    features += [_line(road, *span, what="hands_on") for span in hands_on_spans(plan)]
    features += [
        _line(
            road,
            c.start_m,
            c.end_m,
            what="caution",
            kind=c.kind,
            hands_on=c.hands_on,
            note=words.say(c.note),
        )
        for c in plan.cautions
    ]
    features += [_fuel_point(plan, point, words) for point in plan.fuel_points]
    reasons = list(reasons_not_to_ride(plan))
    return {
        "type": "FeatureCollection",
        **({"do_not_ride": reasons} if reasons else {}),
        **({"attribution": credit} if (credit := attribution(plan)) else {}),
        "features": features,
    }


def _route(plan: Plan, whole_line: bool) -> Json:
    """Return the route as it was given, not as it was smoothed."""
    track = plan.terrain.track
    written = points_to_write(track, whole_line)
    lon_deg = np.unwrap(track.lon_deg, period=360.0)
    columns = (lon_deg[written], track.lat_deg[written], track.elevation_m[written])
    span = {"start_m": 0.0, "end_m": round(plan.terrain.length_m, 1)}
    return _feature(columns, {"what": "route", "name": plan.title, **span})


def _fuel_point(plan: Plan, point: FuelPoint, words: Words) -> Json:
    elevation_m = float(
        np.interp(point.distance_m, plan.terrain.profile.distance_m, plan.terrain.profile.elevation_m)
    )
    return {
        "type": "Feature",
        "id": point.number,
        "geometry": {"type": "Point", "coordinates": _position(point.lon_deg, point.lat_deg, elevation_m)},
        "properties": {
            "what": "fuel_point",
            "number": point.number,
            "label": point.label,
            "action": point.action,
            "item": point.item,
            "portions": point.portions,
            "fluid_ml": round(point.fluid_ml, 1),
            "from": point.container,
            "distance_m": round(point.distance_m, 1),
            "clock": clock_text(plan.day.start, point.time_s),
            "reason": words.say(point.reason),
        },
    }


@dataclass(frozen=True, slots=True, eq=False)
class _Road:
    """The profile with its longitudes unwrapped, and where its points stand that are written [m]."""

    profile: Profile
    written_m: FloatArray

    @classmethod
    def of(cls, plan: Plan, whole_line: bool) -> "_Road":
        profile = plan.terrain.profile
        written_m = profile.distance_m if whole_line else profile.distance_m[needed_on_road(profile)]
        return cls(replace(profile, lon_deg=np.unwrap(profile.lon_deg, period=360.0)), written_m)


def _line(road: _Road, start_m: float, end_m: float, **properties: Any) -> Json:
    """Return the road from one distance to another as a feature."""
    profile, written_m = road.profile, road.written_m
    first = int(np.searchsorted(written_m, start_m, side="right"))
    last = int(np.searchsorted(written_m, end_m))
    axis = np.concatenate(([start_m], written_m[first:last], [max(end_m, start_m)]))
    lon_deg = np.interp(axis, profile.distance_m, profile.lon_deg)
    lat_deg = np.interp(axis, profile.distance_m, profile.lat_deg)
    elevation_m = np.interp(axis, profile.distance_m, profile.elevation_m)
    span = {"start_m": round(start_m, 1), "end_m": round(end_m, 1)}
    return _feature((lon_deg, lat_deg, elevation_m), {**properties, **span})


def _feature(columns: tuple[FloatArray, FloatArray, FloatArray], properties: Json) -> Json:
    """Return a line of longitudes, latitudes and heights as a feature, cut at the date line."""
    worlds = _worlds(columns[0])
    if worlds.any():
        points = list(zip(*(column.tolist() for column in columns), strict=True))
        cut = _cut_at_date_line(points, worlds.tolist())
        parts = [[_position(*point) for point in part] for part in cut]
    else:
        decimals = (DECIMALS, DECIMALS, 1)
        written = (rounded(*each) for each in zip(columns, decimals, strict=True))
        parts = [[list(point) for point in zip(*written, strict=True)]]
    geometry: Json = {"type": "LineString", "coordinates": parts[0]}
    if len(parts) > 1:
        geometry = {"type": "MultiLineString", "coordinates": parts}
    return {"type": "Feature", "geometry": geometry, "properties": properties}


def _cut_at_date_line(points: list[Point3], worlds: list[int]) -> list[list[Point3]]:
    """Return the parts of a line between its crossings of the date line, each within [-180, 180]."""
    parts: list[list[Point3]] = [[]]
    world = worlds[0]
    for before, here, here_world in zip([points[0], *points], points, worlds, strict=False):
        if here_world != world:
            edge = 180.0 + 360.0 * min(world, here_world)
            share = (edge - before[0]) / (here[0] - before[0])
            crossing = tuple(a + share * (b - a) for a, b in zip(before[1:], here[1:], strict=True))
            parts[-1].append((edge - 360.0 * world, *crossing))  # type: ignore[arg-type]
            world = here_world
            parts.append([(edge - 360.0 * world, *crossing)])  # type: ignore[list-item]
        parts[-1].append((here[0] - 360.0 * world, here[1], here[2]))
    return parts


def _worlds(lon_deg: FloatArray) -> IntArray:
    """Return how many times round the globe unwrapped longitudes are."""
    return np.floor((lon_deg + 180.0) / 360.0).astype(np.intp)


def _position(lon_deg: float, lat_deg: float, elevation_m: float) -> list[float]:
    return [round(lon_deg, DECIMALS), round(lat_deg, DECIMALS), round(elevation_m, 1)]
