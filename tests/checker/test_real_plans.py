"""The planner's own plans of the demo roads: no fault that they do not declare, and planted ones found."""

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.planner import plan_ride
from tests.any_riders import any_ride
from tests.made_roads import make_track

ROUTES = Path(__file__).resolve().parents[2] / "routes"
PlanDict = dict[str, Any]


@cache
def written(route: str, day: str) -> str:
    """Return the plan.json of a demo road."""
    track, relief = read_route(ROUTES / f"{route}.gpx", elevation=ROUTES / "tiles")
    rider, pantry = read_rider(ROUTES / "rider.toml"), read_pantry(ROUTES / "pantry.toml")
    plan = plan_ride(track, rider, pantry, read_day(ROUTES / f"{day}.toml"), relief)
    return json.dumps(plan_to_dict(plan))


@pytest.mark.parametrize(
    ("route", "day"), [("loop-120", "day"), ("loop-120", "race"), ("rolling-60", "day"), ("long-200", "day")]
)
def test_demo_plans_keep_the_rules(route: str, day: str) -> None:
    faults = check_plan(json.loads(written(route, day)), ROUTES / f"{route}.gpx")
    assert [fault.sentence for fault in faults if not fault.declared] == []


def first(plan: PlanDict, action: str, index: int = 0) -> PlanDict:
    """Return a point of the plan by its action."""
    points: list[PlanDict] = [point for point in plan["fuel_points"] if point["action"] == action]
    return points[index]


def on_to_the_hairpins(plan: PlanDict) -> None:
    flag = next(caution for caution in plan["cautions"] if caution["hands_on"])
    first(plan, "eat", 4)["distance_m"] = 0.5 * (flag["start_m"] + flag["end_m"])


def half_full_bottles(plan: PlanDict) -> None:
    for fill in plan["bottles"]:
        if fill["at_m"] == 0:
            fill.update(
                {key: 0.5 * fill[key] for key in ("fluid_ml", "carbohydrate_g", "sodium_mg", "powder_g")}
            )


def one_bite_less(plan: PlanDict) -> None:
    plan["fuel_points"].remove(first(plan, "eat", 5))


def two_bites_at_once(plan: PlanDict) -> None:
    first(plan, "eat", 2)["portions"] += 3


def a_lower_limit(plan: PlanDict) -> None:
    plan["rider"]["rider"]["carbohydrate_limit_g_per_h"] = 40.0


def a_hot_head_without_sweat(plan: PlanDict) -> None:
    plan["timeline"]["sweat_ml"] = [0.0 for _ in plan["timeline"]["sweat_ml"]]


def a_lost_pocket(plan: PlanDict) -> None:
    plan["packing"].pop(0)


def no_sips(plan: PlanDict) -> None:
    plan["fuel_points"] = [point for point in plan["fuel_points"] if point["action"] != "sip"]


def a_stretch_less(plan: PlanDict) -> None:
    plan["stretches"].pop(1)


def reversed_numbers(plan: PlanDict) -> None:
    for point, number in zip(plan["fuel_points"], range(len(plan["fuel_points"]), 0, -1), strict=True):
        point["number"] = number


@pytest.mark.parametrize(
    ("plant", "rule"),
    [
        (on_to_the_hairpins, 2),
        (half_full_bottles, 5),
        (one_bite_less, 6),
        (two_bites_at_once, 5),
        (a_lower_limit, 4),
        (a_hot_head_without_sweat, 4),
        (a_lost_pocket, 5),
        (no_sips, 3),
        (a_stretch_less, 1),
        (reversed_numbers, 7),
    ],
)
def test_faults_planted_in_a_real_plan_are_found(plant: Callable[[PlanDict], None], rule: int) -> None:
    plan = json.loads(written("loop-120", "day"))
    plant(plan)
    assert rule in {fault.rule for fault in check_plan(plan) if not fault.declared}


@pytest.mark.slow
@pytest.mark.parametrize("number", [31458, 31699])
def test_a_mouthful_right_after_a_halt_is_counted_in_the_hour_before(number: int) -> None:
    """An hour held 62 g of 60, one 1,033 ml of 1,000: the last sip was told seconds before it was taken."""
    drawn = any_ride(number)
    plan = plan_ride(make_track(drawn.road), drawn.rider, drawn.pantry, drawn.day)
    assert [fault for fault in check_plan(plan_to_dict(plan)) if not fault.declared] == []


def test_the_plan_of_another_road_is_found() -> None:
    plan = json.loads(written("loop-120", "day"))
    assert "route" in {fault.kind for fault in check_plan(plan, ROUTES / "long-200.gpx")}
