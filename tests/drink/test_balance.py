"""What leaves the bottles, sip by sip, against what was poured; what a race that fills its hours drinks."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from terrain_fuel.bottles.model import Refill
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.sips import SipPlan
from terrain_fuel.food.model import Bite
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from tests.bottle_account import Bottle
from tests.drink.staging import Stage, stage
from tests.made_roads import Road
from tests.outputs.demo_plans import demo_plan
from tests.usual import USUAL

MIX = Item("mix", "drink_mix", 40.0, sodium_mg=400.0, count=9, powder_g=40.0, water_ml=500.0)
JUICE = Item("juice", "drink", 30.0, fluid_ml=500.0, sodium_mg=150.0, count=4)
FIG = Item("fig slice", "chew", 15.5, count=40)
PEAR = replace(FIG, fluid_ml=30.0)
"""Food that is half a drink, under the name of that which is eaten on a stage."""
TWO = (Container("front", "bottle", holds_ml=750), Container("rear", "bottle", holds_ml=500))
THREE = (*TWO, Container("spare", "bottle", holds_ml=600, reach="stopped"))
KITCHENS = {
    "mix": Pantry((FIG, MIX, WATER), TWO),
    "juice": Pantry((FIG, JUICE, WATER), TWO),
    "pears": Pantry((PEAR, MIX, WATER), TWO),
    "water": Pantry((FIG, WATER), TWO),
    "spare": Pantry((FIG, MIX, WATER), THREE),
    "alone": Pantry((MIX, WATER), TWO),
}


@pytest.fixture(scope="module")
def flat() -> Stage:
    """100 km, flat, 18 ml/km: 1,800 ml in three and a half hours."""
    return stage(Road(100.0, hilliness=0.0, bends=0.0), 18.0)


def check_balance(plan: SipPlan, pantry: Pantry) -> None:
    """Hold every sip against what has been poured into its bottle and drunk of it before."""
    held = {bottle.name: Bottle() for bottle in pantry.bottles}
    holds_ml = {bottle.name: bottle.holds_ml for bottle in pantry.bottles}
    events = sorted(
        [(pour.at_m, 0, number) for number, pour in enumerate(plan.pours)]
        + [(sip.place.distance_m, 1, number) for number, sip in enumerate(plan.sips)]
    )
    for at_m, is_sip, number in events:
        if not is_sip:
            pour = plan.pours[number]
            item, into = pantry.item(pour.item), held[pour.container]
            into.take(pour.tipped_ml)
            if pour.why.code == "poured_over":
                held["spare"].take(pour.fluid_ml)
            servings = pour.powder_g / 40.0 if pour.powder_g else pour.fluid_ml / (item.fluid_ml or np.inf)
            brings = servings * item.carbohydrate_g, servings * item.counted_sodium_mg
            assert (pour.carbohydrate_g, pour.sodium_mg) == pytest.approx(brings)
            into.ml, into.grams, into.salt_mg = (
                into.ml + pour.fluid_ml, into.grams + brings[0], into.salt_mg + brings[1]
            )  # fmt: skip
            assert into.ml <= holds_ml[pour.container] + 1e-6
            assert into.grams <= 1.02 * 0.08 * into.ml + 1e-6, "no stronger than the packet"
            continue
        sip = plan.sips[number]
        draught, bottle = sip.draught, held[sip.draught.container]
        assert 15.0 - 1e-6 <= draught.fluid_ml <= bottle.ml + 1e-6
        assert sip.mouthfuls == max(1, round(draught.fluid_ml / 60.0))
        out = bottle.take(draught.fluid_ml)
        assert (draught.carbohydrate_g, draught.sodium_mg) == pytest.approx((out.grams, out.salt_mg))
        assert sip.emptied == (bottle.ml < 15.0)
        if sip.finishes:
            refilled = [p for p in plan.pours if p.container == draught.container and p.at_m > at_m]
            assert sip.emptied
            assert refilled[0].at_m - at_m < 5000.0


def check_limits(ground: Stage, bites: Sequence[Bite], sips: Sequence[Sip], fluid_ml: float) -> None:
    """Hold every hour against a litre and 75 g, and all that is drunk against the sweat."""
    pace, sweat_ml = ground.demand.pace, ground.demand.sweat_ml
    drunk = [(sip.place.clock_s, sip.draught.fluid_ml) for sip in sips]
    drunk += [(bite.clock_s, fluid_ml) for bite in bites]
    eaten = [(sip.place.clock_s, sip.draught.carbohydrate_g) for sip in sips]
    eaten += [(bite.clock_s, bite.carbohydrate_g) for bite in bites]
    for events, most in ((drunk, 1000.0), (eaten, 75.0)):
        for start_s, _ in events:
            assert sum(each for at_s, each in events if start_s <= at_s <= start_s + 3600.0) <= most
    for upto_s, _ in drunk:
        by_now_ml = sum(ml for at_s, ml in drunk if at_s <= upto_s)
        assert by_now_ml <= np.interp(upto_s, pace.clock_s, sweat_ml) + 500.0
    low_ml = (1.0 - ground.demand.sweat_spread) * float(sweat_ml[-1]) + 500.0
    assert sum(ml for _, ml in drunk) <= max(low_ml, float(sweat_ml[-1]) - 1400.0)


@pytest.mark.parametrize("at_km", [(), (50.0,), (25.0, 70.0)])
@pytest.mark.parametrize("kitchen", KITCHENS)
def test_what_is_sipped_has_been_poured(flat: Stage, kitchen: str, at_km: tuple[float, ...]) -> None:
    """From bottle to bottle, taps and a spare bottle poured over between, inside every limit."""
    pantry, road_m = KITCHENS[kitchen], flat.demand.pace.distance_m
    nodes = np.searchsorted(road_m, 1000.0 * np.array(at_km))
    halts = [Refill(float(at_m), "halt") for at_m in road_m[nodes]]
    if kitchen == "spare" and halts:
        halts[-1] = replace(halts[-1], kind="pour_over")
    bites = [] if kitchen == "alone" else flat.bites(22.0)
    rider = replace(USUAL, carbohydrate_limit_g_per_h=75.0)
    plan, drinks = flat.drink(bites, rider=rider, pantry=pantry, refills=tuple(halts))
    check_balance(plan, pantry)
    check_limits(flat, bites, plan.sips, 30.0 if kitchen == "pears" else 0.0)
    drunk_ml = sum(sip.draught.fluid_ml for sip in plan.sips) + (
        30.0 * len(bites) if kitchen == "pears" else 0.0
    )
    assert drunk_ml >= 0.9 * min(float(drinks.fluid_ml[-1]), 1800.0)
    assert plan.violations == ()


SMALL_MIX = replace(MIX, carbohydrate_g=20.0, powder_g=20.0, water_ml=250.0)
"""The same in smaller packets."""


def race(
    ground: Stage, bite_g: float, packets: int, *, fills_hours: bool = True
) -> tuple[list[Sip], list[Bite], float]:
    """Return sips and bites of a race with so many packets of mix, and what is left of them at home [g]."""
    bites = ground.bites(20.0, bite_g)
    rider = replace(USUAL, carbohydrate_limit_g_per_h=75.0)
    pantry = Pantry((FIG, replace(SMALL_MIX, count=packets), WATER), TWO)
    plan, drinks = ground.drink(bites, rider=rider, pantry=pantry, fills_hours=fills_hours)
    return list(plan.sips), bites, drinks.spare_powder_g


def gulped(ground: Stage, sips: Sequence[Sip], bites: Sequence[Bite]) -> list[bool]:
    """Return for each sip while more is wanted than has come, up to the next sip, whether it is of mix."""
    pace = ground.demand.pace
    told = []
    for number, (sip, later) in enumerate(pairwise(sips)):
        came_g = sum(each.draught.carbohydrate_g for each in sips[:number])
        came_g += sum(bite.carbohydrate_g for bite in bites if bite.clock_s <= later.place.clock_s)
        wanted_g = np.interp(later.place.clock_s, pace.clock_s, ground.demand.carbohydrate_target_g)
        if wanted_g - came_g > 5.0:
            told.append(sip.draught.carbohydrate_g > 0.0)
    return told


def test_a_race_that_fills_its_hours_drinks_mix_before_water_where_food_is_behind(flat: Stage) -> None:
    """8 g a bite are far behind: mix is drunk as long as there is any, although water is there."""
    sips, bites, spare_g = race(flat, 8.0, 12)
    assert spare_g >= 20.0
    of_mix = gulped(flat, sips, bites)
    last = max(number for number, mixed in enumerate(of_mix) if mixed)
    assert last >= 3
    assert all(of_mix[: last + 1])
    assert {sip.draught.item for sip in sips} == {"mix", "water"}
    usual, bites, _ = race(flat, 8.0, 12, fills_hours=False)
    assert not all(gulped(flat, usual, bites)[: last + 1])


def test_no_water_is_asked_for_a_moment_after_a_sip_for_the_room_of_an_hour() -> None:
    """Where a bite has left the hour there is room for mix: water can wait for the next sip."""
    sips = [point for point in demo_plan("loop-120", day="race").fuel_points if point.action == "sip"]
    assert sips
    for sip, later in pairwise(sips):
        if later.reason.code in ("sip_on_the_way_up", "sip_little_and_often") and later.carbohydrate_g == 0.0:
            assert later.time_s - sip.time_s > 150.0


def test_drink_that_is_far_too_little_and_the_last_is_shared_out(flat: Stage) -> None:
    """No powder at home and little to eat: a race drinks its mix as any ride does."""
    sips, _, spare_g = race(flat, 8.0, 3)
    assert spare_g < 20.0
    assert sips == race(flat, 8.0, 3, fills_hours=False)[0]


def test_the_last_mix_is_drunk_for_the_hours_where_food_does_for_the_rest(flat: Stage) -> None:
    """No powder at home either, but bites that bring two thirds of what is wanted."""
    sips, bites, spare_g = race(flat, 15.0, 3)
    assert spare_g < 20.0
    of_mix = gulped(flat, sips, bites)
    assert of_mix
    assert sips != race(flat, 15.0, 3, fills_hours=False)[0]
