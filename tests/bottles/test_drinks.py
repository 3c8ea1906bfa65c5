"""What the bottles hold from refill to refill, by sums done by hand and by published drink strengths."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.bottles.doubt import refill_failures
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.model import DrinkPlan, Refill
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.day import Day, Feed, Fill
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


def flat_need(flat: Demand, ml_per_km: float) -> Demand:
    """Return the steady need that `plan` plans for."""
    return steady_demand(flat, ml_per_km)


def held_ml(drinks: DrinkPlan, leg: int) -> float:
    """Return what all bottles hold when a leg begins."""
    return sum(load.level_ml for load in drinks.legs[leg].loads)


def test_each_leg_is_filled_for_its_own_road_and_for_a_tap_found_shut(flat: Demand, tap: Refill) -> None:
    """10 ml/km over twice 60 km is 600 ml a leg; a full and a half bottle of 750 last for both, but 50 ml."""
    drinks = plan(flat, 10.0, tap)
    assert [round(leg.planned_ml, 6) for leg in drinks.legs] == [600.0, 600.0]
    assert sorted(load.level_ml for load in drinks.legs[0].loads) == [400.0, 750.0]
    assert held_ml(drinks, 1) >= 600.0
    assert_allclose(drinks.fluid_ml[-1], 1200.0)
    assert drinks.violations == ()
    assert drinks.legs[0].end_m == drinks.legs[1].start_m == tap.at_m


def test_a_drink_that_needs_no_mixing_is_poured_at_home_and_not_carried_to_a_tap(
    flat: Demand, tap: Refill
) -> None:
    """Bottles leave with it; what is filled half-way is water, unless the tap has it."""
    ready = Item("apple drink", "drink", 55.0, fluid_ml=500.0, count=9)
    kitchen = Pantry((ready, WATER))
    home, on_the_way = plan(flat, 10.0, tap, pantry=kitchen).legs
    assert "apple drink" in {load.item for load in home.loads}
    assert {load.item for load in on_the_way.loads if load.mark_ml > 0.0} == {"water"}
    sold = replace(tap, offers=("water", "apple drink"))
    assert "apple drink" in {load.item for load in plan(flat, 10.0, sold, pantry=kitchen).legs[1].loads}


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


@pytest.mark.parametrize("ml_per_km", [3.0, 6.0, 10.0, 14.0, 19.0, 30.0])
def test_bottles_are_full_or_half_and_sachets_of_a_size_alike(
    flat: Demand, tap: Refill, ml_per_km: float
) -> None:
    """Full or half; two sachets of 20 g to a full bottle of 750 ml at the packet's strength, or of less."""
    drinks = plan(flat, ml_per_km, tap, replace(tap, at_m=1.5 * tap.at_m))
    poured = [load for leg in drinks.legs for load in leg.loads if load.powder_g > 0 or load.mark_ml > 0]
    assert all(load.mark_ml in (250.0, 400.0, 500.0, 750.0) for load in poured)
    weighed = [load for load in poured if load.powder_g > 0]
    sachets_g = {load.sachet_g for load in weighed}
    assert len(sachets_g) <= 1
    for sachet_g in sachets_g:
        assert 0.0 < sachet_g <= 20.0
        assert {load.powder_g for load in weighed if load.mark_ml == 750.0} <= {sachet_g, 2.0 * sachet_g}
        assert {load.powder_g for load in weighed if load.mark_ml == 400.0} <= {sachet_g}


def test_half_the_drink_is_mix_even_where_food_alone_would_do(flat: Demand) -> None:
    """Rolls of 60 g a bite bring more than is wanted; mix still sets the salt: a bottle of it."""
    rolls = Item("large roll", "solid", 60.0, count=30)
    mix = next(item for item in DEFAULT_ITEMS if item.kind == "drink_mix")
    drinks = plan(flat, 11.0, pantry=Pantry(items=(rolls, mix, WATER)))
    (level,) = [load.level_ml for load in drinks.legs[0].loads if load.item == mix.name]
    assert {load.item for load in drinks.legs[0].loads} == {mix.name, "water"}
    assert level == 750.0


def test_the_spare_bottle_says_what_it_is_for(flat: Demand, tap: Refill) -> None:
    """30 ml/km: 1,800 ml to the tap, 1,500 in reach, so 300 ml more are wanted: a full one goes along."""
    halfway = Refill(0.5 * tap.at_m, "spare bottle", (), 60.0, kind="pour_over")
    drinks = plan(flat, 30.0, halfway, tap)
    (spare,) = [load for load in drinks.legs[0].loads if not load.in_reach]
    assert spare.level_ml == 500.0
    assert say(spare.why) == "1800 ml are wanted before mill tap and the bottles in reach hold 1500"


def test_the_stock_of_mix_is_never_exceeded(flat: Demand) -> None:
    one_serving = tuple(
        replace(item, count=1) if item.kind == "drink_mix" else item for item in DEFAULT_ITEMS
    )
    taps = [Refill(km * 1000.0, f"tap {km}") for km in (30, 60, 90)]
    drinks = plan(flat, 30.0, *taps, pantry=Pantry(items=one_serving))
    powder_g = sum(load.powder_g for leg in drinks.legs for load in leg.loads)
    assert 0.0 < powder_g <= 40.0


def test_what_no_filling_uses_stays_at_home(flat: Demand, tap: Refill) -> None:
    """Five servings of 40 g, less what goes into the bottles."""
    five = tuple(replace(item, count=5) if item.kind == "drink_mix" else item for item in DEFAULT_ITEMS)
    drinks = plan(flat, 10.0, tap, pantry=Pantry(items=five))
    used_g = sum(load.powder_g for leg in drinks.legs for load in leg.loads)
    assert 40.0 <= used_g < 200.0
    assert_allclose(drinks.spare_powder_g, 200.0 - used_g)


def test_few_servings_are_spread_over_the_ride(flat: Demand) -> None:
    """Two servings for four legs: not both at the start."""
    few = tuple(replace(item, count=2) if item.kind == "drink_mix" else item for item in DEFAULT_ITEMS)
    taps = [Refill(km * 1000.0, f"tap {km}") for km in (30, 60, 90)]
    drinks = plan(flat, 20.0, *taps, pantry=Pantry(items=few))
    powder_g = [sum(load.powder_g for load in leg.loads) for leg in drinks.legs]
    assert sum(powder_g) >= 60.0
    assert sum(powder_g[:2]) <= 50.0
    assert sum(powder_g[2:]) > 0.0


def test_a_rider_with_mix_alone_has_mix_in_every_bottle(flat: Demand) -> None:
    mix = replace(next(item for item in DEFAULT_ITEMS if item.kind == "drink_mix"), count=12)
    drinks = plan(flat, 12.0, pantry=Pantry(items=(mix, WATER)))
    assert {load.item for load in drinks.legs[0].loads} == {mix.name}


def test_what_holds_no_carbohydrate_is_nothing_to_bite(flat: Demand) -> None:
    """A stick of salt beside a mix: the drink is all the food there is, as without it."""
    mix = replace(next(item for item in DEFAULT_ITEMS if item.kind == "drink_mix"), count=12)
    salt = Item("salt stick", "solid", 0.0, sodium_mg=300.0, count=6)
    alone, beside = (plan(flat, 12.0, pantry=Pantry(items=(*more, mix, WATER))) for more in ((), (salt,)))
    assert beside.legs == alone.legs
    assert plan(flat, 12.0, pantry=Pantry(items=(*DEFAULT_ITEMS, salt))).legs == plan(flat, 12.0).legs


def test_what_the_rider_sets_is_in_the_bottle(flat: Demand, tap: Refill) -> None:
    fills = (Fill("front bottle", "drink mix"), Fill("rear bottle", "water", fluid_ml=500.0))
    drinks = plan(flat, 10.0, tap, day=replace(NO_RESERVE, fills=fills))
    loads = drinks.legs[0].loads
    held = {load.container: (load.item, load.level_ml) for load in loads}
    assert held == {"front bottle": ("drink mix", 750.0), "rear bottle": ("water", 500.0)}
    assert [load.powder_g > 0.0 for load in loads] == [True, False]


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


def test_bottles_carry_past_a_tap_what_they_can(flat: Demand, tap: Refill) -> None:
    """600 ml a leg: both legs fit into the two bottles, all but 50 ml, so a shut tap does not matter."""
    drinks = plan(flat, 10.0, replace(tap, sure=False))
    assert held_ml(drinks, 0) >= 1100.0
    (failure,) = refill_failures(flat_need(flat, 10.0), drinks.legs, (tap,))
    assert failure.missing_ml <= 100.0
    assert [notice.code for notice in drinks.notices] == ["unsure_refill"]
    assert "does not matter" in say(drinks.notices[0])


def test_a_doubtful_tap_takes_the_spare_bottle_along(flat: Demand, tap: Refill) -> None:
    """1,020 ml a leg: 2,040 ml for both, 2,000 ml with the spare bottle: 40 ml would be missing."""
    drinks = plan(flat, 17.0, replace(tap, sure=False))
    spare = [load for load in drinks.legs[0].loads if not load.in_reach]
    assert [load.container for load in spare] == ["spare bottle"]
    assert "in case mill tap is shut" in say(spare[0].why)
    (failure,) = refill_failures(flat_need(flat, 17.0), drinks.legs, (tap,))
    assert_allclose(failure.missing_ml, 40.0, atol=1e-6)


def test_a_shut_tap_matters_up_to_the_next_water_used_or_not(flat: Demand, tap: Refill) -> None:
    """25 ml/km: the next tap 10 km on needs 250 ml, not the 1,500 ml to the finish."""
    feed = Feed(at_km=tap.at_m / 1000.0 + 10.0, name="barn tap")
    drinks = plan(flat, 25.0, tap, day=Day(reserve_min=0.0, feeds=(feed,)))
    told = say(drinks.notices[-1])
    assert drinks.notices[-1].code == "refill_matters"
    assert "250 ml are missing before km 70" in told


@pytest.mark.parametrize(("temperature_c", "less"), [(18.0, True), (25.0, False), (36.0, False)])
def test_nobody_is_told_to_drink_less_in_heat(
    flat: Demand, tap: Refill, temperature_c: float, less: bool
) -> None:
    """1,350 ml to the tap 90 km on, 338 more to the next, and 1,500 in two bottles: 188 of 1,688 are 11 %."""
    two = Pantry(containers=DEFAULT_CONTAINERS[:2])
    late, feed = replace(tap, at_m=1.5 * tap.at_m, sure=False), Feed(at_km=112.5)
    day = Day(reserve_min=0.0, temperature_c=temperature_c, feeds=(feed,))
    told = say(plan(flat, 15.0, late, pantry=two, day=day).notices[-1])
    assert "200 ml are missing before km 112" in told
    assert ("% less" in told) is less


def test_a_sure_tap_that_matters_is_told(flat: Demand, tap: Refill) -> None:
    """1,500 ml carried for the first leg of 1,500; 1,500 wanted behind the tap and nothing left."""
    drinks = plan(flat, 25.0, tap)
    assert [notice.code for notice in drinks.notices] == ["refill_matters"]
    assert "1500 ml are missing" in say(drinks.notices[0])


def test_the_last_leg_brings_drink_for_the_reserve_where_there_is_room(flat: Demand) -> None:
    """45 min at the ride's own rate: 1,080 ml in elapsed time T gives 1,080 * 0.75 h / T."""
    extra_ml = 1080.0 * 0.75 * 3600.0 / flat.pace.elapsed_s
    drinks = plan(flat, 9.0, day=Day(reserve_min=45.0))
    assert 1080.0 + extra_ml - 100.0 <= held_ml(drinks, 0) <= 1500.0
    assert_allclose(drinks.fluid_ml[-1], 1080.0, rtol=1e-6)


@pytest.mark.parametrize(("reserve_min", "carried_ml"), [(0.0, 750.0), (60.0, 800.0), (120.0, 1150.0)])
def test_the_reserve_is_drink_for_so_many_minutes_more(
    flat: Demand, reserve_min: float, carried_ml: float
) -> None:
    """720 ml in about four hours: 176 ml an hour more, of which 100 may be missing; marks at 400 and 750."""
    drinks = plan(flat, 6.0, pantry=Pantry(items=(WATER,)), day=Day(reserve_min=reserve_min))
    assert held_ml(drinks, 0) == carried_ml


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
