"""The curve of what should have been eaten: how long it counts, how fast it rises, what an hour may hold."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.day import Day, Feed
from terrain_fuel.food.build import FoodTask, build_task
from terrain_fuel.food.curve import HourLimit, food_curve
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.place import place_food
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import WATER, Item, Pantry
from terrain_fuel.rules.asking import Asking
from terrain_fuel.rules.road import Road
from tests.food.roads import Part, ride

KM_PER_H = 8.5 * 3.6
AMPLE = HourLimit(1000.0)
ASKING = Asking(
    curve_weight=1.0,
    first_share=0.75,
    last_share=0.5,
    mix_feeds=1.0,
    mix_fills=0.75,
    mouthful_free=1.0,
    mix_share=None,
)
"""What a plan asks for on an ordinary day."""


def flat(hours: float) -> Road:
    """Return so many hours of flat road on which 60 g are wanted in each."""
    road = ride([Part("flat", hours * KM_PER_H)]).road
    return replace(road, target_g=60.0 * road.clock_s / 3600.0, asking=ASKING)


@pytest.mark.parametrize(("hours", "milestones_h"), [(1.0, 0.75), (2.0, 1.5), (5.0, 1.5)])
def test_half_time_and_finish_count_three_quarters_of_an_hour_each_and_less_on_a_short_ride(
    hours: float, milestones_h: float
) -> None:
    road = flat(hours)
    curve = food_curve(road, np.zeros(0), AMPLE, 120.0)
    assert curve.step_h.sum() == pytest.approx(hours + milestones_h, rel=1e-3)
    assert curve.step_h[-1] > milestones_h / 2.0
    middle = int(np.argmax(curve.step_h[:-1]))
    assert np.cumsum(curve.step_h)[middle] == pytest.approx((hours + milestones_h) / 2.0, rel=1e-3)
    half = replace(road, asking=replace(ASKING, curve_weight=0.5))
    halved = food_curve(half, np.zeros(0), AMPLE, 120.0)
    assert halved.step_h == pytest.approx(0.5 * curve.step_h)


def test_places_cut_the_curve_and_change_no_sum() -> None:
    road = flat(3.0)
    edges_s = np.sort(np.random.default_rng(1).uniform(60.0, 10_000.0, 40))
    whole, cut = food_curve(road, np.zeros(0), AMPLE, 120.0), food_curve(road, edges_s, AMPLE, 120.0)
    assert cut.step_h.size == whole.step_h.size + 40
    for power in (0, 1, 2):
        sums = [float(np.sum(each.step_h * each.need_g**power)) for each in (whole, cut)]
        assert sums[0] == pytest.approx(sums[1])
    # as many pieces lie before a place as end by then
    ends_s = np.cumsum(cut.step_h) * 3600.0
    first_half = edges_s[edges_s < 5000.0]
    before = cut.pieces_before[: first_half.size]
    assert ends_s[before - 1] == pytest.approx(first_half)
    assert cut.pieces_before[-1] == cut.step_h.size


def test_what_is_drunk_need_not_be_eaten_and_the_end_asks_for_nothing_more() -> None:
    road = flat(3.0)
    drunk = replace(road, drink_g=20.0 * road.clock_s / 3600.0)
    # up to half a rhythm before the last bite, 20 min before the end: 160 min
    asked_h = (road.last_bite_s - 600.0) / 3600.0
    assert food_curve(road, np.zeros(0), AMPLE, 60.0).need_g[-1] == pytest.approx(60.0 * asked_h)
    assert food_curve(drunk, np.zeros(0), AMPLE, 60.0).need_g[-1] == pytest.approx(40.0 * asked_h)
    # where half of the mix is not counted on, bites bring what it would have, up to the last bite
    full = replace(drunk, asking=replace(ASKING, last_share=0.0, mix_feeds=0.5))
    asked_g = 50.0 * road.last_bite_s / 3600.0
    assert food_curve(full, np.zeros(0), AMPLE, 60.0).need_g[-1] == pytest.approx(asked_g)
    little = food_curve(road, np.zeros(0), AMPLE, 60.0, stock_g=50.0)
    plenty = food_curve(road, np.zeros(0), AMPLE, 60.0)
    assert little.need_g == pytest.approx(plenty.need_g * 50.0 / plenty.need_g[-1])


def test_the_curve_rises_no_faster_than_bites_can_follow() -> None:
    """40 g an hour have room, of which whole bites fill 95 %."""
    curve = food_curve(flat(3.0), np.zeros(0), HourLimit(40.0), 60.0)
    rises = np.diff(curve.need_g, prepend=0.0)
    # pieces of a minute, or a second less
    assert rises.max() == pytest.approx(0.95 * 40.0 * 60.0 / 3600.0, rel=0.02)


def test_three_quarters_of_the_drink_and_a_mouthful_take_room_in_the_hour() -> None:
    road = flat(4.0)
    at_s: FloatArray = np.array([600.0, 7200.0, 10_800.0])
    drunk = replace(road, drink_g=np.clip((road.clock_s - 5400.0) / 3600.0, 0.0, 1.0) * 24.0)
    # 24 g between 90 and 150 min: some hour around 120 min holds all of it, one around 10 min none, and of
    # those around 180 min none more than half
    assert HourLimit(75.0).room_g(drunk, at_s)[1] == pytest.approx(75.0 - 0.75 * 24.0, abs=0.5)
    assert HourLimit(75.0, 5.0).room_g(drunk, at_s)[1] == pytest.approx(75.0 - 0.75 * 24.0 - 5.0, abs=0.5)
    assert HourLimit(75.0, 5.0).room_g(drunk, at_s)[0] == pytest.approx(75.0, abs=0.5)
    assert HourLimit(75.0).room_g(drunk, at_s)[2] == pytest.approx(75.0 - 0.75 * 12.0, abs=0.5)
    # 61 min before the first of it no hour has any yet, 58 min before the fullest has 2 min of it, 0.8 g
    near: FloatArray = np.array([1739.0, 1920.0])
    assert HourLimit(75.0).room_g(drunk, near) == pytest.approx([75.0, 75.0 - 0.75 * 1.2], abs=0.31)
    assert HourLimit(75.0).room_g(drunk, near)[0] == 75.0


def test_what_is_at_hand_is_the_stock_less_what_is_kept_back_and_without_end_behind_a_shop() -> None:
    """Six slices of 20 g, two bites each, and three gums with caffeine; two bites and 30 g are kept."""
    slices = Item("slice", "solid", 20.0, count=6, portions=2)
    gum = Item("gum", "chew", 10.0, count=3, caffeine_mg=50.0)
    kitchen = Pantry((slices, gum, Item("bun", "solid", 40.0, count=0), WATER))

    def task_of(*feeds: Feed) -> FoodTask:
        stops = tuple(Stop(feed.at_km * 1000.0, 300.0, feed.name) for feed in feeds)
        ridden = ride([Part("flat", 60.0)], day=Day(feeds=feeds), stops=stops)
        return build_task(
            ridden.road, kitchen, ridden.rider, lump_g=0.0, reserve_g=30.0, reserved={"slice": 2}
        )

    plain = task_of()
    assert {option.item.name for option in plain.options} == {"slice", "gum"}
    assert plain.stock.tolist() == [10, 3]
    assert plain.at_hand_g == 10 * 10.0 - 30.0  # gum is no food for all day
    assert plain.problem.stock_g == 6 * 20.0 + 3 * 10.0 - 30.0
    assert plain.problem.drawn.all()
    unsure = task_of(Feed(30.0, "shop", offers=("bun", "slice"), sure=False))
    assert unsure.problem.drawn.all()
    assert unsure.at_hand_g == 70.0
    shop = task_of(Feed(30.0, "shop", offers=("bun", "slice")))
    assert shop.at_hand_g == float("inf")
    at_m = shop.places.distance_m
    for column, option in enumerate(shop.options):
        bought = (at_m >= 30_000.0) & (option.item.name in ("bun", "slice"))
        assert np.array_equal(shop.problem.drawn[:, column], ~bought)
    # from the second shop on its own wares are taken along
    two = task_of(Feed(30.0, "shop", offers=("bun",)), Feed(45.0, "mill", offers=("slice", "water")))
    for column, option in enumerate(two.options):
        drawn = two.problem.drawn[:, column]
        sold_m = {"bun": (30_000.0, 45_000.0), "slice": (45_000.0, 1e9)}.get(option.item.name, (0.0, 0.0))
        at_m = two.places.distance_m
        assert np.array_equal(~drawn, (at_m >= sold_m[0]) & (at_m < sold_m[1]))


def test_a_bite_is_no_sooner_than_a_third_of_the_rhythm_and_the_first_not_long_before_its_time() -> None:
    ridden = ride([Part("flat", 60.0)])
    problem = build_task(ridden.road, Pantry(), ridden.rider, lump_g=0.0, reserve_g=0.0, reserved={}).problem
    first_s, allowed = (
        problem.clock_s[np.isfinite(problem.arc_cost[0, :-1])][0],
        np.isfinite(problem.arc_cost),
    )
    assert 0.35 * 1200.0 <= first_s <= 1800.0
    gap_s = problem.clock_s[None, :] - problem.clock_s[:, None]
    assert np.array_equal(allowed[1:, :-1], gap_s >= 0.35 * 1200.0)
    # beyond the longest gap of half an hour at once 100, 100 for a minute and 5 for its square
    place = int(np.searchsorted(problem.clock_s, problem.clock_s[0] + 1800.0 + 300.0))
    over_min = (problem.clock_s[place] - problem.until_s[1]) / 60.0
    near = int(np.searchsorted(problem.clock_s, problem.until_s[1], side="right")) - 1
    assert problem.arc_cost[1, place] >= 100.0 + 100.0 * over_min + 5.0 * over_min**2
    assert problem.arc_cost[1, place] <= 100.0 + 100.0 * over_min + 5.0 * over_min**2 + 10.0
    assert problem.arc_cost[1, near] < 10.0


def test_how_far_a_plan_may_be_from_the_best_is_a_share_of_what_it_costs(loop_plan: FoodPlan) -> None:
    assert replace(loop_plan, objective=8.0, lower_bound=6.0).gap == pytest.approx(0.25)
    assert replace(loop_plan, objective=8.0, lower_bound=8.5).gap == 0.0


@pytest.fixture(scope="module")
def loop_plan() -> FoodPlan:
    ridden = ride([Part("flat", 20.0)])
    return place_food(ridden.road, Pantry(), ridden.rider, care="draft")
