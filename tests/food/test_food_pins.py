"""The rider's hand: pins are kept, the rest changes as little as possible, and what cannot be is said."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.drink.feedings import over_gaps
from terrain_fuel.errors import SettingsError
from terrain_fuel.food.model import Bite, FoodPlan
from terrain_fuel.food.pins import EatHere, NoFood, OnlyInLastHour, Pin, Swap, resolve_swaps
from terrain_fuel.food.place import place_food
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint
from tests.food.roads import HILLY_LOOP, ride

RIDDEN = ride(HILLY_LOOP).drinking_g_per_h(15.0)


def plan_with(*pins: Pin, previous: FoodPlan | None = None, pantry: Pantry | None = None) -> FoodPlan:
    return place_food(
        RIDDEN.road, pantry or Pantry(), RIDDEN.rider, pins, lump_g=3.0,
        previous=previous,
    )  # fmt: skip


@pytest.fixture(scope="module")
def free() -> FoodPlan:
    return plan_with()


def bite_at(plan: FoodPlan, km: float) -> Bite:
    return min(plan.bites, key=lambda bite: abs(bite.distance_m - km * 1000))


def spots(plan: FoodPlan) -> set[tuple[int, str]]:
    return {(bite.place, bite.item) for bite in plan.bites}


def test_item_at_its_kilometre() -> None:
    plan = plan_with(EatHere("plain gel", 88.0))
    bite = bite_at(plan, 88.0)
    assert (bite.distance_m, bite.item) == (88_000.0, "plain gel")
    assert bite.rules == ("pin",)
    assert over_gaps(plan.bites, (), RIDDEN.road) == ((), ())


def test_portions_pinned_beyond_a_usual_bite() -> None:
    bite = bite_at(plan_with(EatHere("oat square", 40.0, portions=3)), 40.0)
    assert (bite.item, bite.portions) == ("oat square", 3)


def test_two_pins_closer_than_the_shortest_gap_are_both_kept() -> None:
    plan = plan_with(EatHere("fig slice", 60.0), EatHere("oat square", 60.5), EatHere("fig slice", 0.5))
    assert {(60_000.0, "fig slice"), (60_500.0, "oat square"), (500.0, "fig slice")} <= {
        (bite.distance_m, bite.item) for bite in plan.bites
    }


@pytest.mark.slow
def test_many_pins_close_together_still_count_for_the_hour() -> None:
    # eight dates of 15.5 g two minutes apart are 124 g: the pins alone break the limit of 75 g
    pins = [EatHere("fig slice", 60.0 + km) for km in np.arange(0.0, 8.0, 1.0)]
    with pytest.raises(SettingsError, match="carbohydrate in an hour"):
        plan_with(*pins)
    # three of them fit, and what the plan adds around them keeps the hour
    plan = plan_with(*pins[:3])
    for bite in plan.bites:
        hour_g = sum(b.carbohydrate_g for b in plan.bites if 0 <= bite.clock_s - b.clock_s <= 3600)
        # a quarter of the mix gives way to water
        assert hour_g + 0.75 * 15.0 + 3.0 <= 75.0 + 1e-6


def test_no_food_between(free: FoodPlan) -> None:
    bite = free.bites[4]
    low, high = bite.distance_m / 1000 - 2, bite.distance_m / 1000 + 2
    plan = plan_with(NoFood(low, high))
    assert not [b for b in plan.bites if low <= b.distance_m / 1000 <= high]
    assert over_gaps(plan.bites, (), RIDDEN.road) == ((), ())


def test_no_food_for_longer_than_the_longest_gap_is_named() -> None:
    plan = plan_with(NoFood(55.0, 85.0))
    (broken,), _ = over_gaps(plan.bites, (), RIDDEN.road)
    assert broken.rule == 6
    assert broken.start_m <= 55_000


def test_only_this_in_the_last_hour() -> None:
    plan = plan_with(OnlyInLastHour("fig slice"))
    last = [bite for bite in plan.bites if bite.clock_s >= RIDDEN.road.elapsed_s - 3600]
    assert last
    assert {bite.item for bite in last} == {"fig slice"}


def point(number: int, bite: Bite) -> FuelPoint:
    return FuelPoint(
        number=number, label=str(number), distance_m=bite.distance_m, time_s=bite.clock_s, lat_deg=46.0,
        lon_deg=7.0, action="eat", item=bite.item, portions=bite.portions, carbohydrate_g=bite.carbohydrate_g,
        fluid_ml=0.0, sodium_mg=0.0, caffeine_mg=0.0, container="left pocket", stretch=0, rules=bite.rules,
        reason=bite.reason, window_start_m=bite.window_start_m, window_end_m=bite.window_end_m,
        earliest_s=bite.clock_s, latest_s=bite.clock_s,
    )  # fmt: skip


def test_swap_exchanges_what_is_eaten(free: FoodPlan) -> None:
    one, other = next(
        (a, b) for a, b in zip(free.bites[:-1], free.bites[1:], strict=True) if a.item != b.item
    )
    points = (point(5, one), point(6, other))
    plan = plan_with(*resolve_swaps((Swap(5, 6),), points), previous=free)
    assert bite_at(plan, one.distance_m / 1000).item == other.item
    assert bite_at(plan, other.distance_m / 1000).item == one.item


def test_swap_with_a_number_where_nothing_is_eaten(free: FoodPlan) -> None:
    with pytest.raises(SettingsError, match=r"there is no bite 9; the bites are 5"):
        resolve_swaps((Swap(5, 9),), (point(5, free.bites[0]),))


def test_replanning_stays_close_to_the_plan_that_the_rider_knows(free: FoodPlan) -> None:
    pin = EatHere("plain gel", 88.0)
    anew, close = plan_with(pin), plan_with(pin, previous=free)
    assert bite_at(close, 88.0).item == "plain gel"
    assert len(spots(close) & spots(free)) >= len(spots(anew) & spots(free))
    # the gel itself and what makes room for it in its hour
    assert len(spots(close) - spots(free)) <= 4


def test_unchanged_wishes_leave_the_plan_as_it_was(free: FoodPlan) -> None:
    assert spots(plan_with(previous=free)) == spots(free)


def test_a_bite_fixed_where_it_stands_costs_nothing_and_elsewhere_it_costs(free: FoodPlan) -> None:
    bite = bite_at(free, 60.0)
    here, away = (
        plan_with(EatHere(bite.item, bite.distance_m / 1000.0 + km, bite.portions), previous=free)
        for km in (0.0, 3.0)
    )
    assert here.without_pins == away.without_pins == free.objective
    np.testing.assert_allclose(here.objective, free.objective, rtol=1e-9)
    assert away.objective > free.objective * 1.01
    # what a plan costs does not hang on which one it was to stay near
    np.testing.assert_allclose(
        away.objective,
        plan_with(EatHere(bite.item, bite.distance_m / 1000.0 + 3.0, bite.portions), previous=away).objective,
        rtol=1e-9,
    )
    assert free.without_pins is None


def test_one_bar_fewer_moves_few_points(free: FoodPlan) -> None:
    items = tuple(replace(i, count=i.count - 1) if i.name == "oat square" else i for i in Pantry().items)
    fewer = plan_with(previous=free, pantry=Pantry(items))
    assert len(spots(fewer) - spots(free)) <= 2


@pytest.mark.parametrize(
    ("pin", "says"),
    [
        (EatHere("cake", 20.0), "'cake' is no food in stock"),
        (EatHere("drink mix", 20.0), "'drink mix' is no food in stock; allowed is chestnut loaf"),
        (EatHere("fig slice", 500.0), "lies beyond the finish at km 120.0"),
        (EatHere("fig slice", 119.0), "is in the last ten minutes"),
        (EatHere("fig slice", 25.0), "both hands belong on the bars; the nearest free road is at km 22"),
        (EatHere("caffeine gel", 20.0), "breaks a rule that always holds"),
        (OnlyInLastHour("water"), "'water' is no food in stock"),
        (Swap(5, 6), "swap of 5 and 6 needs the plan whose numbers it means"),
    ],
)
def test_pin_that_cannot_be_says_what_is_allowed(pin: Pin, says: str) -> None:
    with pytest.raises(SettingsError, match=says):
        plan_with(pin)


def test_two_pins_on_one_spot() -> None:
    with pytest.raises(SettingsError, match=r"fig slice and oat square both stand at km 40"):
        plan_with(EatHere("fig slice", 40.0), EatHere("oat square", 40.0))


def test_pins_that_contradict_each_other() -> None:
    with pytest.raises(
        SettingsError, match=r"fig slice at km 40 stands where no food is wanted, km 38 to 42"
    ):
        plan_with(EatHere("fig slice", 40.0), NoFood(38.0, 42.0))


def test_pins_that_no_gut_takes() -> None:
    pins = [EatHere("plain gel", 60.0 + km) for km in (0.0, 0.5, 1.0, 1.5)]
    with pytest.raises(SettingsError, match=r"4 pinned bites break a limit \(carbohydrate in an hour\)"):
        plan_with(*pins)


def test_pins_that_use_up_what_is_kept_back() -> None:
    pins = [EatHere("plain gel", km) for km in (30.0, 60.0, 90.0)]
    with pytest.raises(SettingsError, match=r"3 pinned bites break a limit \(stock\)"):
        place_food(RIDDEN.road, Pantry(), RIDDEN.rider, pins, reserved={"plain gel": 2})


def test_windows_of_pins_free_of_safety_flags() -> None:
    bite = bite_at(plan_with(EatHere("fig slice", 22.5)), 22.5)
    nodes = (RIDDEN.road.distance_m >= bite.window_start_m) & (RIDDEN.road.distance_m <= bite.window_end_m)
    assert not np.any(RIDDEN.road.veto[nodes])
