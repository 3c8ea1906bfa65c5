"""Drink where there is nothing to bite, by hand: 80 g in a litre, food every half an hour."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.drink_as_food import drink_as_food
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import WATER, Item, Pantry
from terrain_fuel.rider import Rider
from tests.made_rides import made_demand
from tests.made_roads import Road
from tests.usual import USUAL

MIX = Item("mix", "drink_mix", 40.0, count=20, powder_g=40.0, water_ml=500.0)
ALONE = Pantry((MIX, WATER))
ML_PER_S = 1.03 * 8.0 / 0.08 / 1800.0
"""Eight grams end a gap; three per cent more for whole mouthfuls: 206 ml an hour."""


@pytest.fixture(scope="module")
def ride() -> Demand:
    """A cool ride of three hours: 300 ml are sweated in an hour, 90 of them should be drunk."""
    demand = made_demand(Road(30.0, hilliness=0.0, bends=0.0))
    clock_s = 10_800.0 * demand.pace.clock_s / demand.pace.clock_s[-1]
    pace = replace(demand.pace, clock_s=clock_s, moving_s=clock_s)
    return replace(
        demand, pace=pace, sweat_ml=clock_s / 12.0, fluid_target_ml=clock_s / 40.0, sweat_spread=0.2
    )


def wanted_ml(demand: Demand, pantry: Pantry = ALONE, rider: Rider = USUAL) -> np.ndarray:
    return drink_as_food(demand, rider, pantry).fluid_target_ml


def test_drink_ends_every_gap_where_there_is_nothing_else(ride: Demand) -> None:
    assert wanted_ml(ride) == pytest.approx(ML_PER_S * ride.pace.clock_s)
    seldom = replace(USUAL, habits=replace(USUAL.habits, longest_gap_min=60.0))
    assert wanted_ml(ride, rider=seldom)[-1] == pytest.approx(ML_PER_S / 2.0 * 10_800.0)


@pytest.mark.parametrize(
    "pantry",
    [
        Pantry((MIX, Item("slice", "solid", 20.0), WATER)),
        Pantry((replace(MIX, count=1), WATER)),  # 500 ml for 618
        Pantry((replace(MIX, count=0), WATER)),
        Pantry((replace(MIX, caffeine_mg=30.0), WATER)),
    ],
)
def test_beside_food_or_with_too_little_mix_thirst_decides(ride: Demand, pantry: Pantry) -> None:
    assert np.array_equal(wanted_ml(ride, pantry), ride.fluid_target_ml)


def test_two_servings_last_and_food_with_caffeine_is_none(ride: Demand) -> None:
    gum = Item("gum", "chew", 10.0, caffeine_mg=50.0)
    pantry = Pantry((replace(MIX, count=2), gum, WATER))
    assert wanted_ml(ride, pantry)[-1] == pytest.approx(ML_PER_S * 10_800.0)


def test_who_sweats_more_drinks_as_thirst_asks(ride: Demand) -> None:
    hot = replace(ride, fluid_target_ml=ride.pace.clock_s / 12.0)
    assert np.array_equal(wanted_ml(hot), hot.fluid_target_ml)
    # more in all, but not at first: what is asked for is never less than either
    late = replace(ride, fluid_target_ml=900.0 * (ride.pace.clock_s / 10_800.0) ** 2 - 300.0)
    first = np.maximum(late.fluid_target_ml, ML_PER_S * ride.pace.clock_s)
    assert wanted_ml(late) == pytest.approx(first)


def test_no_more_than_is_safe_by_the_low_end_of_the_sweat(ride: Demand) -> None:
    """A weak drink, 824 ml of it an hour for the gaps: 0.8 of 900 ml and 500, less 50, are 1,170 in all."""
    weak = Pantry((replace(MIX, carbohydrate_g=10.0), WATER))
    asked_ml = 4.0 * ML_PER_S * ride.pace.clock_s
    assert asked_ml[-1] > 2400.0
    assert wanted_ml(ride, weak) == pytest.approx(1170.0 * ride.pace.clock_s / 10_800.0)
    # ... and no more than 450 ml before the sweat at any time
    dry_first = replace(ride, sweat_ml=np.maximum(0.0, ride.pace.clock_s - 9000.0) * 900.0 / 1800.0)
    ahead_ml = (wanted_ml(dry_first, weak) - dry_first.sweat_ml).max()
    assert ahead_ml == pytest.approx(450.0, abs=1e-6)


def test_no_more_than_goes_down_in_an_hour(ride: Demand) -> None:
    weak, often = (
        Pantry((replace(MIX, carbohydrate_g=10.0), WATER)),
        replace(USUAL.habits, longest_gap_min=20.0),
    )
    wet = replace(ride, sweat_ml=3.0 * ride.sweat_ml, sweat_spread=0.0)
    assert wanted_ml(wet, weak, replace(USUAL, habits=often))[-1] == pytest.approx(2700.0)
