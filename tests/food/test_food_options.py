"""What may be eaten at a place, how soon the first bite may come, and from which halt food is taken along."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.food.build import last_shop, taken_along, too_soon
from terrain_fuel.food.options import food_options
from terrain_fuel.pantry import Item
from terrain_fuel.rules.halts import FoodStop
from terrain_fuel.rules.road import imagine_place
from tests.food.roads import Part, ride


@pytest.mark.parametrize(
    ("portion_g", "portions", "stock", "most"),
    [
        (14.7, 2, 4, 2),  # one or two
        (45.0, 1, 4, 2),
        (5.0, 4, 4, 4),  # tiny ones up to 20 g together
        (6.7, 4, 4, 2),
        (6.6, 4, 4, 3),
        (2.0, 9, 4, 6),  # but no more than six
        (0.0, 1, 9, 6),
        (14.7, 1, 1, 1),  # never more than there is
    ],
)
def test_one_or_two_portions_or_twenty_grams_of_tiny_ones(
    portion_g: float, portions: int, stock: int, most: int
) -> None:
    item = Item("crumbs", "solid", portion_g * portions, count=stock, portions=portions)
    assert [option.portions for option in food_options([item])] == list(range(1, most + 1))
    for option in food_options([item]):
        assert option.carbohydrate_g == pytest.approx(option.portions * portion_g)


def test_what_the_rider_asks_for_is_an_option_too_as_far_as_there_is_stock() -> None:
    item = Item("roll", "solid", 90.0, count=2, portions=3, caffeine_mg=60.0)
    assert [option.portions for option in food_options([item], {"roll": 5})] == [1, 2, 3, 4, 5]
    assert [option.portions for option in food_options([item], {"roll": 8})] == [1, 2, 3, 4, 5, 6]
    assert [option.caffeine_mg for option in food_options([item])] == [20.0, 40.0]


@pytest.mark.parametrize(
    ("clock_min", "to_foot_min", "soon"),
    [(22.4, 11.0, True), (22.6, 11.0, False), (14.9, 9.9, True), (15.1, 9.9, False), (15.1, 10.1, True)],
)
def test_the_first_bite_comes_no_sooner_than_three_quarters_of_the_habit_or_half_before_a_climb(
    clock_min: float, to_foot_min: float, soon: bool
) -> None:
    """Of half an hour; a climb within ten minutes asks for it sooner: common practice (no source)."""
    place = imagine_place(clock_s=60.0 * clock_min, to_foot_s=60.0 * to_foot_min, first_food_s=1800.0)
    assert too_soon(place).tolist() == [soon]


@pytest.mark.parametrize(
    ("clock_min", "easy_until_min", "soon"),
    [(16.0, 17.9, False), (15.8, 17.9, True), (15.1, 16.0, False), (14.9, 16.0, True), (22.0, 30.0, True)],
)
def test_before_a_steep_ramp_that_lasts_the_first_bite_comes_where_it_is_still_easy(
    clock_min: float, easy_until_min: float, soon: bool
) -> None:
    """In the two minutes before the last easy place, no sooner than half of the habit of half an hour."""
    easy_s = 60.0 * easy_until_min
    place = imagine_place(clock_s=60.0 * clock_min, first_food_s=1800.0, easy_until_s=easy_s)
    assert too_soon(place).tolist() == [soon]


def test_from_a_halt_that_is_sure_to_sell_it_food_is_taken_along_from_there() -> None:
    """A tap and a kiosk that may be shut change nothing; from a metre before the shop on it is the shop's."""
    halts = (
        FoodStop(100, 5000.0, "tap", ("water",), True, 0.0, 180.0),
        FoodStop(120, 6000.0, "kiosk", ("roll",), False, 0.0, 180.0),
        FoodStop(200, 10_000.0, "shop", ("water", "roll"), True, 0.0, 180.0),
        FoodStop(300, 15_000.0, "inn", ("gel",), True, 0.0, 180.0),
    )
    road = replace(ride([Part("flat", 20)]).road, stops=halts)
    options = food_options([Item("roll", "solid", 40.0, portions=2), Item("gel", "gel", 22.0, count=3)])
    at_m = road.distance_m
    for column, option in enumerate(options):
        handed = (at_m >= 10_000.0) & (at_m < 15_000.0) if option.item.name == "roll" else at_m >= 15_000.0
        np.testing.assert_array_equal(taken_along(road, options)[:, column], ~handed)
    names = [
        shop and shop.name for shop in (last_shop(road, m) for m in (9998.0, 9999.5, 14_000.0, 20_000.0))
    ]
    assert names == [None, "shop", "shop", "inn"]
