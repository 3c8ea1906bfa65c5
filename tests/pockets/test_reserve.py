"""The reserve: how much, of what, and what a ride too long for the pantry does to it."""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.bottles.model import Refill
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.food.kept_back import choose_reserve, reserve_need_g
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Reserve
from terrain_fuel.pockets.reserve import reserve_notices, trim_reserve
from terrain_fuel.pockets.shopping import renew_reserve
from tests.made_rides import made_demand
from tests.made_roads import Road
from tests.saying import say


@pytest.fixture(scope="module")
def four_hours() -> Demand:
    """A flat road whose need is set to 60 g an hour."""
    demand = made_demand(Road(110.0, hilliness=0.0, bends=0.0))
    total_g = 60.0 * demand.pace.elapsed_s / 3600.0
    share = demand.pace.clock_s / demand.pace.elapsed_s
    return replace(demand, carbohydrate_target_g=total_g * share)


def test_the_reserve_is_the_rides_own_rate_for_its_minutes(four_hours: Demand) -> None:
    """45 min at 60 g an hour are 45 g."""
    assert_allclose(reserve_need_g(four_hours, Day(reserve_min=45.0)), 45.0)
    assert reserve_need_g(four_hours, Day(reserve_min=0.0)) == 0.0


def test_whole_items_without_caffeine_make_it_up(four_hours: Demand) -> None:
    pantry = Pantry()
    kept = choose_reserve(four_hours, pantry, Day(), drink_g=60.0)
    grams = sum(count * pantry.item(name).portion_carbohydrate_g for name, count in kept.items())
    assert 45.0 <= grams < 45.0 + 44.0
    assert "caffeine gel" not in kept
    assert all(count % pantry.item(name).portions == 0 for name, count in kept.items())


def test_what_goes_down_without_chewing_is_for_where_breath_is_short(four_hours: Demand) -> None:
    """45 g are kept: a gel and a bar, or two bars where gels are all that goes in on the climbs."""
    pantry = Pantry((Item("bar", "solid", 27.0, count=9), Item("gel", "gel", 20.0, count=3)))
    usual = choose_reserve(four_hours, pantry, Day(), drink_g=60.0)
    assert usual == {"gel": 1, "bar": 1}
    kept = choose_reserve(four_hours, pantry, Day(), drink_g=60.0, breath_is_short=True)
    assert kept == {"bar": 2}
    gels = Pantry((Item("gel", "gel", 20.0, count=20),))
    assert choose_reserve(four_hours, gels, Day(), drink_g=60.0, breath_is_short=True) == {"gel": 3}


def test_the_plan_comes_before_the_reserve(four_hours: Demand) -> None:
    """240 g wanted in four hours, 120 g in stock: nothing is left to keep back."""
    few = Pantry(items=(Item("bar", "solid", 30.0, count=4),))
    assert choose_reserve(four_hours, few, Day(), drink_g=0.0) == {}


def test_a_shop_on_the_way_frees_stock_for_a_reserve(four_hours: Demand) -> None:
    """To km 27.5, a quarter of the road, 60 g are wanted: of 150 g at home 75 stay for that, 45 are kept."""
    few = Pantry(items=(Item("bar", "solid", 30.0, count=5),))
    assert choose_reserve(four_hours, few, Day(reserve_min=45.0), drink_g=0.0) == {}
    kept = choose_reserve(four_hours, few, Day(reserve_min=45.0), drink_g=0.0, lasts_to_m=27_500.0)
    assert kept == {"bar": 2}
    # ... and so does drink, which brings three quarters of the whole
    assert choose_reserve(four_hours, few, Day(reserve_min=45.0), drink_g=183.0) == {"bar": 2}


def test_the_reserve_is_renewed_at_every_halt_that_sells_food() -> None:
    """27 g kept: at a shop that has bars of 15 g two of them bring it back, at a tap there is nothing."""
    pantry = Pantry(items=(Item("gel", "gel", 27.0, count=1), Item("bar", "solid", 15.0)))
    halts = (
        Refill(10_000.0, "tap"),
        Refill(30_000.0, "shop", offers=("water", "bar")),
        Refill(60_000.0, "inn", offers=("bar",)),
    )
    rows = (Reserve("gel", "pouch", 1, 27.0),)
    lines = renew_reserve(rows, halts, pantry)
    assert [(line.text.values["at_m"], line.item, line.text.values["count"]) for line in lines] == [
        (30_000.0, "bar", 2),
        (60_000.0, "bar", 2),
    ]
    assert say(lines[0].text) == (
        "shop at km 30: what is eaten of the reserve by then is bought anew, up to 2 bar"
    )
    assert renew_reserve((), halts, pantry) == ()


def test_what_is_left_of_cut_items_replaces_kept_ones() -> None:
    """50 g kept, 45 wanted; 21.7 g left of a loaf: one gel of 25 g may stay at home, not both."""
    assert trim_reserve({"plain gel": 2}, 21.9, 45.0, Pantry()) == {"plain gel": 1}
    assert trim_reserve({"plain gel": 2}, 0.0, 45.0, Pantry()) == {"plain gel": 2}
    assert trim_reserve({"plain gel": 2}, 45.0, 45.0, Pantry()) == {}


def test_a_short_reserve_is_told() -> None:
    """20 of 45 g are good for 20 of 45 min."""
    rows = (Reserve("fig slice", "pouch", 1, 20.0),)
    (notice,) = reserve_notices(rows, 45.0, Day(reserve_min=45.0))
    assert notice.code == "reserve_short"
    assert "20 g of carbohydrate, good for 20 of the 45 min" in say(notice)
    assert reserve_notices(rows, 22.0, Day()) == ()
    (notice,) = reserve_notices((), 45.0, Day(reserve_min=45.0))
    assert say(notice).startswith("Nothing is kept back for the 45 min wanted: ")
    assert reserve_notices((), 0.0, Day(reserve_min=0.0)) == ()
