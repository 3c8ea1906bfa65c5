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
    [("dried fig", 28, 15.1), ("soft granola bar", 28, 17.6), ("dried pear", 37, 23.0),
     ("boiled potato", 140, 25.5), ("hard sugar", 20, 19.6)],
)  # fmt: skip
def test_portions(food: str, mass_g: float, portion: float) -> None:
    """The fibre of pear and potato, and the hard sugar, are from memory."""
    per_100_g = available_g_per_100_g(*SR28_TOTAL_AND_FIBRE_G_PER_100_G[food])
    assert_allclose(portion_g(per_100_g, mass_g), portion, atol=0.06)


@pytest.mark.source("SR28", "dried figs, uncooked: 63.87 total, 9.8 fibre")
def test_fibre_is_not_carbohydrate() -> None:
    assert_allclose(portion_g(63.87, 28.0), 17.9, atol=0.06)  # total, for comparison
    assert available_g_per_100_g(63.87, 9.8) == pytest.approx(54.07)


def worked_g(parts: dict[str, float]) -> float:
    """Return the carbohydrate of a recipe [g], from either table."""
    american = {food: available_g_per_100_g(*row) for food, row in SR28_TOTAL_AND_FIBRE_G_PER_100_G.items()}
    return sum(portion_g({**CIQUAL_G_PER_100_G, **american}[food], mass_g) for food, mass_g in parts.items())


@pytest.mark.source("Ciqual20", "available carbohydrate")
@pytest.mark.source("SR28", "carbohydrate by difference less fibre")
@pytest.mark.parametrize(
    ("item", "parts"),
    [("chestnut loaf", {"packed brioche": 55.0, "roasted chestnut": 30.0}),
     ("oat square", {"cereal bar with fruit": 40.0}), ("salted potato", {"boiled potato": 140.0}),
     ("spice loaf", {"spice bread": 30.0}), ("dried pear", {"dried pear": 37.0}),
     ("fig slice", {"dried fig": 28.0}), ("raisin ball", {"raisins": 21.0}),
     ("barley sugar", {"hard sugar": 20.0})],
)  # fmt: skip
def test_the_default_pantry_is_by_the_tables(item: str, parts: dict[str, float]) -> None:
    assert_allclose(Pantry().item(item).carbohydrate_g, worked_g(parts), atol=0.06)
