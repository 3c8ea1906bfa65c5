"""The day that riders know: what practice says of it must come out of the settings alone."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from terrain_fuel.day import Feed
from terrain_fuel.drink.feedings import over_gaps
from terrain_fuel.food.model import Bite, FoodPlan
from terrain_fuel.food.place import place_food
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.rider import Habits, Rider
from tests.food.pricing import eaten_by_item
from tests.food.roads import HILLY_LOOP, Part, Ridden, ride
from tests.saying import say
from tests.usual import USUAL

# All checks here are common practice (no source).
DRINK_G_PER_H = 12.0


def planned(ridden: Ridden, pantry: Pantry | None = None, drink_g_per_h: float = DRINK_G_PER_H) -> FoodPlan:
    road = ridden.drinking_g_per_h(drink_g_per_h).road
    return place_food(road, pantry or Pantry(), ridden.rider, lump_g=3.0)


@pytest.fixture(scope="module")
def loop() -> Ridden:
    return ride(HILLY_LOOP, Rider(caffeine_mg_max=150.0), target_g_per_h=58.0)


@pytest.fixture(scope="module")
def bites(loop: Ridden) -> tuple[Bite, ...]:
    return planned(loop).bites


def gaps_min(bites: Sequence[Bite]) -> np.ndarray:
    return np.diff([bite.clock_s for bite in bites]) / 60.0


def kind_of(bite: Bite) -> str:
    return Pantry().item(bite.item).kind


def test_ride_is_the_day_of_practice(loop: Ridden) -> None:
    assert 118_000 <= loop.road.distance_m[-1] <= 122_000
    assert 4.2 <= loop.road.elapsed_s / 3600 <= 4.8


def test_first_food_is_solid_and_comes_about_half_an_hour_in(bites: tuple[Bite, ...]) -> None:
    assert 25 <= bites[0].clock_s / 60 <= 35
    assert kind_of(bites[0]) == "solid"
    assert "first_food" in bites[0].rules


def test_rhythm_is_about_twenty_minutes(bites: tuple[Bite, ...]) -> None:
    assert 17 <= np.median(gaps_min(bites)) <= 23
    assert gaps_min(bites).max() <= 30


def test_more_in_the_first_half(loop: Ridden, bites: tuple[Bite, ...]) -> None:
    half_s = loop.road.elapsed_s / 2
    early_g = sum(b.carbohydrate_g for b in bites if b.clock_s < half_s) + DRINK_G_PER_H * half_s / 3600
    all_g = sum(b.carbohydrate_g for b in bites) + DRINK_G_PER_H * loop.road.elapsed_s / 3600
    assert 0.5 <= early_g / all_g <= 0.6


def test_slow_and_solid_in_the_first_hour_and_a_half(bites: tuple[Bite, ...]) -> None:
    early = [kind_of(bite) for bite in bites if bite.clock_s < 5400]
    assert early.count("solid") >= len(early) - 1
    assert "gel" not in early


def test_something_solid_between_in_every_two_bites_until_the_last_hour(
    loop: Ridden, bites: tuple[Bite, ...]
) -> None:
    before = [kind_of(bite) for bite in bites if bite.clock_s < loop.road.elapsed_s - 3600]
    assert all("solid" in pair for pair in pairwise(before))


def test_quick_sweets_in_the_last_hour(loop: Ridden, bites: tuple[Bite, ...]) -> None:
    last = [bite for bite in bites if bite.clock_s > loop.road.elapsed_s - 3600]
    assert last
    assert all(kind_of(bite) != "solid" for bite in last)
    assert not [bite for bite in bites if bite.item == "barley sugar" and bite not in last]


def test_every_crest_is_fed_before_the_descent(loop: Ridden, bites: tuple[Bite, ...]) -> None:
    for crest in loop.road.crests:
        assert any(crest.start_m < bite.distance_m <= crest.end_m for bite in bites), crest


def test_crest_is_worth_eating_early(loop: Ridden, bites: tuple[Bite, ...]) -> None:
    # a road whose top comes 12 minutes after the first food: eaten there all the same
    ridden = ride([Part("flat", 13), Part("climb", 3.2), Part("descent", 6), Part("flat", 20)])
    crest = ridden.road.crests[0]
    plan = planned(ridden)
    on_top = [b for b in plan.bites if crest.start_m < b.distance_m <= crest.end_m]
    assert on_top
    assert "crest" in on_top[0].rules
    assert "easier to digest on the way down" in say(on_top[0].reason)


def test_caffeine_only_in_the_second_half_and_within_the_cap() -> None:
    # nothing but caffeine gels is left for late: they must be eaten, but not before half-time
    items = [i for i in Pantry().items if i.kind not in ("gel", "chew")]
    coffee = Item("coffee gel", "gel", 25.0, caffeine_mg=50.0, count=8, timing="late", soft=True)
    ridden = ride(HILLY_LOOP, Rider(caffeine_mg_max=150.0))
    plan = planned(ridden, Pantry((*items, coffee)))
    eaten = [bite for bite in plan.bites if bite.caffeine_mg > 0]
    assert eaten
    assert all(bite.clock_s >= ridden.road.elapsed_s / 2 for bite in eaten)
    assert sum(bite.caffeine_mg for bite in eaten) <= 150.0
    half_m = np.interp(ridden.road.elapsed_s / 2, ridden.road.clock_s, ridden.road.distance_m)
    assert all(bite.window_start_m >= half_m for bite in eaten)


def test_no_caffeine_by_default(loop: Ridden) -> None:
    plan = planned(ride(HILLY_LOOP))
    assert not [bite for bite in plan.bites if bite.caffeine_mg > 0]


def test_salty_and_sweet_take_turns_from_the_third_hour(bites: tuple[Bite, ...]) -> None:
    late = [Pantry().item(b.item).taste for b in bites if 3 * 3600 < b.clock_s < 3.5 * 3600]
    assert "salty" in late


def test_an_hour_long_climb_gets_something_small_and_soft_and_a_top_up_before() -> None:
    ridden = ride([Part("flat", 25), Part("climb", 14), Part("descent", 12), Part("flat", 25)])
    foot_m, top_m = 25_000.0, 39_000.0
    plan = planned(ridden)
    before = [b for b in plan.bites if ridden.road.feet[0].start_m < b.distance_m <= foot_m]
    assert before
    on_climb = [b for b in plan.bites if foot_m < b.distance_m < top_m - 600]
    assert on_climb
    for bite in on_climb:
        item = Pantry().item(bite.item)
        assert item.soft
        assert bite.carbohydrate_g <= 22.0
    # the rhythm is let go of on the climb: 60 min take two bites, not three
    assert len(on_climb) <= 2


def test_short_ride_needs_no_food() -> None:
    plan = planned(ride([Part("flat", 2)]))
    assert plan.bites == ()


def test_hundred_kilometres_without_food_in_the_house() -> None:
    drinks = tuple(item for item in Pantry().items if not item.is_food)
    ridden = ride(HILLY_LOOP)
    plan = planned(ridden, Pantry(drinks))
    assert plan.bites == ()
    (hungry,), _ = over_gaps(plan.bites, (), ridden.road)
    assert (hungry.rule, hungry.start_m) == (6, 0.0)


def test_every_climb_that_gains_much_is_met_topped_up(loop: Ridden, bites: tuple[Bite, ...]) -> None:
    """Four climbs of 180 to 480 m; none has its bite on the first minute of the climb."""
    feet_s = [loop.demand.pace.clock_at(1000.0 * km) for km in (18.0, 43.0, 75.0, 99.0)]
    ahead_min = [[(foot_s - bite.clock_s) / 60.0 for bite in bites] for foot_s in feet_s]
    assert [any(5.0 <= ahead <= 10.0 for ahead in each) for each in ahead_min] == [True] * 4
    assert not any(-0.75 < ahead < 1.5 for each in ahead_min for ahead in each)


def test_what_has_no_room_when_a_long_halt_begins_is_eaten_at_its_end() -> None:
    """Two rolls of 30 g fill an hour of 60 g; the third has room eight minutes into the halt of ten."""
    habits = replace(USUAL.habits, eat_every_min=25, longest_gap_min=40)
    rider = replace(USUAL, carbohydrate_limit_g_per_h=60.0, habits=habits)
    halt = Stop(39_700.0, 600.0, "inn")
    ridden = ride([Part("flat", 90)], rider, stops=(halt,))
    roll = Item("roll", "solid", carbohydrate_g=30.0, count=9)
    before, at_it = planned(ridden, Pantry((roll,)), 0.0).bites[1:3]
    arrives_s = ridden.demand.pace.clock_at(halt.distance_m)
    assert at_it.distance_m - halt.distance_m == 50.0  # the next node
    assert at_it.clock_s - arrives_s == pytest.approx(606.0, abs=1.0)
    assert arrives_s - before.clock_s < 1800.0 < at_it.clock_s - before.clock_s


def test_a_halt_hands_food_over_and_spares_the_stock() -> None:
    day = replace(ride(HILLY_LOOP).day, feeds=(Feed(62.0, "school yard", ("dried pear",), 5.0, True),))
    ridden = ride(HILLY_LOOP, day=day, stops=(Stop(62_000.0, 300.0, "school yard"),))
    items = [replace(i, count=1) if i.name == "dried pear" else i for i in Pantry().items]
    plan = planned(ridden, Pantry(tuple(items)))
    handed = [bite for bite in plan.bites if bite.handed_over]
    assert all(bite.handed_over == "school yard" and bite.item == "dried pear" for bite in handed)
    assert eaten_by_item(plan)["dried pear"] <= 2


def test_with_nothing_in_reach_food_waits_for_the_halt() -> None:
    boxes = (Container("saddle pouch", "bag", holds_items=10, reach="stopped"),)
    stop = Stop(30_000.0, 300.0, "village")
    ridden = ride([Part("flat", 55)], stops=(stop,))
    free = planned(ridden).bites
    bound = planned(ridden, Pantry(containers=boxes)).bites
    at_it_m = (30_000.0, 30_050.0)  # by the clock of its begin, and of its end
    assert sum(b.distance_m in at_it_m for b in bound) >= sum(b.distance_m in at_it_m for b in free)
    assert any(b.distance_m in at_it_m for b in bound)


def test_a_rule_switched_off_no_longer_decides(loop: Ridden) -> None:
    off = replace(loop.rider, rule_weights=(("crest", 0.0), ("crest_passed", 0.0)))
    plan = place_food(loop.drinking_g_per_h(DRINK_G_PER_H).road, Pantry(), off)
    assert all("crest_passed" not in bite.rules for bite in plan.bites)
    scores = dict(plan.bites[3].scores)
    assert scores["crest"] == 1.0


def test_rhythm_of_the_rider_is_kept() -> None:
    rider = Rider(habits=Habits(eat_every_min=15.0, first_food_min=20.0, longest_gap_min=25.0))
    plan = planned(ride(HILLY_LOOP, rider))
    assert 13 <= np.median(gaps_min(plan.bites)) <= 18
    assert plan.bites[0].clock_s / 60 <= 25
