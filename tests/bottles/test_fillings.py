"""One filling of the bottles and what drink should bring, by sums done by hand: 40 g of mix in 500 ml."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.bottles.carry import Carry
from terrain_fuel.bottles.filling import Filling, fill_bottles
from terrain_fuel.bottles.food_stops import food_stops
from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.reasons import explain_filling
from terrain_fuel.bottles.refills import bottle_capacity
from terrain_fuel.bottles.sachets import Mix, Recipe
from terrain_fuel.bottles.share import (
    FINE_STRENGTHS,
    STRENGTHS,
    drink_carbohydrate_g,
    drinkable,
    recipes_to_try,
)
from terrain_fuel.bottles.strength import Millilitre
from terrain_fuel.bottles.ways import Held, brimful
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import WATER, Container, Item, Pantry
from terrain_fuel.rider import Habits, Rider
from tests.made_rides import made_demand
from tests.made_roads import Road

MIX = Item("mix", "drink_mix", 40.0, sodium_mg=400.0, count=9, powder_g=40.0, water_ml=500.0)
SMALL, LARGE = Container("small", "bottle", holds_ml=500), Container("large", "bottle", holds_ml=750)
SPARE = Container("spare", "bottle", holds_ml=600, reach="stopped")
TAP = Refill(50_000.0, "tap")


def carry(wanted_ml: float, extra_ml: float = 0.0, **other: Refill | None) -> Carry:
    ends = {"tap": None, "next_tap": None, "pour_over": None, **other}
    return Carry(0.0, 50_000.0, wanted_ml, extra_ml, **ends)


def fill(
    way: Carry,
    wanted_g: float = 0.0,
    mix: Mix | None = None,
    *bottles: Container,
    held: Mapping[str, Held] | None = None,
    own: Mapping[str, tuple[Mix, float]] | None = None,
) -> Filling:
    pantry = Pantry((MIX, WATER), bottles or (SMALL, LARGE))
    return fill_bottles(way, wanted_g, mix or Mix(), held or {}, pantry, bottle_capacity(pantry, Day()), own)


def levels(filling: Filling) -> dict[str, float]:
    return {load.container: load.level_ml for load in filling.loads}


@pytest.mark.parametrize(
    ("wanted_ml", "extra_ml", "filled"),
    [
        (700.0, 0.0, {"large": 750.0}),  # 650 by two halves are too little, 900 more than need be
        (640.0, 0.0, {"small": 250.0, "large": 400.0}),
        (1000.0, 0.0, {"small": 250.0, "large": 750.0}),
        (1100.0, 0.0, {"small": 500.0, "large": 750.0}),
        (9000.0, 0.0, {"small": 500.0, "large": 750.0}),
        (500.0, 240.0, {"small": 250.0, "large": 400.0}),  # 90 of 740 ml beyond the need may be missing
        (500.0, 260.0, {"large": 750.0}),  # 110 may not
        (0.0, 0.5, {}),
    ],
)
def test_full_or_half_or_left_as_little_as_does(
    wanted_ml: float, extra_ml: float, filled: dict[str, float]
) -> None:
    filling = fill(carry(wanted_ml, extra_ml))
    assert levels(filling) == filled
    assert filling.volume_ml == sum(filled.values())
    assert filling.drunk_ml == pytest.approx(min(wanted_ml, filling.volume_ml))


def test_mix_brings_what_is_wanted_and_water_the_rest() -> None:
    filling = fill(carry(1000.0), 40.0, Mix(MIX, left=360.0))
    small, large = filling.loads
    assert (small.item, small.level_ml, small.powder_g, small.left_ml) == ("mix", 500.0, 40.0, 0.0)
    assert (large.item, large.level_ml, large.powder_g, large.left_ml) == ("water", 750.0, 0.0, 250.0)
    assert filling.carbohydrate_g == pytest.approx(40.0)
    assert filling.sodium_mg == pytest.approx(400.0)
    assert dict(filling.uses)["mix"] == pytest.approx(40.0)
    assert {name: held.level_ml for name, held in filling.left} == {"small": 0.0, "large": 250.0}


def test_no_more_powder_than_there_is() -> None:
    filling = fill(carry(1000.0), 40.0, Mix(MIX, left=20.0))
    assert sum(load.powder_g for load in filling.loads) == 20.0
    assert levels(filling) == {"small": 250.0, "large": 750.0}


def test_an_empty_bottle_is_no_water() -> None:
    """Where nothing is bitten 480 ml of mix are in one bottle: half of another is only carried along."""
    other = Container("other", "bottle", holds_ml=400)
    alone = Mix(MIX, left=360.0, alone=True)
    assert levels(fill(carry(480.0), 38.4, alone, SMALL, other)) == {"small": 500.0}


@pytest.mark.parametrize(("wanted_g", "item"), [(26.0, "water"), (28.0, "mix")])
def test_too_much_counts_as_twice_too_little(wanted_g: float, item: str) -> None:
    # a bottle of 40 g: 14 too many are as bad as 28 too few, 12 as 24
    (load,) = fill(carry(500.0), wanted_g, Mix(MIX, left=360.0), SMALL).loads
    assert load.item == item


@pytest.mark.parametrize(
    ("wanted_ml", "tap", "left_ml"), [(430.0, TAP, 0.0), (390.0, TAP, 110.0), (430.0, None, 70.0)]
)
def test_the_last_mouthfuls_of_a_mix_are_drunk_before_a_tap(
    wanted_ml: float, tap: Refill | None, left_ml: float
) -> None:
    filling = fill(carry(wanted_ml, next_tap=tap), 40.0, Mix(MIX, left=360.0), SMALL)
    assert filling.loads[0].left_ml == pytest.approx(left_ml)
    assert filling.carbohydrate_g == pytest.approx(0.08 * (500.0 - left_ml))


@pytest.mark.parametrize(
    ("wanted_ml", "extra_ml", "level_ml"),
    [
        (254.0, 0.0, 250.0),  # 25.4 of 50 g once it is filled up: 24.6 g are worth 4.9 ml, 4 are missing
        (256.0, 0.0, 500.0),  # 24.4 g are worth 4.9 ml, 6 are missing
        (250.0, 148.0, 250.0),  # 25 g and 250 ml more to carry are worth 51.2 ml in case, 48 are missing
        (250.0, 155.0, 500.0),
    ],
)
def test_five_grams_are_worth_a_millilitre_and_half_a_gram_one_in_case(
    wanted_ml: float, extra_ml: float, level_ml: float
) -> None:
    """Half a bottle of strong drink from the last tap is left alone until too much would be missing."""
    strong = {"small": Held(250.0, Millilitre(0.2))}
    assert levels(fill(carry(wanted_ml, extra_ml), 50.0, None, SMALL, held=strong)) == {"small": level_ml}


def test_what_is_still_in_a_bottle_counts() -> None:
    held = {"large": Held(600.0)}
    assert levels(fill(carry(600.0), held=held)) == {"large": 600.0}
    # 150 ml on top are not worth opening it for: the other one is filled
    assert levels(fill(carry(700.0), held=held)) == {"small": 250.0, "large": 600.0}


def test_a_bottle_out_of_reach_goes_along_for_a_pour_over_or_a_doubtful_tap() -> None:
    bottles = (SMALL, LARGE, SPARE)
    halt, doubtful = Refill(20_000.0, "halt", kind="pour_over"), replace(TAP, sure=False)
    for way, spare_ml in (
        (carry(1500.0, pour_over=halt), 300.0),  # 250 ml more than the bottles in reach: half of it
        (carry(1600.0, pour_over=halt), 600.0),
        (carry(1000.0, 500.0, next_tap=doubtful), 300.0),
        (carry(1000.0, 500.0, next_tap=TAP), None),
        (carry(1200.0, pour_over=halt), None),
    ):
        assert levels(fill(way, 0.0, None, *bottles)).get("spare") == spare_ml
    (spare,) = [
        load for load in fill(carry(1500.0, pour_over=halt), 0.0, None, *bottles).loads if not load.in_reach
    ]
    assert (spare.item, spare.mark_ml) == ("water", 300.0)


def test_what_the_rider_sets_is_poured_whatever_it_costs() -> None:
    filling = fill(carry(400.0), 0.0, Mix(MIX, left=360.0), own={"small": (Mix(MIX, left=360.0), 300.0)})
    small = filling.loads[0]
    assert (small.item, small.level_ml, small.powder_g) == ("mix", 300.0, 24.0)


def test_a_fourth_bottle_is_filled_where_three_are_not_enough() -> None:
    four = tuple(Container(f"bottle {number}", "bottle", holds_ml=500) for number in range(4))
    assert sum(levels(fill(carry(1400.0), 0.0, None, *four)).values()) == 1500.0
    assert levels(fill(carry(1700.0), 0.0, None, *four)) == dict.fromkeys((each.name for each in four), 500.0)


def test_with_nothing_to_bite_every_bottle_is_mix() -> None:
    alone = Mix(MIX, left=360.0, recipe=Recipe(sachets=2), alone=True)
    filling = fill(carry(1200.0), 96.0, alone)
    assert {load.item for load in filling.loads} == {"mix"}
    assert all(load.powder_g > 0.0 for load in filling.loads)


def test_with_nothing_to_bite_thin_mix_in_all_bottles_is_better_than_water_beside_strong_mix() -> None:
    """60 g in 1200 ml: one and a half packets spread over both bottles, not a full one beside water."""
    alone = Mix(MIX, left=360.0, recipe=Recipe(sachets=3), alone=True)
    filling = fill(carry(1200.0), 60.0, alone)
    assert {load.item: load.level_ml for load in filling.loads} == {"mix": 750.0}
    assert [(load.container, load.powder_g) for load in filling.loads] == [("small", 40.0), ("large", 20.0)]


def test_with_nothing_to_bite_a_gram_is_worth_four_litres_to_carry() -> None:
    """Of 10 g in 350 ml, 25 g in 900 ml bring 0.28 too little and 35 g in 1250 ml 0.2: 0.08 g or 350 ml."""
    alone = Mix(MIX, left=360.0, recipe=Recipe(sachets=4), alone=True)
    assert levels(fill(carry(350.0), 10.0, alone)) == {"small": 500.0, "large": 400.0}


@pytest.mark.parametrize("strengths", [STRENGTHS, FINE_STRENGTHS])
def test_no_recipe_is_stronger_than_the_packets_nor_thinner_than_half(strengths: Sequence[float]) -> None:
    kitchen = Pantry((Item("slice", "solid", 20.0, count=9), MIX, WATER), (SMALL, LARGE))
    shares = [recipe.share for recipe in recipes_to_try(kitchen, [carry(1000.0)], [80.0], strengths)]
    assert shares == sorted(shares, reverse=True)  # the packet's own first
    assert (shares[0], shares[-1]) == (1.0, 0.5)


def test_why_a_bottle_is_filled() -> None:
    pantry = Pantry((MIX, WATER), (SMALL, LARGE, SPARE))
    capacity = bottle_capacity(pantry, Day())

    def why(way: Carry, mix: Mix) -> dict[str, str]:
        filling = fill(way, 40.0, mix, SMALL, LARGE, SPARE)
        return {
            load.container: load.why.code for load in explain_filling(filling, way, capacity, pantry).loads
        }

    mix = Mix(MIX, left=360.0)
    assert why(carry(1250.0), mix) == {"small": "energy_and_salt", "large": "water_with_bites"}
    assert why(carry(1000.0, 250.0), mix) == {"small": "left_over", "large": "left_over"}
    # 1,250 ml are carried: 40 more than are wanted are only rounding, 60 are more
    assert why(carry(1210.0, 250.0), mix) == {"small": "energy_and_salt", "large": "water_with_bites"}
    assert why(carry(1190.0, 250.0), mix) == {"small": "left_over", "large": "left_over"}
    assert set(why(carry(1000.0, 250.0, next_tap=TAP), mix).values()) == {"fuller_in_case"}
    handed = why(carry(1250.0, tap=TAP), Mix(MIX, from_stock=False))
    assert handed["small"] == "handed_out"


@pytest.fixture(scope="module")
def flat() -> Demand:
    """120 km of flat road, about four hours."""
    return made_demand(Road(120.0, hilliness=0.0, bends=0.0))


def wanted_of_drink_g(
    flat: Demand, target_g: float, pantry: Pantry, gap_min: float = 45.0, *, mix_share: float | None = None
) -> float:
    """Return what one carry of 1,200 ml should bring beside the bites."""
    share = flat.pace.distance_m / flat.pace.distance_m[-1]
    demand = replace(flat, carbohydrate_target_g=target_g * share)
    usual = Habits(first_food_min=30.0, eat_every_min=20.0, longest_gap_min=gap_min)
    rider = Rider(carbohydrate_limit_g_per_h=60.0, habits=usual)
    way = Carry(0.0, float(flat.pace.distance_m[-1]), 1200.0, 0.0, None, None, None)
    return drink_carbohydrate_g(demand, rider, pantry, [way], mix_share=mix_share)[0]


def stocked(bite_g: float, count: int, servings: int = 99) -> Pantry:
    return Pantry(
        (Item("slice", "solid", bite_g, count=count), replace(MIX, count=servings), WATER), (SMALL,)
    )


@pytest.mark.parametrize(
    ("bite_g", "count", "gap_min", "left_g_per_h"),
    [
        (15.0, 99, 45.0, 56.0 - 3 * 15.0),  # three an hour in 60 g, less 4 for a mouthful
        (10.0, 99, 45.0, 56.0 - 3 * 10.0),  # five would fit: the rhythm is three
        (15.0, 8, 45.0, None),  # eight for the whole ride
        (30.0, 99, 45.0, 56.0),  # one fits an hour, a gap of 45 min wants 1.3: a quarter is kept for drink
        (60.0, 99, 45.0, 56.0),
        (25.0, 99, 45.0, 56.0 - 2 * 25.0),
        (50.0, 99, 61.0, 56.0 - 50.0),  # one an hour keeps a gap of an hour
        (50.0, 99, 59.0, 56.0),  # and just not a shorter one: drink does
    ],
)
def test_drink_may_bring_what_the_gut_has_room_for_beside_the_bites(
    flat: Demand, bite_g: float, count: int, gap_min: float, left_g_per_h: float | None
) -> None:
    hours = flat.pace.elapsed_s / 3600.0
    room_g = wanted_of_drink_g(flat, 5000.0, stocked(bite_g, count), gap_min)
    if bite_g == 30.0:
        left_g_per_h = 56.0 - 30.0  # 42 g of 56 hold one bite of 30
    expected = 56.0 * hours - 8 * 15.0 if left_g_per_h is None else left_g_per_h * hours
    assert room_g == pytest.approx(expected)


def test_a_large_bite_among_small_ones_takes_no_room_from_them(flat: Demand) -> None:
    """The small ones keep the rhythm, whatever else lies in the kitchen."""
    small = stocked(15.0, 99)
    mixed = replace(small, items=(Item("brick", "solid", 50.0, count=9), *small.items))
    alone, beside = (wanted_of_drink_g(flat, 5000.0, pantry) for pantry in (small, mixed))
    assert beside == pytest.approx(alone)


def test_drink_brings_what_bites_leave_missing(flat: Demand) -> None:
    # bites from 30 min on every 20, the last ten minutes before the finish: 15 g each
    minutes = flat.pace.elapsed_s / 60.0
    bites = (minutes - 40.0) / 20.0 + 1.0
    found = wanted_of_drink_g(flat, 15.0 * bites + 60.0, stocked(15.0, 99))
    room_g = (56.0 - 45.0) * minutes / 60.0
    # half the drink is mix all the same: 600 ml of 80 g in a litre are 48 g
    assert found == pytest.approx(min(room_g, 60.0))
    assert wanted_of_drink_g(flat, 15.0 * bites + 48.0, stocked(15.0, 99)) == pytest.approx(min(room_g, 48.0))
    # where that would be more than is wanted beside the bites, as thin as is still a taste and some salt
    assert wanted_of_drink_g(flat, 15.0 * bites + 30.0, stocked(15.0, 99)) == pytest.approx(min(room_g, 30.0))
    assert wanted_of_drink_g(flat, 10.0, stocked(15.0, 99)) == pytest.approx(min(room_g, 24.0))
    # no more than there is
    assert wanted_of_drink_g(flat, 5000.0, stocked(15.0, 99, 1)) == pytest.approx(min(room_g, 40.0))


def test_in_a_race_that_fills_the_hours_drink_brings_its_share_of_what_bites_leave_missing(
    flat: Demand,
) -> None:
    """Larger bites bring the rest, as far as the kitchen has them."""
    minutes = flat.pace.elapsed_s / 60.0
    bites = (minutes - 40.0) / 20.0 + 1.0
    target_g = 10.0 * bites + 100.0
    room_g = (56.0 - 30.0) * minutes / 60.0
    assert room_g > 50.0, "the room would decide"
    assert wanted_of_drink_g(flat, target_g, stocked(10.0, 99)) == pytest.approx(min(room_g, 100.0))
    assert wanted_of_drink_g(flat, target_g, stocked(10.0, 99), mix_share=0.5) == pytest.approx(50.0)
    # with food for little more than the rhythm, all that it does not bring is left to drink
    few = stocked(10.0, int(bites) + 2)
    short_g = target_g - 10.0 * (int(bites) + 2)
    assert wanted_of_drink_g(flat, target_g, few, mix_share=0.5) == pytest.approx(max(50.0, short_g))


def test_with_nothing_to_bite_drink_may_bring_all(flat: Demand) -> None:
    alone = Pantry((replace(MIX, count=99), WATER), (SMALL,))
    assert wanted_of_drink_g(flat, 5000.0, alone) == pytest.approx(56.0 * flat.pace.elapsed_s / 3600.0)
    assert wanted_of_drink_g(flat, 100.0, alone) == pytest.approx(100.0)


def test_only_what_is_as_strong_as_on_the_packet_is_told_to_be() -> None:
    """40 g for 500 ml: a sachet of 32 g in a bottle of 500 is four fifths of it, one of 40 all."""
    for powder_share, told in ((0.8, "energy_thinner"), (1.0, "energy_and_salt")):
        mix = Mix(MIX, recipe=Recipe(powder_share, 1))
        bottle = Container("only bottle", "bottle", holds_ml=500.0)
        filling = fill(carry(500.0), 40.0, mix, bottle)
        pantry = Pantry((MIX, WATER), (bottle,))
        explained = explain_filling(filling, carry(500.0), bottle_capacity(pantry, Day()), pantry)
        assert explained.loads[0].strength_share == pytest.approx(powder_share)
        assert explained.loads[0].why.code == told


def test_what_may_fill_a_bottle() -> None:
    assert drinkable(MIX)
    assert not drinkable(WATER)
    assert not drinkable(replace(MIX, caffeine_mg=50.0))
    assert not drinkable(Item("slice", "solid", 20.0))


def test_recipes_are_thinner_beside_bites_and_in_more_sachets_without() -> None:
    ways = [carry(1000.0)]
    assert [each.share for each in recipes_to_try(stocked(15.0, 9), ways, [40.0])] == [1.0, 0.75, 0.5]
    assert recipes_to_try(Pantry((WATER,), (SMALL,)), ways, [40.0]) == (Recipe(),)
    alone = Pantry((replace(MIX, count=99), WATER), (SMALL,))
    tried = recipes_to_try(alone, ways, [64.0])  # 64 g in a litre are 0.8 of the packet's strength
    assert {each.sachets for each in tried} == {2, 3, 4}
    assert list(dict.fromkeys(round(each.share, 2) for each in tried)) == [0.8, 0.72, 0.6, 0.5]
    # what rides along for the reserve takes nothing of the strength, as long as the servings last
    kept = recipes_to_try(alone, [carry(1000.0, 500.0)], [64.0])
    assert max(each.share for each in kept) == 0.8
    few = Pantry((replace(MIX, count=1), WATER), (SMALL,))
    assert (
        max(each.share for each in recipes_to_try(few, ways, [64.0])) == 0.5
    )  # a serving for 500 ml of 1,000


def test_a_kitchen_that_does_not_last_halts_where_food_is(flat: Demand) -> None:
    demand = replace(flat, carbohydrate_target_g=np.linspace(0.0, 200.0, flat.pace.distance_m.size))
    shop = replace(TAP, offers=("slice", "water"))
    # 0.8 of 200 g are eaten, and 1.15 times that is enough: 184 g
    for count, halts in ((12, {1}), (13, set())):
        pantry = Pantry((Item("slice", "solid", 15.0, count=count), MIX, WATER), (SMALL,))
        assert food_stops((TAP, shop), demand, pantry) == halts


@pytest.mark.parametrize(("level_ml", "poured_ml"), [(700.0, 0.0), (350.0, 400.0)])
def test_a_further_bottle_is_opened_only_where_it_has_room_for_a_glass(
    level_ml: float, poured_ml: float
) -> None:
    way = brimful(Container("third", "bottle", holds_ml=750.0), Held(level_ml))
    assert way.poured_ml == poured_ml
    assert way.held.level_ml == level_ml + poured_ml


def test_the_last_mouthfuls_of_a_mix_are_still_there_at_a_tap_that_is_shut() -> None:
    """680 of 750 ml are drunk up to a tap in doubt, and the 70 left count beyond it, of mix as of water."""
    mixed = fill(carry(680.0, 180.0, next_tap=TAP), 30.0, Mix(MIX, recipe=Recipe(0.5)), LARGE)
    assert mixed.carbohydrate_g == pytest.approx(30.0)
    assert mixed.drunk_ml == pytest.approx(750.0)
