"""A plan as the plain data that the map page draws from: every text of the page that is not fixed."""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np

from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.outputs.backdrop import Backdrop
from terrain_fuel.outputs.cards import caution_card, caution_name, point_card
from terrain_fuel.outputs.rows import Row, hands_on_spans, plan_rows, point_name
from terrain_fuel.outputs.units import clock_text, duration_text, rider_units
from terrain_fuel.plan import Plan
from terrain_fuel.terrain.model import Caution

MOST_ROAD_POINTS = 5000
SHORTEST_STEP_M = 25.0


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the page's strip: a row of the plan or a caution note, with the key it is chosen by."""

    key: str
    distance_m: float
    data: dict[str, Any]


def page_data(plan: Plan, backdrop: Backdrop | None) -> dict[str, Any]:
    """Return the page's data; only types that JSON has."""
    units = rider_units(plan.rider)
    return {
        "name": plan.name,
        "totals": totals(plan),
        "units": {"road": units.road, "roadM": units.road_m, "height": units.height},
        "length": round(plan.terrain.length_m, 1),
        "road": road_columns(plan),
        "stretches": [[s.kind, round(s.start_m), round(s.end_m)] for s in plan.terrain.stretches],
        "hands": [[round(start), round(end)] for start, end in hands_on_spans(plan)],
        "entries": [entry.data for entry in entries(plan)],
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
    counts = {
        action: sum(point.action == action for point in plan.fuel_points)
        for action in ("eat", "sip", "refill")
    }
    return [
        ["Road", units.road_text(plan.terrain.length_m)],
        ["Up", units.height_text(plan.terrain.ascent_m)],
        ["Start", clock_text(plan.day.start, 0.0)],
        ["Home", clock_text(plan.day.start, plan.totals.elapsed_s)],
        ["Riding", duration_text(plan.totals.moving_time_s)],
        ["Bites", str(sum(point.portions for point in plan.fuel_points if point.action == "eat"))],
        ["Sips", str(counts["sip"])],
        ["Refills", str(counts["refill"])],
    ]


def road_columns(plan: Plan) -> dict[str, Any]:
    """Return the road at even steps: positions as differences of 1e-5 degrees, grades in per mille."""
    profile = plan.terrain.profile
    step = max(SHORTEST_STEP_M, plan.terrain.length_m / MOST_ROAD_POINTS)
    count = max(2, round(plan.terrain.length_m / step) + 1)
    at = np.linspace(0.0, plan.terrain.length_m, count)
    lat = np.rint(1e5 * np.interp(at, profile.distance_m, profile.lat_deg)).astype(int)
    lon = np.rint(1e5 * np.interp(at, profile.distance_m, np.unwrap(profile.lon_deg, period=360.0))).astype(
        int
    )
    grade = np.rint(1e3 * np.interp(at, profile.distance_m, profile.grade)).astype(int)
    return {
        "step": float(at[1]),
        "lat": np.diff(lat, prepend=0).tolist(),
        "lon": np.diff(lon, prepend=0).tolist(),
        "grade": grade.tolist(),
    }


def entries(plan: Plan) -> list[Entry]:
    """Return fuel points, hands-on spans, caution notes and landmarks in road order."""
    rows = plan_rows(plan)
    fuel = [row for row in rows if row.point is not None]
    following = dict(zip((row.number for row in fuel), [*fuel[1:], None], strict=True))
    lines = [_row_entry(plan, row, following.get(row.number)) for row in rows if row.kind != "hands_on"]
    lines.extend(_caution_entry(plan, number, caution) for number, caution in enumerate(plan.cautions, 1))
    return sorted(lines, key=lambda entry: entry.distance_m)


def _row_entry(plan: Plan, row: Row, following: Row | None) -> Entry:
    data: dict[str, Any] = {
        "kind": row.kind,
        "at": round(row.distance_m, 1),
        "distance": row.distance_text,
        "clock": row.clock,
        "time": round(row.time_s),
        "name": row.name,
        "length": row.length_text,
    }
    key = ""
    if row.point is not None:
        key = f"p{row.number}"
        data |= {
            "key": key,
            "name": point_name(plan, row.point, {}),
            "number": row.number,
            "from": row.point.container,
            "landmark": row.landmark,
            "lat": round(row.point.lat_deg, 5),
            "lon": round(row.point.lon_deg, 5),
            "card": point_card(plan, row, following),
        }
    return Entry(key, row.distance_m, data)


def _caution_entry(plan: Plan, number: int, caution: Caution) -> Entry:
    units = rider_units(plan.rider)
    profile = plan.terrain.profile
    time_s = plan.pace.clock_at(caution.start_m)
    key = f"c{number}"
    data = {
        "key": key,
        "kind": "hands" if caution.hands_on else "caution",
        "at": round(caution.start_m, 1),
        "end": round(caution.end_m, 1),
        "distance": units.road_number(caution.start_m),
        "clock": clock_text(plan.day.start, time_s),
        "time": round(time_s),
        "name": caution_name(caution),
        "length": units.road_text(caution.end_m - caution.start_m),
        "lat": round(float(np.interp(caution.start_m, profile.distance_m, profile.lat_deg)), 5),
        "lon": round(float(np.interp(caution.start_m, profile.distance_m, profile.lon_deg)), 5),
        "card": caution_card(plan, caution),
    }
    return Entry(key, caution.start_m, data)


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
