"""What is in the bottles while they are drunk from, by sums done by hand."""

from dataclasses import replace

import pytest

from terrain_fuel.bottles.model import Leg, Load, Refill
from terrain_fuel.drink.levels import BottleLevels
from terrain_fuel.facts import NOTHING
from terrain_fuel.pantry import WATER, Pantry
from tests.drink.accounts import KITCHEN, LEFT, MIX, RIGHT, SPARE


def load(container: str, item: str, level_ml: float, **other: float) -> Load:
    return Load(container, item, level_ml, NOTHING, mark_ml=other.pop("mark_ml", level_ml), **other)  # type: ignore[arg-type]


def filled(*loads: Load, pantry: Pantry = KITCHEN, spare_powder_g: float = 0.0) -> BottleLevels:
    levels = BottleLevels(pantry, spare_powder_g)
    levels.fill(Leg(0.0, 50_000.0, 0.0, 0.0, loads))
    return levels


def test_a_draught_brings_what_the_bottle_holds() -> None:
    levels = filled(load("left bottle", "mix", 500.0, powder_g=40.0), load("right bottle", "water", 750.0))
    assert levels.in_reach_ml == 1250.0
    draught = levels.take("left bottle", 100.0)
    assert draught.item == "mix"
    assert (draught.carbohydrate_g, draught.sodium_mg) == pytest.approx((8.0, 80.0))
    assert levels.take("right bottle", 100.0).carbohydrate_g == 0.0
    assert levels.in_reach_ml == 1050.0
    assert not levels.is_empty("left bottle")
    levels.take("left bottle", 386.0)
    assert levels.is_empty("left bottle")


def test_a_bottle_is_called_by_the_powder_that_was_last_stirred_in() -> None:
    """16 g in 200 ml on 300 ml of water is thin mix, until more water than that is poured over it."""
    levels = filled(load("left bottle", "water", 300.0))
    mixed = load("left bottle", "mix", 500.0, powder_g=16.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (mixed,), Refill(50_000.0, "tap")))
    draught = levels.take("left bottle", 300.0)
    assert draught.item == "mix"
    assert draught.carbohydrate_g == pytest.approx(300.0 * 16.0 / 500.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (load("left bottle", "water", 450.0),)))
    assert levels.take("left bottle", 100.0).item == "water"


def test_with_a_bite_water_comes_first_and_between_bites_mix() -> None:
    loads = load("left bottle", "mix", 500.0, powder_g=40.0), load("right bottle", "water", 750.0)
    assert [name for name, _, _ in filled(*loads).choices(True)] == ["right bottle", "left bottle"]
    assert [name for name, _, _ in filled(*loads).choices(False)] == ["left bottle", "right bottle"]
    # ... until the water is a fifth of its filling behind, less the 60 of 500 ml that mix is drunk sooner
    levels = filled(*loads)
    levels.take("right bottle", 45.0)
    assert levels.choices(True)[0][0] == "right bottle"
    levels.take("right bottle", 45.0)
    assert levels.choices(True)[0][:2] == ("left bottle", 500.0)
    levels.take("left bottle", 499.5)
    assert [name for name, _, _ in levels.choices(False)] == ["right bottle"]


def test_what_should_be_left_is_drunk_last() -> None:
    loads = load("left bottle", "water", 500.0, left_ml=450.0), load("right bottle", "water", 750.0)
    levels = filled(*loads)
    levels.take("right bottle", 300.0)
    assert levels.choices(False)[0][0] == "left bottle"  # 50 of 50 ml against 450 of 750
    levels.take("left bottle", 40.0)
    assert levels.choices(False)[0][0] == "right bottle"


def test_the_last_drops_of_mix_are_those_before_a_filling() -> None:
    mixed = load("left bottle", "mix", 500.0, powder_g=40.0)
    levels = filled(mixed, load("right bottle", "water", 750.0))
    assert levels.last_drops() is None
    levels.take("left bottle", 251.0)
    drops = levels.last_drops()
    assert drops is not None
    assert drops[0] == "left bottle"
    assert drops[1:] == pytest.approx((249.0, 0.08))
    kept = filled(replace(mixed, left_ml=100.0), load("right bottle", "water", 200.0))
    kept.take("left bottle", 300.0)
    assert kept.last_drops() is None


def test_powder_goes_into_an_empty_bottle_and_little_drink_is_tipped_out_for_it() -> None:
    mixed = load("left bottle", "mix", 500.0, powder_g=40.0)
    levels = filled(mixed)
    levels.take("left bottle", 420.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (mixed,), Refill(50_000.0, "tap")))
    pour = levels.pours[-1]
    assert (pour.tipped_ml, pour.fluid_ml, pour.powder_g) == pytest.approx((80.0, 500.0, 40.0))
    assert pour.carbohydrate_g == pytest.approx(40.0)
    levels.take("left bottle", 380.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (mixed,), Refill(90_000.0, "tap")))
    pour = levels.pours[-1]
    # 120 ml are too much to tip out: 380 ml of water take no more than 2 % beyond the packet's strength
    assert (pour.tipped_ml, pour.fluid_ml, pour.powder_g) == pytest.approx((0.0, 380.0, 1.02 * 380.0 * 0.08))


def test_sachets_are_poured_whole() -> None:
    sachets = load("left bottle", "mix", 500.0, powder_g=40.0, sachet_g=20.0)
    levels = filled(sachets)
    levels.take("left bottle", 300.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (sachets,), Refill(50_000.0, "tap")))
    # 300 ml take 24.5 g: one sachet of 20
    assert levels.pours[-1].powder_g == 20.0
    levels = filled(sachets)
    levels.take("left bottle", 200.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (sachets,), Refill(50_000.0, "tap")))
    assert levels.pours[-1].item == "water"  # 16.3 g: none
    assert levels.pours[-1].powder_g == 0.0


@pytest.mark.parametrize(
    ("spare_powder_g", "sachet_g", "powder_g"),
    [
        (25.0, 20.0, 40.0),  # half a bottle was planned, 500 ml go in: 40.8 g fit, one sachet more is at home
        (10.0, 20.0, 20.0),  # ... is not
        (45.0, 20.0, 40.0),  # ... and one more for the next filling
        (99.0, 10.0, 40.0),  # 30 g of small sachets more would be too strong
        (99.0, 15.0, 30.0),
    ],
)
def test_with_nothing_to_bite_an_emptier_bottle_takes_more_sachets(
    spare_powder_g: float, sachet_g: float, powder_g: float
) -> None:
    planned = load("left bottle", "mix", 500.0, powder_g=20.0, sachet_g=sachet_g, g_per_ml=0.08)
    if sachet_g == 15.0:
        # mixed thinner: 15 g in 250 ml, and 30 of the 40.8 g that would fit keep it so
        planned = replace(planned, powder_g=15.0, g_per_ml=0.06)
    levels = filled(planned, spare_powder_g=spare_powder_g)
    assert (levels.pours[-1].item, levels.pours[-1].powder_g) == ("mix", powder_g)
    levels.take("left bottle", 500.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (planned,), Refill(50_000.0, "tap")))
    left_g = spare_powder_g - (powder_g - planned.powder_g)
    more_g = sachet_g * min(left_g // sachet_g, (powder_g - planned.powder_g) // sachet_g)
    assert levels.pours[-1].powder_g == planned.powder_g + more_g


@pytest.mark.parametrize(
    ("spare_powder_g", "item", "powder_g"), [(45.0, "mix", 40.0), (25.0, "mix", 20.0), (15.0, "water", 0.0)]
)
def test_a_bottle_that_comes_emptier_than_planned_takes_what_is_left_at_home(
    spare_powder_g: float, item: str, powder_g: float
) -> None:
    planned = load("left bottle", "mix", 500.0, sachet_g=20.0)
    levels = filled(planned, spare_powder_g=spare_powder_g)
    assert (levels.pours[-1].item, levels.pours[-1].powder_g) == (item, powder_g)


def test_a_bottle_is_not_opened_for_a_few_drops_but_filled_to_the_brim() -> None:
    levels = filled(load("left bottle", "water", 400.0))
    levels.take("left bottle", 160.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (load("left bottle", "water", 400.0),), Refill(5.0, "tap")))
    # 160 ml to the mark are too little to stop for, 260 to the brim are not
    assert levels.pours[-1].fluid_ml == pytest.approx(260.0)
    levels.fill(Leg(90_000.0, 99_000.0, 0.0, 0.0, (load("left bottle", "water", 500.0),), Refill(9.0, "tap")))
    assert len(levels.pours) == 2


def test_the_spare_bottle_is_poured_into_those_in_reach() -> None:
    pantry = Pantry((MIX, WATER), (LEFT, RIGHT, SPARE))
    levels = filled(
        load("left bottle", "mix", 500.0, powder_g=40.0),
        load("right bottle", "water", 750.0),
        load("spare bottle", "water", 600.0),
        pantry=pantry,
    )
    assert levels.in_reach_ml == 1250.0  # nobody drinks from the spare one while riding
    levels.take("left bottle", 450.0)
    levels.take("right bottle", 400.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (), Refill(50_000.0, "halt", kind="pour_over")))
    first, second = levels.pours[-2:]
    # water to water first, what is left into the mix
    assert (first.container, second.container) == ("right bottle", "left bottle")
    assert (first.fluid_ml, second.fluid_ml) == pytest.approx((400.0, 200.0))
    strength = {name: g_per_ml for name, _, g_per_ml in levels.choices(False)}
    assert strength["left bottle"] == pytest.approx(0.08 * 50.0 / 250.0)
    assert levels.take("left bottle", 10.0).item == "water"  # more water than mix is in it


def test_the_dregs_of_the_spare_bottle_are_poured_nowhere() -> None:
    """600 ml, 597 of them into the one: nobody opens another bottle for three."""
    pantry = Pantry((MIX, WATER), (LEFT, RIGHT, SPARE))
    levels = filled(
        load("left bottle", "water", 500.0), load("right bottle", "water", 750.0),
        load("spare bottle", "water", 600.0), pantry=pantry,
    )  # fmt: skip
    levels.take("left bottle", 5.0)
    levels.take("right bottle", 597.0)
    levels.fill(Leg(50_000.0, 90_000.0, 0.0, 0.0, (), Refill(50_000.0, "halt", kind="pour_over")))
    (poured,) = levels.pours[3:]
    assert poured.container == "right bottle"
    assert poured.fluid_ml == pytest.approx(597.0)
