"""A small plan written by hand that the judge has nothing to say about.

60 km: flat to km 20, a climb of 5 % to km 26, down 4 % to km 32, flat home; one square corner at km 10,
one tap at km 40 with a halt of 3 min. Speeds are 30, 14.4 and 36 km/h.
"""

import copy
from typing import Any

from tests.judge.reading import PlanDict, Row
from tests.labelled import labelled

FLAT_M_S, UP_M_S, DOWN_M_S = 30.0 / 3.6, 4.0, 10.0
FOOT_M, TOP_M, BOTTOM_M, TAP_M, END_M = 20_000.0, 26_000.0, 32_000.0, 40_000.0, 60_000.0
HALT_S = 180.0


def clock_s(along_m: float) -> float:
    """Return when the rider comes to a place, before any halt there [s]."""
    flat_m = min(along_m, FOOT_M) + max(0.0, along_m - BOTTOM_M)
    up_m = min(max(0.0, along_m - FOOT_M), TOP_M - FOOT_M)
    down_m = min(max(0.0, along_m - TOP_M), BOTTOM_M - TOP_M)
    return flat_m / FLAT_M_S + up_m / UP_M_S + down_m / DOWN_M_S + HALT_S * (along_m > TAP_M)


def _grade(along_m: float) -> float:
    return 0.05 if FOOT_M <= along_m < TOP_M else -0.04 if TOP_M <= along_m < BOTTOM_M else 0.0


def point(action: str, along_m: float, item: str, container: str, **more: Any) -> Row:
    """Return a fuel point; what is not given is nothing."""
    row: Row = {
        "action": action, "distance_m": along_m, "time_s": clock_s(along_m), "item": item, "portions": 1,
        "carbohydrate_g": 0.0, "fluid_ml": 0.0, "caffeine_mg": 0.0, "from": container, "rules": [],
        "reason": "keeps the rhythm",
    }  # fmt: skip
    return {**row, **more}


def bite(along_m: float, item: str = "oat square", carbohydrate_g: float = 17.0, **more: Any) -> Row:
    """Return something to eat from the left pocket."""
    return point("eat", along_m, item, "left pocket", carbohydrate_g=carbohydrate_g, **more)


def sip(along_m: float, container: str = "front bottle", fluid_ml: float = 120.0, **more: Any) -> Row:
    """Return a sip, from the front bottle of mix or from the rear one of water."""
    item, strength = ("field mix", 38.0 / 750.0) if container == "front bottle" else ("water", 0.0)
    return point(
        "sip", along_m, item, container, fluid_ml=fluid_ml, carbohydrate_g=fluid_ml * strength, **more
    )


def _points() -> list[Row]:
    bites = [
        bite(15_500.0, rules=["top_up"], reason="a top-up before the climb"),
        bite(23_000.0, "salted potato"),
        bite(26_050.0, rules=["crest"], reason="right at the crest"),
        bite(37_000.0, "plain gel", 22.0),
        bite(45_500.0, "plain gel", 22.0),
    ]
    sips = [sip(eaten["distance_m"] + 40.0) for eaten in bites]
    sips += [sip(9_000.0, "rear bottle", 200.0), sip(30_000.0, "rear bottle", 200.0)]
    sips.append(sip(39_900.0, fluid_ml=270.0, reason="finish the front bottle: it is filled in a moment"))
    refills = [
        point("refill", TAP_M, item, container, fluid_ml=fluid_ml, reason="the tap: fill it")
        for item, container, fluid_ml in (
            ("field mix", "front bottle", 750.0),
            ("water", "rear bottle", 400.0),
        )
    ]
    return in_order([*bites, *sips, *refills])


def in_order(rows: list[Row]) -> list[Row]:
    """Return points in road order, numbered and labelled."""
    rows = sorted(rows, key=lambda row: row["time_s"])
    return labelled(rows)


def _fill(container: str, item: str, at_m: float, fluid_ml: float, powder_g: float) -> Row:
    return {
        "container": container, "item": item, "at_m": at_m, "fluid_ml": fluid_ml, "powder_g": powder_g,
        "carbohydrate_g": 0.95 * powder_g, "sodium_mg": 0.0, "why": "to drink",
    }  # fmt: skip


def _item(name: str, kind: str, carbohydrate_g: float, count: int, **more: Any) -> Row:
    row: Row = {"name": name, "kind": kind, "carbohydrate_g": carbohydrate_g, "count": count, "portions": 1}
    return {**row, "caffeine_mg": 0.0, "soft": False, **more}


def _pantry() -> Row:
    bottle: Row = {"kind": "bottle", "reach": "riding"}
    return {
        "item": [
            _item("oat square", "solid", 17.0, 6),
            _item("salted potato", "solid", 17.0, 4, soft=True),
            _item("plain gel", "gel", 22.0, 4),
            _item("caffeine gel", "gel", 22.0, 2, caffeine_mg=50.0),
            _item("field mix", "drink_mix", 38.0, 4, powder_g=40.0, water_ml=750.0),
            _item("water", "water", 0.0, 1),
        ],
        "container": [
            {"name": "front bottle", "holds_ml": 750.0, **bottle},
            {"name": "rear bottle", "holds_ml": 500.0, **bottle},
            {"name": "left pocket", "kind": "pocket", "holds_ml": 0.0, "reach": "riding"},
        ],
    }


def _timeline(rows: list[Row]) -> Row:
    along = [100.0 * row for row in range(int(END_M / 100.0) + 1)]
    heights = [0.0]
    for before_m in along[:-1]:
        heights.append(heights[-1] + 100.0 * _grade(before_m))
    speed = {0.05: UP_M_S, -0.04: DOWN_M_S, 0.0: FLAT_M_S}
    eaten = [sum(row["carbohydrate_g"] for row in rows if row["distance_m"] <= here) for here in along]
    return {
        "distance_m": along,
        "time_s": [clock_s(here) for here in along],
        "elevation_m": heights,
        "grade": [_grade(here) for here in along],
        "speed_m_s": [speed[_grade(here)] for here in along],
        "heart_or_effort": [0.75 if _grade(here) > 0 else 0.65 for here in along],
        "carbohydrate_burned_g": [120.0 * clock_s(here) / 3600.0 for here in along],
        "carbohydrate_eaten_g": eaten,
        "glycogen_g": [450.0 - 0.004 * here for here in along],
        "sweat_ml": [600.0 * clock_s(here) / 3600.0 for here in along],
    }


def _stretch(kind: str, start_m: float, end_m: float, gain_m: float) -> Row:
    return {
        "kind": kind, "start_m": start_m, "end_m": end_m, "start_s": clock_s(start_m),
        "end_s": clock_s(end_m), "gain_m": gain_m, "mean_grade": gain_m / (end_m - start_m),
        "rolling": False, "name": "",
    }  # fmt: skip


def made_plan() -> PlanDict:
    """Return a fresh copy of the plan."""
    rows = _points()
    hours = clock_s(END_M) / 3600.0
    eaten_g = sum(row["carbohydrate_g"] for row in rows)
    plan: PlanDict = {
        "route": {"name": "made road", "distance_m": END_M, "waypoints": []},
        "stretches": [
            _stretch("flat", 0.0, FOOT_M, 0.0),
            _stretch("climb", FOOT_M, TOP_M, 300.0),
            _stretch("descent", TOP_M, BOTTOM_M, -240.0),
            _stretch("flat", BOTTOM_M, END_M, 0.0),
        ],
        "corners": [{"start_m": 10_000.0, "end_m": 10_020.0, "radius_m": 12.0, "turn_deg": 90.0}],
        "cautions": [],
        "fuel_points": rows,
        "timeline": _timeline(rows),
        "totals": {
            "moving_time_s": clock_s(END_M) - HALT_S, "elapsed_s": clock_s(END_M), "carbohydrate_g": eaten_g,
            "carbohydrate_g_per_h": eaten_g / hours, "caffeine_mg": 0.0, "first_half_share": 0.52,
        },
        "bottles": [
            _fill("front bottle", "field mix", 0.0, 750.0, 40.0),
            _fill("rear bottle", "water", 0.0, 500.0, 0.0),
            _fill("front bottle", "field mix", TAP_M, 750.0, 40.0),
            _fill("rear bottle", "water", TAP_M, 400.0, 0.0),
        ],
        "reserve": [],
        "preparation": [],
        "warnings": [],
        "violations": [],
        "rider": {
            "rider": {
                "carbohydrate_limit_g_per_h": 75.0, "mixed_sugars": True, "caffeine_mg_max": 100.0,
                "descending": "steady", "body_mass_kg": 70.0,
            },
            "habits": {"first_food_min": 30.0, "eat_every_min": 20.0, "longest_gap_min": 30.0, "units": "km"},
        },
        "pantry": _pantry(),
        "day": {
            "day": {
                "purpose": "training", "temperature_c": 18.0, "effort_flat": 0.65, "reserve_min": 45.0,
            },
            "feed": [{"at_km": 40.0, "name": "tap", "offers": ["water"], "minutes": 3.0, "sure": True}],
        },
        "bad_luck": None,
    }  # fmt: skip
    return copy.deepcopy(plan)
