"""The whole pipeline: the day of common practice on the demo loop, sameness, and short and dry rides."""

from dataclasses import replace
from functools import partial
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.checker import check_plan
from terrain_fuel.day import Day, Feed, Purpose
from terrain_fuel.food.pins import EatHere, Swap
from terrain_fuel.inputs.route import read_route
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.pace.ridden import ride_road
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_in_turn, plan_ride, redrink
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.wanted import NoLongerWantedError, wanted_while
from tests.made_roads import Road, make_track
from tests.outputs.demo_plans import demo_plan
from tests.saying import say

ROUTES = Path(__file__).resolve().parent.parent / "routes"
DEMO = ("loop-120.gpx", "rolling-60.gpx", "long-200.gpx")


def plan_demo(name: str, day: Day) -> Plan:
    """Return the plan of a demo route with default settings."""
    track, relief = read_route(ROUTES / name, elevation=ROUTES / "tiles")
    return plan_ride(track, Rider(), Pantry(), day, relief)


@pytest.fixture(scope="module")
def loop() -> Plan:
    """The demo loop on a training day."""
    return plan_demo("loop-120.gpx", Day())


def test_the_loop_is_ridden_and_fed_as_practised(loop: Plan) -> None:
    """Common practice (no source): hilly 120 km at easy endurance in 4 h 10 to 4 h 50, food from
    half an hour in, every twenty minutes, half or a little more of it in the first half."""
    eats_min = np.array([point.time_s / 60.0 for point in loop.fuel_points if point.action == "eat"])
    assert 250.0 <= loop.totals.elapsed_s / 60.0 <= 290.0
    assert 25.0 <= eats_min[0] <= 35.0
    assert 17.0 <= np.median(np.diff(eats_min)) <= 23.0
    assert 0.5 <= loop.totals.first_half_share <= 0.6
    assert loop.violations == ()


def test_nearly_everything_carried_is_eaten_and_a_little_is_left(loop: Plan) -> None:
    """Common practice (no source)."""
    carried_g = sum(row.carbohydrate_g for row in loop.packing if row.form != "powder")
    eaten_g = sum(point.carbohydrate_g for point in loop.fuel_points if point.action == "eat")
    assert 0.6 * carried_g <= eaten_g < carried_g


@pytest.mark.slow
def test_no_caffeine_unless_asked_for_and_then_in_the_second_half() -> None:
    day = Day()
    track, relief = read_route(ROUTES / "loop-120.gpx", elevation=ROUTES / "tiles")
    with_caffeine = plan_ride(track, Rider(caffeine_mg_max=100.0), Pantry(), day, relief)
    for plan, most_mg in ((plan_demo("loop-120.gpx", day), 0.0), (with_caffeine, 100.0)):
        assert plan.totals.caffeine_mg <= most_mg
        taken = [point for point in plan.fuel_points if point.caffeine_mg > 0]
        assert all(point.time_s >= 0.5 * plan.totals.elapsed_s for point in taken)


@pytest.mark.parametrize("purpose", ["training", "race"])
@pytest.mark.parametrize("name", DEMO)
def test_the_demo_routes_keep_every_rule(name: str, purpose: Purpose) -> None:
    plan = plan_demo(name, Day(purpose=purpose))
    assert plan.violations == ()
    assert check_plan(plan_to_dict(plan), ROUTES / name) == ()


def test_same_inputs_same_plan(loop: Plan) -> None:
    again = plan_demo("loop-120.gpx", Day())
    assert plan_to_dict(again) == plan_to_dict(loop)
    assert again.fuel_points == loop.fuel_points


def test_every_source_named_in_the_plan_stands_in_the_references(loop: Plan) -> None:
    text = (ROUTES.parent / "REFERENCES.md").read_text(encoding="utf-8")
    assert loop.sources
    assert [key for key in loop.sources if f"**[{key}]**" not in text] == []


def test_a_ride_of_two_kilometres_needs_nothing() -> None:
    plan = plan_ride(make_track(Road(2.0)), Rider(), Pantry(), Day())
    assert not [point for point in plan.fuel_points if point.action == "eat"]
    assert plan.violations == ()


@pytest.mark.slow
def test_a_dry_day_exits_with_its_gap_and_the_plan_all_the_same() -> None:
    """300 km at 34 degrees without a tap: the water gap is named, drink is shared out to the end."""
    plan = plan_ride(make_track(Road(300.0, hilliness=0.01)), Rider(), Pantry(), Day(temperature_c=34.0))
    gaps = [violation for violation in plan.violations if violation.name == "water gap"]
    assert len(gaps) == 1
    assert "ml short between km 0 and km 300" in say(gaps[0].sentence)
    sips_m = [point.distance_m for point in plan.fuel_points if point.action == "sip"]
    assert max(sips_m) > 280_000.0
    assert all(fault.declared for fault in check_plan(plan_to_dict(plan)))


def test_a_bare_pantry_is_not_overdrawn_and_its_gaps_are_named() -> None:
    """Two loaves of two bites for a ride of four hours: every gap that is too long is declared."""
    pantry = Pantry()
    bare = Pantry(items=(replace(pantry.item("chestnut loaf"), count=2), pantry.item("water")))
    track, relief = read_route(ROUTES / "loop-120.gpx", elevation=ROUTES / "tiles")
    plan = plan_ride(track, Rider(), bare, Day(), relief)
    assert sum(row.portions_planned + row.portions_reserve for row in plan.packing) <= 4
    assert any(violation.rule == 6 for violation in plan.violations)
    assert all(fault.declared for fault in check_plan(plan_to_dict(plan)))


def test_pins_are_kept_and_what_they_change_is_said(loop: Plan) -> None:
    """A gel at km 88: it stands there, and most of the bites stay."""
    track, relief = read_route(ROUTES / "loop-120.gpx", elevation=ROUTES / "tiles")
    pinned = plan_ride(track, Rider(), Pantry(), Day(), relief, pins=(EatHere("plain gel", at_km=88.0),))
    gels = [point for point in pinned.fuel_points if point.item == "plain gel"]
    assert any(abs(point.distance_m - 88_000.0) < 50.0 for point in gels)
    (notice,) = [notice for notice in pinned.warnings if notice.code == "pins"]
    assert "now plain gel at km 88" in say(notice)
    places = {
        (point.item, round(point.distance_m, -2)) for point in loop.fuel_points if point.action == "eat"
    }
    kept = [
        point
        for point in pinned.fuel_points
        if point.action == "eat" and (point.item, round(point.distance_m, -2)) in places
    ]
    assert len(kept) >= 0.6 * sum(point.action == "eat" for point in loop.fuel_points)


def test_a_swap_exchanges_two_bites(loop: Plan) -> None:
    """Two of nearly the same size, so that no hour becomes too full."""
    eats = [point for point in loop.fuel_points if point.action == "eat"]
    first, second = next(
        (one, other)
        for one, other in combinations(eats, 2)
        if one.item != other.item and abs(one.carbohydrate_g - other.carbohydrate_g) < 5.0
    )
    track, relief = read_route(ROUTES / "loop-120.gpx", elevation=ROUTES / "tiles")
    swapped = plan_ride(
        track, Rider(), Pantry(), Day(), relief, pins=(Swap(int(first.label), int(second.label)),)
    )
    found = {round(point.distance_m): point.item for point in swapped.fuel_points if point.action == "eat"}
    assert found[round(first.distance_m)] == second.item
    assert found[round(second.distance_m)] == first.item


def test_food_handed_up_on_the_way_feeds_a_rider_who_set_out_with_little() -> None:
    """Six bites from home; two shops with dried pears: the ride halts there and eats what they hand over."""
    pantry = Pantry()
    items = (replace(pantry.item("chestnut loaf"), count=2), replace(pantry.item("dried pear"), count=1))
    feeds = tuple(Feed(at_km=km, name=f"shop {km}", offers=("dried pear", "water")) for km in (38, 80))
    bare = Pantry(items=(*items, pantry.item("water")))
    track, relief = read_route(ROUTES / "loop-120.gpx", elevation=ROUTES / "tiles")
    plan = plan_ride(track, Rider(), bare, Day(feeds=feeds), relief)
    assert {stop.name for stop in plan.pace.stops} >= {"shop 38", "shop 80"}
    handed = [point for point in plan.fuel_points if point.container.startswith("shop")]
    assert handed
    assert all(point.item == "dried pear" for point in handed)
    assert all(fault.declared for fault in check_plan(plan_to_dict(plan)))


def test_a_plan_stands_before_how_good_it_is_is_known_and_nothing_of_it_moves_then() -> None:
    track = make_track(Road(60.0, hilliness=0.03, taps=(30.0,)))
    few = Pantry(tuple(replace(item, count=min(item.count, 1)) for item in Pantry().items))
    ridden = ride_road(measure_terrain(track, None), Rider(), Day())
    first, whole = plan_in_turn(ridden, few)
    assert whole.fuel_points == first.fuel_points
    assert whole.bottles == first.bottles
    assert all(point.reason.code for point in first.fuel_points)
    assert first.optimality.lower_bound == 0.0 < whole.optimality.lower_bound
    assert plan_to_dict(whole) == plan_to_dict(plan_ride(track, Rider(), few, Day()))


@pytest.mark.slow
def test_a_long_ride_has_a_first_plan_early_that_tells_what_it_keeps_and_changes_nothing() -> None:
    """With less to carry food in, the first plan names that; none is shown that does not keep a pin."""
    track = make_track(Road(300.0, hilliness=0.03, taps=tuple(range(30, 300, 30))))
    ridden = ride_road(measure_terrain(track, None), Rider(), Day())
    firsts: list[Plan] = []
    told = plan_in_turn(ridden, Pantry(), (), firsts.append)
    plan = next(told)
    (first,) = firsts
    assert plan_to_dict(plan) == plan_to_dict(next(plan_in_turn(ridden, Pantry())))
    assert first.fuel_points != plan.fuel_points
    assert first.optimality.objective > plan.optimality.objective
    assert all(
        point.reason.code and point.window_end_m >= point.window_start_m for point in first.fuel_points
    )
    bare = replace(Pantry(), containers=Pantry().containers[:2])
    for pantry in (Pantry(), bare):
        firsts.clear()
        next(plan_in_turn(ridden, pantry, (), firsts.append))
        assert all(fault.declared for fault in check_plan(plan_to_dict(firsts[0])))
    assert "full pockets" in {each.name for each in firsts[0].violations}
    for pins, count in (((), 1), ((EatHere("dried pear", 40.0),), 0)):
        firsts.clear()
        steps = iter([True] * 400)  # the first plan is there by then, the best is not
        with pytest.raises(NoLongerWantedError), wanted_while(partial(next, steps, False)):
            next(plan_in_turn(ridden, Pantry(), pins, firsts.append))
        assert len(firsts) == count


def test_a_ride_that_is_planned_at_once_has_no_first_plan() -> None:
    track = make_track(Road(60.0, hilliness=0.03, taps=(30.0,)))
    ridden = ride_road(measure_terrain(track, None), Rider(), Day())
    firsts: list[Plan] = []
    next(plan_in_turn(ridden, Pantry(), (), firsts.append))
    assert firsts == []


def test_planning_is_broken_off_when_nobody_waits_for_it_any_more() -> None:
    ridden = ride_road(measure_terrain(make_track(Road(60.0, taps=(30.0,))), None), Rider(), Day())
    asked = iter([True] * 5)
    with pytest.raises(NoLongerWantedError), wanted_while(lambda: next(asked, False)):
        next(plan_in_turn(ridden, Pantry()))
    assert next(asked, None) is None  # it went some steps
    with wanted_while(lambda: True):
        broken_off_before = plan_to_dict(next(plan_in_turn(ridden, Pantry())))
    assert broken_off_before == plan_to_dict(next(plan_in_turn(ridden, Pantry())))


@pytest.mark.parametrize("name", ["loop-120", "long-200"])
def test_what_is_eaten_as_planned_is_drunk_as_planned(name: str) -> None:
    plan = demo_plan(name)
    again = redrink(plan, plan.pantry, plan.day)
    assert again.pours == plan.bottles
    assert np.array_equal(again.pace.clock_s, plan.pace.clock_s)
    assert not again.water_gaps


def test_without_bottles_in_reach_there_is_too_little_to_drink(loop: Plan) -> None:
    dry = redrink(loop, replace(loop.pantry, containers=loop.pantry.containers[2:]), loop.day)
    assert {pour.container for pour in dry.pours} <= {"spare bottle"}
    assert dry.water_gaps
