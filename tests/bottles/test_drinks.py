"""What the bottles hold from refill to refill, by sums done by hand and by published drink strengths."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.bottles.doubt import refill_failures
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.filling import fill_bottles
from terrain_fuel.bottles.model import DrinkPlan, Refill
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import DEFAULT_CONTAINERS, DEFAULT_ITEMS, WATER, Container, Item, Pantry
from terrain_fuel.rider import Rider
from tests.made_rides import made_demand, steady_demand
from tests.made_roads import Road
from tests.saying import say
from tests.usual import USUAL

NO_RESERVE = Day(reserve_min=0.0)


@pytest.fixture(scope="module")
def flat() -> Demand:
    """120 km of flat road, about four hours."""
    return made_demand(Road(120.0, hilliness=0.0, bends=0.0))


@pytest.fixture(scope="module")
def tap(flat: Demand) -> Refill:
    """A tap half-way."""
    return Refill(0.5 * flat.pace.terrain.length_m, "mill tap")


def plan(
    flat: Demand,
    ml_per_km: float,
    *refills: Refill,
    pantry: Pantry | None = None,
    day: Day = NO_RESERVE,
    rider: Rider | None = None,
) -> DrinkPlan:
    """Return the drinks of a steady need."""
    return plan_drinks(steady_demand(flat, ml_per_km), refills, rider or USUAL, pantry or Pantry(), day)


def held_ml(drinks: DrinkPlan, leg: int) -> float:
    """Return what all bottles hold when a leg begins."""
    return sum(load.level_ml for load in drinks.legs[leg].loads)


def test_each_leg_is_filled_for_its_own_road(flat: Demand, tap: Refill) -> None:
    """10 ml/km over twice 60 km is 600 ml a leg; bottles are filled to the next 50 ml mark."""
    drinks = plan(flat, 10.0, tap)
    assert [round(leg.planned_ml, 6) for leg in drinks.legs] == [600.0, 600.0]
    for leg in (0, 1):
        assert 600.0 <= held_ml(drinks, leg) <= 700.0
    assert_allclose(drinks.fluid_ml[-1], 1200.0)
    assert drinks.violations == ()
    assert drinks.legs[0].end_m == drinks.legs[1].start_m == tap.at_m


def test_mix_is_at_the_strength_on_the_packet(flat: Demand, tap: Refill) -> None:
    """40 g in 750 ml: a 500 ml filling takes 26.7 g and brings 25.3 g of carbohydrate."""
    one = millilitre_of(next(item for item in DEFAULT_ITEMS if item.name == "drink mix"))
    assert_allclose([500 * one.powder_g, 500 * one.carbohydrate_g], [500 * 40 / 750, 500 * 38 / 750])
    assert millilitre_of(WATER) == type(one)()
    drinks = plan(flat, 10.0, tap)
    mixed_g = np.diff(drinks.carbohydrate_g) / np.maximum(np.diff(drinks.fluid_ml), 1e-9)
    assert np.all(mixed_g <= one.carbohydrate_g + 1e-9)


@pytest.mark.source("DGE20", "drink strength 4-8 % carbohydrate, sodium 400-1100 mg/l")
def test_the_default_mix_lies_inside_the_published_range() -> None:
    one = millilitre_of(next(item for item in DEFAULT_ITEMS if item.name == "drink mix"))
    assert 0.04 <= one.carbohydrate_g <= 0.08
    assert 400.0 <= 1000 * one.sodium_mg <= 1100.0


def test_a_long_ride_carries_mix_and_water_apart(flat: Demand) -> None:
    items = {load.item for load in plan(flat, 11.0).legs[0].loads}
    assert items == {"drink mix", "water"}


def test_half_the_drink_is_mix_even_where_food_alone_would_do(flat: Demand) -> None:
    """Rolls of 60 g a bite bring more than is wanted; mix still sets the salt: 1,320 ml, half is 660."""
    rolls = Item("large roll", "solid", 60.0, count=30)
    mix = next(item for item in DEFAULT_ITEMS if item.kind == "drink_mix")
    drinks = plan(flat, 11.0, pantry=Pantry(items=(rolls, mix, WATER)))
    (level,) = [load.level_ml for load in drinks.legs[0].loads if load.item == mix.name]
    assert 660.0 <= level <= 700.0


def test_the_spare_bottle_says_what_it_is_for(flat: Demand, tap: Refill) -> None:
    """30 ml/km: 1,800 ml to the tap, 1,500 in reach, so 300 ml more go along and are poured over."""
    halfway = Refill(0.5 * tap.at_m, "spare bottle", (), 60.0, kind="pour_over")
    drinks = plan(flat, 30.0, halfway, tap)
    (spare,) = [load for load in drinks.legs[0].loads if not load.in_reach]
    assert spare.level_ml == 300.0
    assert say(spare.why) == "1800 ml are wanted before mill tap and the bottles in reach hold 1500"


def test_the_stock_of_mix_is_never_exceeded(flat: Demand) -> None:
    one_serving = tuple(
        replace(item, count=1) if item.kind == "drink_mix" else item for item in DEFAULT_ITEMS
    )
    taps = [Refill(km * 1000.0, f"tap {km}") for km in (30, 60, 90)]
    drinks = plan(flat, 30.0, *taps, pantry=Pantry(items=one_serving))
    mixed_ml = sum(load.level_ml for leg in drinks.legs for load in leg.loads if load.item == "drink mix")
    assert 0.0 < mixed_ml <= 750.0


def test_the_last_bottle_of_a_stock_is_not_filled_to_the_mark() -> None:
    # One serving makes 477 ml, which is no multiple of the marks on a bottle.
    strong = Item("mix", "drink_mix", 88.0, count=1, powder_g=500.0, water_ml=477.0)
    filling = fill_bottles(1100.0, 88.0, (strong, 477.0, True), Pantry(), 50.0)
    levels = {load.item: load.level_ml for load in filling.loads}
    assert levels == {"mix": pytest.approx(477.0), "water": pytest.approx(650.0)}


def test_a_feed_that_hands_out_its_own_drink_spares_the_stock(flat: Demand, tap: Refill) -> None:
    feed = replace(tap, offers=("house drink", "water"))
    house = Item("house drink", "drink", 30.0, fluid_ml=500.0, sodium_mg=300.0, count=0)
    drinks = plan(flat, 20.0, feed, pantry=Pantry(items=(house, *DEFAULT_ITEMS)))
    handed = [load for load in drinks.legs[1].loads if load.item == "house drink"]
    assert handed
    assert not handed[0].from_stock
    assert "mill tap hands out" in say(handed[0].why)


def test_drinks_with_caffeine_do_not_fill_a_bottle(flat: Demand) -> None:
    tea = Item("cold tea", "drink", 35.0, fluid_ml=330.0, caffeine_mg=33.0, count=6)
    drinks = plan(flat, 10.0, pantry=Pantry(items=(tea, WATER)))
    assert {load.item for leg in drinks.legs for load in leg.loads} == {"water"}


def test_too_little_water_is_shared_out_named_placed_and_priced(flat: Demand) -> None:
    """25 ml/km: 3,000 ml wanted, 1,500 ml in reach without a halt. 70 kg lose 1,400 ml at 2 %."""
    drinks = plan(flat, 25.0)
    (gap,) = drinks.violations
    assert gap.rule == 5
    assert gap.unit == "ml"
    assert_allclose(
        [gap.start_m, gap.end_m, gap.amount], [0.0, flat.pace.terrain.length_m, 1500.0], rtol=2e-3
    )
    assert say(gap.sentence) == (
        "1500 ml short between km 0 and km 120: 2 more bottles, or a refill near km 60"
    )
    half_ml = np.interp(0.5 * gap.end_m, flat.pace.distance_m, drinks.fluid_ml)
    assert_allclose(half_ml, 750.0)


def test_a_gap_is_a_fault_only_past_two_per_cent_of_body_mass(flat: Demand) -> None:
    """1,800 ml wanted of 2,250 sweated, 1,500 carried: 750 ml lost; 2 % are 900 ml at 45 kg, 700 at 35."""
    for mass_kg, faults in ((45.0, 0), (35.0, 1)):
        drinks = plan(flat, 15.0, rider=Rider(body_mass_kg=mass_kg))
        assert len(drinks.violations) == faults
        assert [notice.code for notice in drinks.notices] == ["thirsty"] * (1 - faults)


def test_a_rider_without_a_bottle_is_told(flat: Demand) -> None:
    drinks = plan(flat, 20.0, pantry=Pantry(containers=DEFAULT_CONTAINERS[3:]))
    assert not drinks.fluid_ml.any()
    assert "no bottle" in say(drinks.violations[0].sentence)


def test_bottles_carry_past_a_doubtful_tap_what_they_can(flat: Demand, tap: Refill) -> None:
    """600 ml a leg: both legs fit into the two bottles, so a shut tap does not matter."""
    unsure = replace(tap, sure=False)
    drinks = plan(flat, 10.0, unsure)
    assert held_ml(drinks, 0) >= 1200.0
    # What is carried for the road behind the tap is as strong as the rest: the mix bottle is full.
    assert [load.level_ml for load in drinks.legs[0].loads if load.item == "drink mix"] == [750.0]
    (failure,) = refill_failures(drinks.legs)
    assert failure.missing_ml == 0.0
    assert [notice.code for notice in drinks.notices] == ["unsure_refill"]
    assert "does not matter" in say(drinks.notices[0])


def test_a_doubtful_tap_takes_the_spare_bottle_along(flat: Demand, tap: Refill) -> None:
    """1,020 ml a leg: 2,040 ml for both, 2,000 ml with the spare bottle: 40 ml would be missing."""
    drinks = plan(flat, 17.0, replace(tap, sure=False))
    spare = [load for load in drinks.legs[0].loads if not load.in_reach]
    assert [load.container for load in spare] == ["spare bottle"]
    assert "in case mill tap is shut" in say(spare[0].why)
    (failure,) = refill_failures(drinks.legs)
    assert_allclose(failure.missing_ml, 40.0, atol=1e-6)
    assert "40 ml are missing before the finish" in say(drinks.notices[0])


def test_a_sure_tap_that_matters_is_told(flat: Demand, tap: Refill) -> None:
    """1,500 ml carried for the first leg of 1,500; 1,500 wanted behind the tap and nothing left."""
    drinks = plan(flat, 25.0, tap)
    assert [notice.code for notice in drinks.notices] == ["refill_matters"]
    assert "1500 ml are missing" in say(drinks.notices[0])


def test_the_last_leg_brings_drink_for_the_reserve_where_there_is_room(flat: Demand) -> None:
    """45 min at the ride's own rate: 1,080 ml in elapsed time T gives 1,080 * 0.75 h / T."""
    extra_ml = 1080.0 * 0.75 * 3600.0 / flat.pace.elapsed_s
    drinks = plan(flat, 9.0, day=Day(reserve_min=45.0))
    assert 1080.0 + extra_ml <= held_ml(drinks, 0) <= 1080.0 + extra_ml + 100.0
    assert_allclose(drinks.fluid_ml[-1], 1080.0, rtol=1e-6)


def test_levels_never_exceed_the_bottles(flat: Demand, tap: Refill) -> None:
    holds = {bottle.name: bottle.holds_ml for bottle in Pantry().bottles}
    odd = (Container("small", "bottle", holds_ml=333), Container("large", "bottle", holds_ml=900))
    for containers in (DEFAULT_CONTAINERS, odd):
        pantry = Pantry(containers=containers)
        holds = {bottle.name: bottle.holds_ml for bottle in pantry.bottles}
        for ml_per_km in (3.0, 7.0, 12.5, 22.0, 40.0):
            for leg in plan(flat, ml_per_km, tap, pantry=pantry).legs:
                assert all(load.level_ml <= holds[load.container] for load in leg.loads)
                assert leg.planned_ml <= sum(load.level_ml for load in leg.loads) + 1e-6
