"""How much more may be drunk at a moment, and what is named where it was too much, by sums done by hand."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.faults import bites_without_drink, too_much_fluid
from terrain_fuel.drink.levels import Draught
from terrain_fuel.drink.room import DrinkLimits, bite_fluid_ml
from terrain_fuel.food.model import Bite
from terrain_fuel.pantry import Pantry
from tests.drink.accounts import JUICE, KITCHEN, bite, sip
from tests.usual import USUAL


def limits(
    demand: Demand, bites: Sequence[Bite], sweat_ml_per_s: float, pantry: Pantry = KITCHEN
) -> DrinkLimits:
    sweating = replace(demand, sweat_ml=sweat_ml_per_s * demand.pace.clock_s)
    return DrinkLimits(sweating, bites, replace(USUAL, carbohydrate_limit_g_per_h=60.0), pantry)


def test_sips_stay_below_what_may_be_drunk_beyond_the_sweat(demand: Demand) -> None:
    account = limits(demand, [], 0.1)
    # 480 ml beyond the sweat; 360 ml are sweated in an hour
    assert account.fluid_room_ml(0.0) == pytest.approx(480.0)
    assert account.fluid_room_ml(3600.0) == pytest.approx(840.0)
    account.add(3600.0, Draught("left bottle", "water", 300.0, 0.0, 0.0))
    assert account.drunk_ml(3600.0) == 300.0
    assert account.fluid_room_ml(3700.0) == pytest.approx(480.0 + 370.0 - 300.0)


def test_sips_stay_below_the_litre_of_an_hour(demand: Demand) -> None:
    account = limits(demand, [], 1.0)
    account.add(3600.0, Draught("left bottle", "water", 400.0, 0.0, 0.0))
    account.add(5400.0, Draught("left bottle", "water", 300.0, 0.0, 0.0))
    assert account.fluid_room_ml(7200.0) == pytest.approx(950.0 - 700.0)
    assert account.fluid_room_ml(7201.0) == pytest.approx(950.0 - 300.0)
    assert account.fluid_room_ml(9001.0) == pytest.approx(950.0)


def test_food_that_is_half_a_drink_is_drunk_too(demand: Demand) -> None:
    pouches = [bite(at_s, 20.0, "juice pouch") for at_s in (3000.0, 5000.0, 8000.0)]
    account = limits(demand, pouches, 1.0)
    assert bite_fluid_ml(pouches[0], KITCHEN) == 90.0
    assert bite_fluid_ml(bite(0.0), KITCHEN) == 0.0
    halves = Pantry((replace(JUICE, portions=2),), KITCHEN.containers)
    assert bite_fluid_ml(pouches[0], halves) == 45.0
    assert account.drunk_ml(5000.0) == 180.0
    # the two of the last hour and the one of the next count
    assert account.fluid_room_ml(5000.0) == pytest.approx(950.0 - 270.0)
    assert account.fluid_room_ml(8601.0) == pytest.approx(950.0 - 90.0)


def test_in_all_no_more_is_drunk_than_the_low_end_of_the_sweat_allows(demand: Demand) -> None:
    # a spread of a fifth and 0.1 ml a second: the low end of the sweat, half a litre more, less 5 ml
    sure, unsure = (
        DrinkLimits(
            replace(demand, sweat_ml=0.1 * demand.pace.clock_s, sweat_spread=spread), [], USUAL, KITCHEN
        )
        for spread in (0.0, 0.6)
    )
    end_s = float(demand.pace.clock_s[-1])
    for account in (sure, unsure):
        for at_s in np.arange(600.0, end_s, 600.0):
            account.add(at_s, Draught("left bottle", "water", account.fluid_room_ml(at_s), 0.0, 0.0))
    assert unsure.drunk_ml(end_s) < sure.drunk_ml(end_s) - 100.0
    assert unsure.drunk_ml(end_s) == pytest.approx(0.4 * 0.1 * end_s + 495.0)
    assert sure.drunk_ml(end_s) <= 0.1 * end_s + 480.0


def test_carbohydrate_has_room_in_every_hour_that_holds_the_moment(demand: Demand) -> None:
    account = limits(demand, [bite(1800.0, 18.0), bite(5000.0, 18.0)], 1.0)
    # from 1800 to 5400 both bites; what is left of 60 less 0.05
    assert account.carbohydrate_room_g(3000.0) == pytest.approx(23.95)
    assert account.carbohydrate_room_g(5300.0) == pytest.approx(23.95)
    assert account.carbohydrate_room_g(5401.0) == pytest.approx(41.95)
    assert account.carbohydrate_room_g(1300.0) == pytest.approx(41.95)
    account.add(3000.0, Draught("left bottle", "mix", 100.0, 10.0, 0.0))
    assert account.carbohydrate_room_g(3600.0) == pytest.approx(13.95)
    account.add(3700.0, Draught("left bottle", "mix", 400.0, 30.0, 0.0))
    assert account.carbohydrate_room_g(3800.0) == 0.0


@pytest.mark.parametrize(
    ("now_s", "after_s", "room_g"),
    [
        (3000.0, 1700.0, 31.95),  # from 1100 to 4700 s a bite of 18 g and a draught of 10, of 60 less 0.05
        (3000.0, 2500.0, 31.95),  # from 1900 to 5500 the draught and the other bite
        (3000.0, 3700.0, 41.95),  # from 3100 to 6700 that bite alone
        (1800.0, 3600.0, 31.95),  # what stands just an hour before counts no more
        (1400.0, 3600.0, 13.95),
    ],
)
def test_the_hour_up_to_a_later_moment_has_room_beside_all_that_is_known(
    demand: Demand, now_s: float, after_s: float, room_g: float
) -> None:
    account = limits(demand, [bite(1800.0, 18.0), bite(5000.0, 18.0)], 1.0)
    account.add(3000.0, Draught("left bottle", "mix", 100.0, 10.0, 0.0))
    assert account.room_left_g(now_s, after_s) == pytest.approx(room_g)


def test_bites_without_a_mouthful_in_time_are_counted() -> None:
    bites = [bite(1800.0), bite(3600.0), bite(5400.0), bite(7200.0, 20.0, "juice pouch")]
    sips = [sip(1800.0, 60.0), sip(1920.0, 60.0), sip(3721.0, 60.0), sip(5401.0, 60.0)]
    (violation,) = bites_without_drink(bites, sips, KITCHEN)
    assert violation.amount == 1.0
    assert (violation.start_m, violation.end_m) == (8.0 * 3600.0, 8.0 * 3600.0)
    (violation,) = bites_without_drink(bites, sips[:1], KITCHEN)
    assert violation.amount == 3.0
    assert (violation.start_m, violation.end_m) == (8.0 * 1800.0, 8.0 * 5400.0)
    assert bites_without_drink(bites, [*sips, sip(3700.0, 60.0)], KITCHEN) == ()


def test_food_and_drink_beyond_the_hour_or_the_sweat_are_named(demand: Demand) -> None:
    sweating = replace(demand, sweat_ml=0.4 * demand.pace.clock_s)
    pouches = [bite(at_s, 20.0, "juice pouch") for at_s in (3600.0, 7000.0)]
    sips = [sip(3700.0, 500.0), sip(5000.0, 400.0)]
    # from 3600 to 7000 s: 90 + 500 + 400 + 90 ml, 80 over the litre
    (violation,) = too_much_fluid(sweating, pouches, sips, KITCHEN, 70.0)
    assert violation.amount == pytest.approx(80.0)
    assert (violation.start_m, violation.end_m) == (8.0 * 3600.0, 8.0 * 7000.0)
    assert too_much_fluid(sweating, pouches[:1], sips, KITCHEN, 70.0) == ()
    # at 1000 s 400 ml are sweated: 950 are 50 beyond 500 more
    (violation,) = too_much_fluid(sweating, [], [sip(1000.0, 950.0)], KITCHEN, 70.0)
    assert violation.amount == pytest.approx(50.0)


def test_a_light_body_drinks_less_beyond_the_sweat_and_in_the_hour(demand: Demand) -> None:
    """30 kg of 50: 600 ml in an hour, 300 beyond the sweat, and sips keep 50 and 20 ml below."""
    light = replace(USUAL, body_mass_kg=30.0)
    dry, wet = (replace(demand, sweat_ml=rate * demand.pace.clock_s, sweat_spread=0.0) for rate in (0.1, 1.0))
    assert DrinkLimits(dry, [], light, KITCHEN).fluid_room_ml(0.0) == pytest.approx(280.0)
    assert DrinkLimits(wet, [], light, KITCHEN).fluid_room_ml(7200.0) == pytest.approx(550.0)
    (violation,) = too_much_fluid(wet, [], [sip(5000.0, 400.0), sip(6000.0, 300.0)], KITCHEN, 30.0)
    assert violation.amount == pytest.approx(100.0)
    (violation,) = too_much_fluid(dry, [], [sip(1000.0, 420.0)], KITCHEN, 30.0)
    assert violation.amount == pytest.approx(20.0)
