"""Drinks: the two published compositions for riding [EF11] [DGE20], and what leaves late [Mu99]."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.drink_strength import DrinkStrength, drink_notices, drink_strength
from terrain_fuel.pantry import Item, Pantry
from tests.demand.drink_standards import meets_dge, meets_efsa, osmolarity_mosm_per_l


@pytest.mark.parametrize(
    ("strength", "sugar", "osmolarity"),
    [
        (DrinkStrength(60.0, 0.0), "glucose", 333.0),
        (DrinkStrength(60.0, 0.0), "sucrose", 175.3),
        (DrinkStrength(60.0, 500.0), "sucrose", 218.8),
    ],
)
def test_ideal_osmolarity(strength: DrinkStrength, sugar: str, osmolarity: float) -> None:
    # computed: 60/180.16 and 60/342.30 mol, two ions for each sodium of 22.99
    assert_allclose(osmolarity_mosm_per_l(strength, sugar), osmolarity, atol=0.06)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("carbohydrate", "sodium", "meets"),
    [
        (20.0, 460.0, True),
        (87.5, 1150.0, True),
        (19.9, 500.0, False),
        (87.6, 500.0, False),
        (60.0, 459.0, False),
    ],
)
def test_the_european_drink(carbohydrate: float, sodium: float, meets: bool) -> None:
    assert meets_efsa(DrinkStrength(carbohydrate, sodium)) is meets


@pytest.mark.parametrize(
    ("carbohydrate", "sodium", "meets"),
    [
        (40.0, 400.0, True),
        (80.0, 1100.0, True),
        (39.0, 600.0, False),
        (81.0, 600.0, False),
        (60.0, 399, False),
    ],
)
def test_the_german_drink(carbohydrate: float, sodium: float, meets: bool) -> None:
    assert meets_dge(DrinkStrength(carbohydrate, sodium)) is meets


def test_the_default_mix_meets_both() -> None:
    mix = drink_strength(Pantry().item("drink mix"))
    assert_allclose([mix.carbohydrate_g_per_l, mix.sodium_mg_per_l], [38.0 / 0.75, 600.0])
    assert meets_dge(mix)
    assert meets_efsa(mix)
    assert drink_notices(Pantry()) == ()


def test_strong_and_salty_drinks_are_named() -> None:
    strong = Item("syrup", "drink", 60.0, fluid_ml=500.0, sodium_mg=900.0)
    codes = [notice.code for notice in drink_notices(Pantry(items=(strong,)))]
    assert codes == ["drink_strong", "drink_salty"]
    assert drink_strength(Item("nothing", "drink")).carbohydrate_g_per_l == 0.0
