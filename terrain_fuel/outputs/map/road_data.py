"""The road as the page's script draws it: even columns, the clock along it, turns of the way, laps."""

from typing import Any

import numpy as np

from terrain_fuel.outputs.by_lap import laps_text, spots_of
from terrain_fuel.outputs.map.backdrop import Backdrop
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

MOST_ROAD_POINTS = 4000
SHORTEST_STEP_M = 25.0

CLOCK_STEPS = 800
"""The clock along the road is told at so many places: between them the pace is even enough for a rider."""


def road_columns(plan: Plan, backdrop: Backdrop | None) -> dict[str, Any]:
    """Return the road at even steps.

    Positions are differences of 1e-5 degrees, heights of metres, grades in per mille.

    Longitudes run on past the date line, on the same side of it as the backdrop.
    """
    profile = plan.terrain.profile
    step = max(SHORTEST_STEP_M, plan.terrain.length_m / MOST_ROAD_POINTS)
    at = np.linspace(0.0, plan.terrain.length_m, max(2, round(plan.terrain.length_m / step) + 1))
    lon_deg = np.unwrap(profile.lon_deg, period=360.0)
    if backdrop is not None:
        turns = round((0.5 * (backdrop.west_deg + backdrop.east_deg) - float(lon_deg.mean())) / 360.0)
        lon_deg = lon_deg + 360.0 * turns
    lat = np.rint(1e5 * np.interp(at, profile.distance_m, profile.lat_deg)).astype(int)
    lon = np.rint(1e5 * np.interp(at, profile.distance_m, lon_deg)).astype(int)
    grade = np.rint(1e3 * np.interp(at, profile.distance_m, profile.grade)).astype(int)
    height = np.rint(np.interp(at, profile.distance_m, profile.elevation_m)).astype(int)
    return {
        "step": float(at[1]),
        "lat": np.diff(lat, prepend=0).tolist(),
        "lon": np.diff(lon, prepend=0).tolist(),
        "grade": grade.tolist(),
        "height": np.diff(height, prepend=0).tolist(),
    }


def clock_columns(plan: Plan) -> dict[str, list[float]]:
    """Return places along the road and the seconds since the start at each, a halt's twice: come and gone."""
    length_m = plan.terrain.length_m
    at_m = np.linspace(0.0, length_m, max(2, min(CLOCK_STEPS, round(length_m / 50.0)) + 1))
    stops = plan.pace.stops
    at_m = np.sort(np.concatenate([at_m, *([stop.distance_m] * 2 for stop in stops)]))
    time_s = np.interp(at_m, plan.pace.distance_m, plan.pace.clock_s)
    for stop in stops:
        come, gone = np.flatnonzero(at_m == stop.distance_m)[:2]
        time_s[gone] = time_s[come] + stop.duration_s
    return {"at": np.rint(at_m).tolist(), "time": np.rint(np.maximum.accumulate(time_s)).tolist()}


def lap_data(plan: Plan) -> dict[str, Any] | None:
    """Return where laps begin and end, and which rows of different laps are one spot of the road."""
    laps = plan.terrain.laps
    if laps is None or laps.count < 2:
        return None
    words = words_for(plan.rider)
    spots = []
    for kind in ("eat", "refill"):
        rows = {row.distance_m: row for row in reversed(plan_rows(plan)) if row.kind == kind}
        for spot in spots_of(laps, rows):
            keys = [f"p{rows[at_m].number}" for at_m in spot.places_m]
            which = [laps.lap_at(at_m) for at_m in spot.places_m]
            spots.append({"keys": keys, "text": laps_text(words, which, laps.count)})
    return {"bounds": [round(bound) for bound in laps.bounds_m], "spots": spots}
