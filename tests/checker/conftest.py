"""A small plan made by hand that keeps every rule, and its road, for faults to be planted in."""

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyproj
import pytest

from tests.labelled import labelled

PlanDict = dict[str, Any]

SPEED_M_S, LENGTH_M = 8.0, 60_000.0
FINISH_S = LENGTH_M / SPEED_M_S  # 2 h 5 min
SWEAT_ML_PER_S = 600.0 / 3600.0
START_LAT, START_LON = 45.5, -6.5
EAT_S = (1800.0, 3000.0, 4200.0, 5400.0, 6600.0)
WATER_S = (900.0, 2400.0, 3600.0, 4800.0, 6200.0)
TAP_M = 30_000.0
BAR = {"carbohydrate_g": 14.7, "sodium_mg": 20.0}  # half a bar of 29.4 g
MIX_PER_ML = {"carbohydrate_g": 38.0 / 750.0, "sodium_mg": 450.0 / 750.0}


def position(distance_m: float) -> tuple[float, float]:
    """Return latitude and longitude of a place on a road that runs north-east [degrees]."""
    geod = pyproj.Geod(ellps="WGS84")
    lon, lat, _ = geod.fwd(START_LON, START_LAT, 40.0, distance_m)
    return round(lat, 7), round(lon, 7)


def _point(time_s: float, action: str, item: str, container: str, **values: float) -> PlanDict:
    distance_m = SPEED_M_S * time_s
    lat, lon = position(distance_m)
    amounts = {"portions": 1, "carbohydrate_g": 0.0, "fluid_ml": 0.0, "sodium_mg": 0.0, "caffeine_mg": 0.0}
    return {
        "number": 0, "label": "", "distance_m": distance_m, "time_s": time_s, "lat": lat, "lon": lon,
        "action": action, "item": item, **amounts, **values, "from": container,
        "stretch": int(distance_m // 20_000.0), "rules": ["rhythm"], "reason": "it is time",
        "window_start_m": distance_m - 100.0, "window_end_m": distance_m + 100.0,
    }  # fmt: skip


def _points() -> list[PlanDict]:
    mix_ml = 90.0
    mix = {"fluid_ml": mix_ml, **{key: round(mix_ml * value, 3) for key, value in MIX_PER_ML.items()}}
    points = [_point(at_s, "eat", "oat square", "left pocket", **BAR) for at_s in EAT_S]
    points += [_point(at_s + 60.0, "sip", "drink mix", "front bottle", **mix) for at_s in EAT_S]
    points += [_point(at_s, "sip", "water", "rear bottle", fluid_ml=80.0) for at_s in WATER_S]
    tap = _point(TAP_M / SPEED_M_S, "refill", "water", "rear bottle", fluid_ml=200.0, portions=0)
    ordered = sorted([*points, tap], key=lambda point: point["distance_m"])
    return labelled(ordered)


def _timeline(points: list[PlanDict]) -> PlanDict:
    road_m = [100.0 * step for step in range(601)]
    taken = [point for point in points if point["action"] != "refill"]

    def summed(key: str, at_m: float) -> float:
        return round(float(sum(point[key] for point in taken if point["distance_m"] <= at_m)), 3)

    clock_s = [at_m / SPEED_M_S for at_m in road_m]
    # 600 m up over the first third, level, and down again
    height_m = [min(0.03 * at_m, 600.0, 0.03 * (LENGTH_M - at_m)) for at_m in road_m]
    grade = [0.03] * 200 + [0.0] * 201 + [-0.03] * 200
    return {
        "distance_m": road_m, "time_s": clock_s, "elevation_m": height_m, "grade": grade,
        "speed_m_s": [SPEED_M_S] * len(road_m), "power_w": [150.0] * len(road_m),
        "heart_or_effort": [0.68] * len(road_m),
        "carbohydrate_burned_g": [80.0 * at_s / 3600.0 for at_s in clock_s],
        "carbohydrate_eaten_g": [summed("carbohydrate_g", at_m) for at_m in road_m],
        "glycogen_g": [450.0 - 80.0 * at_s / 3600.0 for at_s in clock_s],
        "sweat_ml": [SWEAT_ML_PER_S * at_s for at_s in clock_s],
        "fluid_drunk_ml": [summed("fluid_ml", at_m) for at_m in road_m],
    }  # fmt: skip


def total_up(plan: PlanDict) -> None:
    """Write the totals and running sums that follow from the points."""
    points = plan["fuel_points"]
    taken = [point for point in points if point["action"] != "refill"]
    sums = {
        key: sum(point[key] for point in taken)
        for key in ("carbohydrate_g", "fluid_ml", "sodium_mg", "caffeine_mg")
    }
    first_g = sum(point["carbohydrate_g"] for point in taken if point["time_s"] <= FINISH_S / 2.0)
    plan["totals"] = {
        "moving_time_s": FINISH_S, "elapsed_s": FINISH_S, "work_kj": 150.0 * FINISH_S / 1000.0, **sums,
        "carbohydrate_g_per_h": sums["carbohydrate_g"] / (FINISH_S / 3600.0),
        "first_half_share": first_g / sums["carbohydrate_g"] if sums["carbohydrate_g"] else 0.0,
    }  # fmt: skip
    plan["timeline"] = _timeline(points)


def _settings() -> PlanDict:
    return {
        "rider": {
            "rider": {
                "body_mass_kg": 70.0, "carbohydrate_limit_g_per_h": 75.0, "limit_above_90": False,
                "mixed_sugars": True, "caffeine_mg_max": 0.0, "glycogen_start_g": 450.0, "age_y": None,
            },
            "bike": {},
            "habits": {"first_food_min": 30.0, "longest_gap_min": 30.0},
        },
        "pantry": {
            "item": [
                {"name": "oat square", "kind": "solid", "carbohydrate_g": 29.4, "fluid_ml": 0.0,
                 "sodium_mg": 40.0, "caffeine_mg": 0.0, "count": 5, "portions": 2},
                {"name": "gel", "kind": "gel", "carbohydrate_g": 25.0, "fluid_ml": 0.0, "sodium_mg": 60.0,
                 "caffeine_mg": 50.0, "count": 3, "portions": 1},
                {"name": "drink mix", "kind": "drink_mix", "carbohydrate_g": 38.0, "fluid_ml": 0.0,
                 "sodium_mg": 450.0, "caffeine_mg": 0.0, "count": 3, "portions": 1, "powder_g": 40.0,
                 "water_ml": 750.0},
            ],
            "container": [
                {"name": "front bottle", "kind": "bottle", "holds_ml": 750.0, "reach": "riding"},
                {"name": "rear bottle", "kind": "bottle", "holds_ml": 500.0, "reach": "riding"},
                {"name": "spare bottle", "kind": "bottle", "holds_ml": 500.0, "reach": "stopped"},
                {"name": "left pocket", "kind": "pocket", "holds_ml": 0.0, "reach": "riding"},
            ],
        },
        "day": {
            "day": {"purpose": "training"},
            "feed": [{"at_km": 30.0, "name": "tap", "offers": ["water"], "minutes": 3.0, "sure": True}],
        },
    }  # fmt: skip


def _carried() -> PlanDict:
    row = {"mass_g": 120.0, "form": "whole", "container": "left pocket", "item": "oat square"}
    return {
        "bottles": [
            {"container": "front bottle", "item": "drink mix", "at_m": 0.0, "fluid_ml": 750.0,
             "powder_g": 40.0, "carbohydrate_g": 38.0, "sodium_mg": 450.0, "why": "start"},
            {"container": "rear bottle", "item": "water", "at_m": 0.0, "fluid_ml": 300.0, "powder_g": 0.0,
             "carbohydrate_g": 0.0, "sodium_mg": 0.0, "why": "start"},
            {"container": "rear bottle", "item": "water", "at_m": TAP_M, "fluid_ml": 200.0, "powder_g": 0.0,
             "carbohydrate_g": 0.0, "sodium_mg": 0.0, "why": "tap"},
        ],
        "packing": [
            {**row, "portions_planned": 5, "portions_reserve": 1, "items": 3.0, "carbohydrate_g": 88.2}
        ],
        "reserve": [
            {"item": "oat square", "container": "left pocket", "portions": 1, "carbohydrate_g": 14.7}
        ],
        "preparation": [
            {"when": when, "step": step, "item": item, "text": "as planned"}
            for when, step, item in (
                ("evening", "shop", "oat square"), ("morning", "mix", "drink mix"),
                ("morning", "mix", "water"), ("morning", "pack", "left pocket"),
            )
        ],
    }  # fmt: skip


def made_plan() -> PlanDict:
    kinds = (("climb", 600.0), ("flat", 0.0), ("descent", -600.0))
    plan = {
        "format": "terrain-fuel plan",
        "version": 1,
        "route": {
            "name": "made road", "distance_m": LENGTH_M, "ascent_m": 600.0, "descent_m": 600.0,
            "elevation_source": "file", "elevation_interpolated_m": 0.0,
        },
        "stretches": [
            {"kind": kind, "start_m": 20_000.0 * i, "end_m": 20_000.0 * (i + 1), "start_s": 2500.0 * i,
             "end_s": 2500.0 * (i + 1), "gain_m": gain_m, "mean_grade": gain_m / 20_000.0,
             "technical": kind == "descent"}
            for i, (kind, gain_m) in enumerate(kinds)
        ],
        "corners": [
            {"start_m": 45_200.0, "end_m": 45_240.0, "radius_m": 12.0, "turn_deg": 170.0, "hairpin": True}
        ],
        "cautions": [
            {"kind": "exposed", "start_m": 10_000.0, "end_m": 15_000.0, "hands_on": False, "note": "gusts"},
            {"kind": "technical_descent", "start_m": 45_000.0, "end_m": 48_000.0, "hands_on": True,
             "note": "hairpins: both hands on the bars"},
        ],
        "fuel_points": _points(),
        "warnings": [],
        "sources": ["J14"],
        "violations": [],
        **_carried(),
        **_settings(),
    }  # fmt: skip
    total_up(plan)
    return plan


_MADE = made_plan()


@pytest.fixture
def valid_plan() -> PlanDict:
    """Return a fresh copy of the plan that keeps every rule."""
    return copy.deepcopy(_MADE)


@pytest.fixture
def write_route(tmp_path: Path) -> Callable[..., Path]:
    """Return a writer of the plan's road as GPX, a point every ``step_m``, ``length_m`` long."""

    def write(length_m: float = LENGTH_M, step_m: float = 50.0, waypoint_m: float | None = None) -> Path:
        count = round(length_m / step_m)
        rows = [position(length_m * i / count) for i in range(count + 1)]
        points = "".join(f'<trkpt lat="{lat}" lon="{lon}"/>' for lat, lon in rows)
        waypoint = ""
        if waypoint_m is not None:
            lat, lon = position(waypoint_m)
            waypoint = f'<wpt lat="{lat}" lon="{lon}"><name>tap</name></wpt>'
        path = tmp_path / "made.gpx"
        path.write_text(
            f'<gpx version="1.1" creator="a test" xmlns="http://www.topografix.com/GPX/1/1">{waypoint}'
            f"<trk><trkseg>{points}</trkseg></trk></gpx>",
            encoding="utf-8",
        )
        return path

    return write


@pytest.fixture
def retotal() -> Callable[[PlanDict], None]:
    """Return the writer of totals and running sums."""
    return total_up
