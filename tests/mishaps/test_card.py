"""The card of mishaps: what it tells is what the day with that mishap asks for, on the road that is there."""

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from tests.demo import ROUTES
from tests.judge.battery import planned
from tests.judge.strangers import make_stranger
from tests.made_roads import Road, make_track
from tests.outputs.demo_plans import demo_plan
from tests.saying import say

CODES = ("tap_shut", "bottle_lost", "late", "stomach_turned", "rain")


@cache
def loop() -> Plan:
    return with_mishaps(demo_plan("loop-120"))


def values_of(plan: Plan, code: str) -> Mapping[str, Any]:
    (told,) = (mishap.sentence for mishap in plan.mishaps if mishap.code == code)
    return told.values


def made(road: Road, pantry: Pantry | None = None, day: Day | None = None) -> Plan:
    return with_mishaps(plan_ride(make_track(road), Rider(), pantry or Pantry(), day or Day()))


def bottles(*sizes_ml: float) -> Pantry:
    """Return the usual foods with bottles of some sizes and one pocket."""
    named = tuple(
        Container(f"bottle {number}", "bottle", holds_ml=size) for number, size in enumerate(sizes_ml, 1)
    )
    return Pantry(containers=(*named, Container("pocket", "pocket", holds_items=12)))


def test_the_command_writes_the_card_into_the_plan(tmp_path: Path) -> None:
    words = ["plan", str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}", f"--out={tmp_path}"]
    assert main([*words, "--quiet"]) == 0
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    assert {mishap["code"] for mishap in plan["mishaps"]} <= set(CODES)
    assert len(plan["mishaps"]) >= 3
    assert all(mishap["sentence"].endswith(".") for mishap in plan["mishaps"])


def test_every_mishap_has_its_line_in_a_fixed_order() -> None:
    assert tuple(mishap.code for mishap in loop().mishaps) == CODES
    plan = demo_plan("rolling-60")
    assert with_mishaps(plan).mishaps == with_mishaps(plan).mishaps


def test_a_shut_tap_sends_to_the_next_water_on_the_road_with_what_is_left() -> None:
    plan = loop()
    told = values_of(plan, "tap_shut")
    poured: dict[float, float] = {}
    for point in plan.fuel_points:
        if point.action == "refill":
            poured[round(point.distance_m, -2)] = (
                poured.get(round(point.distance_m, -2), 0.0) + point.fluid_ml
            )
    assert round(told["at_m"], -2) == max(poured, key=poured.__getitem__)
    water = [p.distance_m for p in plan.terrain.track.waypoints if p.kind in ("refill", "feed")]
    then = told["then"].values
    assert then["next_m"] == pytest.approx(min(m for m in water if m > told["at_m"] + 500.0), abs=10.0)
    filled_ml = sum(fill.fluid_ml for fill in plan.bottles if fill.at_m == 0.0)
    drunk_ml = sum(p.fluid_ml for p in plan.fuel_points if p.action == "sip" and p.distance_m < told["at_m"])
    assert then["left"].values["left_ml"] == pytest.approx(filled_ml - drunk_ml)


def test_a_shut_tap_that_is_the_last_says_so() -> None:
    plan = made(Road(90.0, taps=(45.0,)), bottles(500.0))
    said = next(say(mishap.sentence) for mishap in plan.mishaps if mishap.code == "tap_shut")
    assert said.startswith(
        ("tap 45 at km 45 gives nothing: about ", "tap 45 at km 45 gives nothing: the bottles are")
    )
    assert "about 0 ml" not in said
    assert "no other tap comes; ask at a house" in said


def test_a_shut_feed_of_the_day_file_and_its_waypoint_are_both_gone() -> None:
    day = Day(feeds=(Feed(at_km=45.1, name="mill shop"),))
    plan = made(Road(90.0, taps=(45.0, 70.0)), bottles(500.0), day)
    told = values_of(plan, "tap_shut")
    assert told["place"] in ("mill shop", "tap 70")
    if told["place"] == "mill shop":
        assert told["then"].values["next_m"] == pytest.approx(70_000.0, abs=50.0)


def test_without_a_tap_no_line_tells_of_one() -> None:
    assert "tap_shut" not in {mishap.code for mishap in made(Road(30.0)).mishaps}


def test_with_a_bottle_lost_the_halts_are_those_of_a_day_without_it() -> None:
    road = Road(90.0, taps=(30.0, 60.0))
    plan = made(road, bottles(750.0, 600.0))
    said = next(say(mishap.sentence) for mishap in plan.mishaps if mishap.code == "bottle_lost")
    assert said.startswith("The bottle 1 is lost")
    without = plan_ride(
        make_track(road), Rider(), Pantry(containers=bottles(750.0, 600.0).containers[1:]), Day()
    )
    used, needed = (
        {round(p.distance_m / 1000.0) for p in each.fuel_points if p.action == "refill"}
        for each in (plan, without)
    )
    assert needed - used
    for at_km in needed - used:
        assert f"tap {at_km} (km {at_km})" in said


def test_a_lost_bottle_may_be_one_that_the_rider_fills_himself() -> None:
    day = Day(fills=(Fill("bottle 1", "drink mix"),))
    plan = made(Road(60.0), bottles(750.0, 500.0), day)
    assert values_of(plan, "bottle_lost")["bottle"] == "bottle 1"


def test_the_only_bottle_lost_is_told_as_that() -> None:
    plan = made(Road(40.0), bottles(750.0))
    assert "there is no other" in next(say(m.sentence) for m in plan.mishaps if m.code == "bottle_lost")
    none = made(Road(20.0), Pantry(containers=(Container("pocket", "pocket", holds_items=9),)))
    assert "bottle_lost" not in {mishap.code for mishap in none.mishaps}


def test_twenty_minutes_late_is_home_twenty_minutes_later() -> None:
    plan = loop()
    told = values_of(plan, "late")
    home_s = (told["home"] - plan.day.start).total_seconds()
    assert home_s == pytest.approx(plan.pace.elapsed_s + 1200.0, abs=1.0)
    assert plan.pace.clock_at(told["half_m"]) == pytest.approx(0.5 * plan.pace.elapsed_s, abs=200.0)


def test_late_into_the_dark_asks_for_lights() -> None:
    start = demo_plan("rolling-60").day.start.replace(hour=19, minute=20)
    plan = demo_plan("rolling-60")
    dusk = plan_ride(plan.terrain.track, plan.rider, plan.pantry, replace(plan.day, start=start))
    assert dusk.daylight is not None
    assert not dusk.daylight.finish_dark
    assert "lights on" in next(say(m.sentence) for m in with_mishaps(dusk).mishaps if m.code == "late")


def test_a_turned_stomach_gets_half_at_most_soft_and_without_caffeine() -> None:
    plan = loop()
    told = values_of(plan, "stomach_turned")["calm"].values
    assert 0.0 < told["rate_g_per_h"] <= 37.5
    kept = told["small"].values["items"]
    for name in kept:
        item = plan.pantry.item(name)
        assert item.soft
        assert item.caffeine_mg == 0.0
        assert item.carbohydrate_g / item.portions <= 20.0


def stomach_line(plan: Plan) -> str:
    return next(say(each.sentence) for each in with_mishaps(plan).mishaps if each.code == "stomach_turned")


def test_a_turned_stomach_gets_only_what_is_carried(tmp_path: Path) -> None:
    """A race of two hours: the potatoes, soft and small, are neither eaten nor kept back."""
    plan = planned(make_stranger(290).write(tmp_path))
    assert "boiled potato" in {item.name for item in plan.pantry.items if item.soft}
    assert "boiled potato" not in {row.item for row in plan.packing}
    assert "potato" not in stomach_line(plan)


def test_where_only_water_is_left_for_the_stomach_no_grams_are_told() -> None:
    """Loaves too large for it, and water in both bottles: "about 0 g an hour, in drink only" helps nobody."""
    loaf = Item("loaf", "solid", 40.0, count=20, portions=2)
    kitchen = Pantry((loaf, WATER), bottles(750.0, 750.0).containers)
    line = stomach_line(plan_ride(make_track(Road(60.0, 0.0, 0.0)), Rider(), kitchen, Day()))
    assert "stay with water" in line
    assert " g an hour" not in line


def test_rain_moves_what_stands_before_slippery_bends_and_says_where_to() -> None:
    plan = made(Road(50.0, 0.04, 0.9, seed=2))
    told = values_of(plan, "rain")
    eaten = [point.distance_m for point in plan.fuel_points if point.action == "eat"]
    wet = plan_ride(plan.terrain.track, plan.rider, plan.pantry, Day(surface_wet=True))
    eaten_wet = [point.distance_m for point in wet.fuel_points if point.action == "eat"]
    moves = told["moves"]
    assert moves
    for move in moves:
        assert move.values["from_m"] in eaten
        assert move.values["to_m"] in eaten_wet


def test_a_wet_day_and_a_flat_road_have_no_line_for_rain() -> None:
    wet = made(Road(30.0), day=Day(surface_wet=True))
    flat = made(Road(30.0, hilliness=0.0))
    for plan in (wet, flat):
        assert "rain" not in {mishap.code for mishap in plan.mishaps}
