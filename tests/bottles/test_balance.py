"""What goes into the bottles, what comes out, and what a plan says of it: an account kept apart."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.model import DrinkPlan, Leg, Refill
from terrain_fuel.day import Day, Fill
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from tests.bottle_account import Bottle
from tests.made_rides import made_demand, steady_demand
from tests.made_roads import Road
from tests.usual import USUAL

MIX = Item("mix", "drink_mix", 40.0, sodium_mg=440.0, count=9, powder_g=44.0, water_ml=500.0)
JUICE = Item("juice", "drink", 30.0, fluid_ml=500.0, sodium_mg=150.0, count=4)
SLICE = Item("slice", "solid", 22.0, count=30)
BOTTLES = (
    Container("small", "bottle", holds_ml=500),
    Container("large", "bottle", holds_ml=750),
    Container("spare", "bottle", holds_ml=600, reach="stopped"),
)
KITCHENS = {
    "mix beside food": Pantry((MIX, SLICE, WATER), BOTTLES),
    "mix alone": Pantry((MIX, WATER), BOTTLES),
    "little mix": Pantry((replace(MIX, count=1), SLICE, WATER), BOTTLES),
    "juice": Pantry((JUICE, SLICE, WATER), BOTTLES),
    "water": Pantry((SLICE, WATER), BOTTLES),
    "four bottles": Pantry((MIX, SLICE, WATER), (*BOTTLES, *(replace(BOTTLES[0], name=n) for n in "ab"))),
}
TAPS = {
    "none": (),
    "one": (Refill(50_000.0, "tap"),),
    "unsure": (Refill(50_000.0, "tap", sure=False), Refill(90_000.0, "well")),
    "feed": (Refill(30_000.0, "tap"), Refill(70_000.0, "feed", offers=("juice", "water"))),
    "poured over": (
        Refill(40_000.0, "tap"),
        Refill(85_000.0, "spare bottle", (), 60.0, kind="pour_over"),
    ),
}


@pytest.fixture(scope="module")
def flat() -> Demand:
    """120 km of flat road, about four hours."""
    return made_demand(Road(120.0, hilliness=0.0, bends=0.0))


def on_nodes(demand: Demand, taps: str) -> tuple[Refill, ...]:
    """Return some refills, each at a node of the road, where halts are made."""
    road_m = demand.pace.distance_m
    return tuple(
        replace(refill, at_m=float(road_m[np.searchsorted(road_m, refill.at_m)])) for refill in TAPS[taps]
    )


def fill(bottles: Mapping[str, Bottle], leg: Leg, items: Mapping[str, Item]) -> None:
    """Pour what a leg's loads say on top of what is there, as the packet says."""
    for load in leg.loads:
        bottle, item = bottles[load.container], items[load.item]
        poured_ml = load.level_ml - bottle.ml
        assert poured_ml >= -1e-6, "a bottle does not grow empty by itself"
        if item.kind == "drink":
            servings = poured_ml / item.fluid_ml
        else:
            servings = load.powder_g / item.powder_g if load.powder_g else 0.0
            assert load.powder_g <= 1.02 * poured_ml * 44.0 / 500.0 + 1e-6, "no stronger than the packet"
        bottle.ml = load.level_ml
        bottle.grams += servings * item.carbohydrate_g
        bottle.salt_mg += servings * item.counted_sodium_mg


def tap_to_tap(legs: Sequence[Leg]) -> list[list[Leg]]:
    carries: list[list[Leg]] = []
    for leg in legs:
        if leg.refill is not None and leg.refill.kind == "pour_over":
            carries[-1].append(leg)
        else:
            carries.append([leg])
    return carries


@pytest.mark.parametrize("ml_per_km", [8.0, 22.0])
@pytest.mark.parametrize("taps", TAPS)
@pytest.mark.parametrize("kitchen", KITCHENS)
def test_what_is_drunk_has_been_poured(flat: Demand, kitchen: str, taps: str, ml_per_km: float) -> None:
    """From bottle to bottle and from tap to tap: what a leg brings is what left the bottles on it."""
    pantry = KITCHENS[kitchen]
    if kitchen != "juice":
        pantry = Pantry((*pantry.items, replace(JUICE, count=0)), pantry.containers)
    demand = steady_demand(flat, ml_per_km)
    drinks = plan_drinks(demand, on_nodes(demand, taps), USUAL, pantry, Day(reserve_min=20.0))
    check_balance(demand, drinks, pantry)


def test_what_is_drunk_of_the_riders_own_fillings_has_been_poured(flat: Demand) -> None:
    fills = (Fill("small", "juice", fluid_ml=400.0), Fill("large", "mix"), Fill("small", "mix", at_km=50.0))
    pantry = Pantry((MIX, JUICE, SLICE, WATER), BOTTLES)
    demand = steady_demand(flat, 14.0)
    drinks = plan_drinks(demand, on_nodes(demand, "one"), USUAL, pantry, Day(reserve_min=0.0, fills=fills))
    check_balance(demand, drinks, pantry)


def check_balance(demand: Demand, drinks: DrinkPlan, pantry: Pantry) -> None:
    """Hold a plan's legs, columns and powder against what its loads bring."""
    items = {item.name: item for item in pantry.items}
    bottles = {bottle.name: Bottle() for bottle in pantry.bottles}
    reach = {bottle.name for bottle in pantry.bottles if bottle.reach == "riding"}
    road_m, total = demand.pace.distance_m, np.zeros(3)
    for carry in tap_to_tap(drinks.legs):
        first, last = carry[0], carry[-1]
        wanted_ml = float(np.diff(np.interp([first.start_m, last.end_m], road_m, demand.fluid_target_ml))[0])
        assert sum(leg.wanted_ml for leg in carry) == pytest.approx(wanted_ml)
        fill(bottles, first, items)
        spare_ml = sum(load.level_ml for load in first.loads if not load.in_reach)
        brought = np.zeros(3)
        for load in first.loads:
            if load.in_reach:
                ml = load.level_ml - load.left_ml
                out = bottles[load.container].take(ml)
                brought += (ml, out.grams, out.salt_mg)
        for name in bottles.keys() - reach:
            bottles[name] = Bottle()
        if len(carry) == 1:
            assert first.planned_ml == pytest.approx(brought[0])
            carried_ml = brought[0] + sum(bottle.ml for bottle in bottles.values())
            assert first.planned_ml >= min(wanted_ml, carried_ml) - 1e-6
            assert first.planned_ml <= wanted_ml + 100.0 * len(first.loads) + 1e-6
        else:
            all_ml = sum(load.level_ml for load in first.loads)
            assert first.planned_ml + last.planned_ml == pytest.approx(min(wanted_ml, all_ml))
            assert first.planned_ml / first.wanted_ml == pytest.approx(last.planned_ml / last.wanted_ml)
        assert spare_ml in (0.0, 300.0, 600.0)
        total += (sum(leg.planned_ml for leg in carry), *brought[1:])
        at_end = [
            float(np.interp(last.end_m, road_m, column))
            for column in (drinks.fluid_ml, drinks.carbohydrate_g, drinks.sodium_mg)
        ]
        assert at_end == pytest.approx(total.tolist(), abs=1e-6)
    used_g = sum(
        load.powder_g
        for leg in drinks.legs
        for load in leg.loads
        if load.from_stock and (leg.refill is None or leg.refill.kind == "tap")
    )
    stock_g = sum(item.count * item.powder_g for item in pantry.items)
    assert used_g <= stock_g + 1e-6
    assert drinks.legs[0].start_m == 0.0
    assert [leg.end_m for leg in drinks.legs[:-1]] == [leg.start_m for leg in drinks.legs[1:]]
