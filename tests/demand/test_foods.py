"""Portions by two food tables, and the default pantry by one of them."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.foods import (
    CIQUAL_G_PER_100_G,
    SR28_TOTAL_AND_FIBRE_G_PER_100_G,
    available_g_per_100_g,
    portion_g,
)
from terrain_fuel.pantry import Pantry


@pytest.mark.source("SR28", "carbohydrate by difference and fibre; portions computed")
@pytest.mark.parametrize(
    ("food", "mass_g", "portion"),
    [("banana", 118, 23.9), ("Medjool date", 24, 16.4), ("jam", 20, 13.6), ("jellybeans", 28, 26.2),
     ("soft granola bar", 28, 17.6), ("puffed rice cake", 9, 7.0)],
)  # fmt: skip
def test_portions(food: str, mass_g: float, portion: float) -> None:
    per_100_g = available_g_per_100_g(*SR28_TOTAL_AND_FIBRE_G_PER_100_G[food])
    assert_allclose(portion_g(per_100_g, mass_g), portion, atol=0.06)


@pytest.mark.source("SR28", "three Medjool dates and a banana: 73.0 g, computed")
def test_a_snack() -> None:
    date, banana = (
        portion_g(available_g_per_100_g(*SR28_TOTAL_AND_FIBRE_G_PER_100_G[food]), mass_g)
        for food, mass_g in (("Medjool date", 24.0), ("banana", 118.0))
    )
    assert_allclose(3 * date + banana, 73.0, atol=0.1)


@pytest.mark.source("SR28", "banana 22.84 total, 2.6 fibre")
def test_fibre_is_not_carbohydrate() -> None:
    assert_allclose(portion_g(22.84, 118.0), 27.0, atol=0.06)  # total, for comparison
    assert available_g_per_100_g(22.84, 2.6) == pytest.approx(20.24)


@pytest.mark.source("Ciqual20", "available carbohydrate")
@pytest.mark.parametrize(
    ("item", "parts"),
    [("jam roll", {"packed brioche": 60.0, "jam": 20.0}), ("oat bar", {"cereal bar with fruit": 40.0}),
     ("salted rice square", {"cooked rice": 80.0}), ("gingerbread", {"gingerbread": 30.0}),
     ("banana", {"banana": 118.0}), ("date", {"dried date": 24.0}), ("fruit jelly", {"fruit jelly": 20.0}),
     ("tube of sweets", {"jelly sweets": 25.0})],
)  # fmt: skip
def test_the_default_pantry_is_by_the_table(item: str, parts: dict[str, float]) -> None:
    worked = sum(portion_g(CIQUAL_G_PER_100_G[food], mass_g) for food, mass_g in parts.items())
    assert_allclose(Pantry().item(item).carbohydrate_g, worked, atol=0.06)
