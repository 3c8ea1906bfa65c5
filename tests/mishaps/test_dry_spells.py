"""Bottles leave full where many rides of a plan run dry, and as they were where few do."""

from dataclasses import replace

import pytest

from terrain_fuel.day import Day, Fill
from terrain_fuel.mishaps.dry_spells import ride_under_luck, with_full_bottles
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.made_roads import Road, make_track
from tests.saying import say

NO_RESERVE = Day(reserve_min=0.0)


def planned_on(day: Day, km: float = 81.0) -> Plan:
    """Return the plan of a flat road without water, of 1150 ml: one bottle of 750 full, the other half."""
    return plan_ride(make_track(Road(km, hilliness=0.0, bends=0.0)), Rider(), Pantry(), day)


def at_start_ml(plan: Plan) -> dict[str, float]:
    return {pour.container: pour.fluid_ml for pour in plan.bottles if pour.at_m == 0.0}


def share_dry(plan: Plan) -> float:
    assert plan.luck is not None
    return next(chance.share for chance in plan.luck.chances if chance.name == "ran_dry")


@pytest.fixture(scope="module")
def half_full() -> Plan:
    return planned_on(NO_RESERVE)


def test_where_more_than_one_ride_in_ten_runs_dry_both_bottles_leave_full(half_full: Plan) -> None:
    assert sorted(at_start_ml(half_full).values()) == [400.0, 750.0]
    full = ride_under_luck(half_full, planned_on, 100)
    assert at_start_ml(full) == {"front bottle": 750.0, "rear bottle": 750.0}
    assert share_dry(full) < 0.1
    (told,) = [say(each) for each in full.warnings if each.code == "filled_to_the_brim"]
    assert told.startswith("Every bottle leaves full")
    assert full.violations == ()


def test_where_few_do_the_plan_stays(half_full: Plan) -> None:
    shorter = planned_on(NO_RESERVE, 60.0)
    lucky = ride_under_luck(shorter, planned_on, 100)
    assert at_start_ml(lucky) == at_start_ml(shorter)
    assert share_dry(lucky) <= 0.1
    assert lucky.fuel_points != shorter.fuel_points  # the windows are those of the rides


def test_what_the_rider_has_set_is_left_alone(half_full: Plan) -> None:
    day = with_full_bottles(half_full)
    assert day is not None
    assert {fill.container for fill in day.fills} == {"front bottle", "rear bottle"}
    own = (Fill("front bottle", "water"), Fill("rear bottle", "drink mix", fluid_ml=400.0))
    assert with_full_bottles(replace(half_full, day=replace(half_full.day, fills=own))) is None
