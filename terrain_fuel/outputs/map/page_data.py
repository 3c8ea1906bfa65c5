"""A plan as the plain data that the map page draws from: every text of the page that is not fixed."""

import json
from itertools import pairwise
from typing import Any

import numpy as np

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.map.backdrop import Backdrop
from terrain_fuel.outputs.map.cards import caution_card, caution_name, point_card
from terrain_fuel.outputs.rows import Row, hands_on_spans, plan_rows, point_name
from terrain_fuel.outputs.units import clock_text, duration_text, rider_units
from terrain_fuel.plan import Plan

MOST_ROAD_POINTS = 5000
SHORTEST_STEP_M = 25.0


def page_data(plan: Plan, backdrop: Backdrop | None) -> dict[str, Any]:
    """Return the page's data; only types that JSON has."""
    units = rider_units(plan.rider)
    return {
        "name": plan.name,
        "totals": totals(plan),
        "units": {"road": units.road, "roadM": units.road_m, "height": units.height},
        "length": round(plan.terrain.length_m, 1),
        "road": road_columns(plan, backdrop),
        "stretches": [[s.kind, round(s.start_m), round(s.end_m)] for s in plan.terrain.stretches],
        "hands": [[round(start), round(end)] for start, end in hands_on_spans(plan)],
        "entries": entries(plan),
        "hours": hours(plan),
        "care": care(plan),
        "violations": [violation.sentence for violation in plan.violations],
        "contourStep": f"{backdrop.contour_step} {units.height}" if backdrop else "",
        "frame": [backdrop.south_deg, backdrop.west_deg, backdrop.north_deg, backdrop.east_deg]
        if backdrop
        else None,
    }


def embedded_json(data: dict[str, Any]) -> str:
    """Return data as JSON that no name in it can end early inside a page."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")


def totals(plan: Plan) -> list[list[str]]:
    """Return the day in a few pairs of word and value."""
    units = rider_units(plan.rider)
    return [
        ["Road", units.road_text(plan.terrain.length_m)],
        ["Up", units.height_text(plan.terrain.ascent_m)],
        ["Start", clock_text(plan.day.start, 0.0)],
        ["Home", clock_text(plan.day.start, plan.totals.elapsed_s)],
        ["Riding", duration_text(plan.totals.moving_time_s)],
        ["Bites", str(sum(point.portions for point in plan.fuel_points if point.action == "eat"))],
        ["Sips", str(sum(point.action == "sip" for point in plan.fuel_points))],
        ["Halts", str(len(plan.pace.stops))],
    ]


def road_columns(plan: Plan, backdrop: Backdrop | None) -> dict[str, Any]:
    """Return the road at even steps: positions as differences of 1e-5 degrees, grades in per mille.

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
    return {
        "step": float(at[1]),
        "lat": np.diff(lat, prepend=0).tolist(),
        "lon": np.diff(lon, prepend=0).tolist(),
        "grade": grade.tolist(),
    }


def entries(plan: Plan) -> list[dict[str, Any]]:
    """Return the strip's lines in road order: fuel points, hands-on spans, caution notes and landmarks.

    What can be chosen has a ``key``, "p7" for fuel point 7 and "c2" for the second caution.
    """
    rows = [row for row in plan_rows(plan) if row.kind != "hands_on"]
    fuel = [row for row in rows if row.point is not None]
    following = {row.number: after for row, after in pairwise(fuel)}
    lines = [_row_entry(plan, row, following.get(row.number)) for row in rows]
    lines.extend(_caution_entry(plan, number, caution) for number, caution in enumerate(plan.cautions, 1))
    return sorted(lines, key=lambda line: float(line["at"]))


def _row_entry(plan: Plan, row: Row, following: Row | None) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "kind": row.kind,
        "at": round(row.distance_m, 1),
        "distance": row.distance_text,
        "clock": row.clock,
        "time": round(row.time_s),
        "name": row.name,
        "length": row.length_text,
    }
    if row.point is not None:
        entry |= {
            "key": f"p{row.number}",
            "number": row.number,
            "name": point_name(plan, row.point, {}),
            "from": row.point.container,
            "landmark": row.landmark,
            "card": point_card(plan, row, following),
        }
    return entry


def _caution_entry(plan: Plan, number: int, caution: Caution) -> dict[str, Any]:
    units = rider_units(plan.rider)
    time_s = plan.pace.clock_at(caution.start_m)
    return {
        "key": f"c{number}",
        "kind": "hands" if caution.hands_on else "caution",
        "at": round(caution.start_m, 1),
        "end": round(caution.end_m, 1),
        "distance": units.road_number(caution.start_m),
        "clock": clock_text(plan.day.start, time_s),
        "time": round(time_s),
        "name": caution_name(caution),
        "length": units.road_text(caution.end_m - caution.start_m),
        "card": caution_card(plan, caution),
    }


def care(plan: Plan) -> list[list[Any]]:
    """Return what to know before the ride as pairs of heading and sentences."""
    standing = [notice.sentence for notice in standing_advice(plan.demand, plan.day)]
    own = [notice.sentence for notice in plan.warnings if notice.sentence not in standing]
    return [pair for pair in (["This ride", own], ["Every ride", standing]) if pair[1]]


def hours(plan: Plan) -> list[list[Any]]:
    """Return the chapters of the strip: seconds since the start, time of day and name."""
    count = int(plan.totals.elapsed_s // 3600) + 1
    return [
        [3600 * hour, clock_text(plan.day.start, 3600.0 * hour), f"Hour {hour + 1}"] for hour in range(count)
    ]
