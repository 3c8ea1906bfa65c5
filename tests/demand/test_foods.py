"""The default pantry by a published food table."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.pantry import Pantry

# Available carbohydrate, fibre left out [g per 100 g]: French table [Ciqual20]
CIQUAL_G_PER_100_G = {
    "packed brioche": 52.7,
    "cereal bar with fruit": 73.5,
    "spice bread": 71.5,
    "raisins": 73.2,
}

# Carbohydrate by difference and the fibre in it [g per 100 g]: American table [SR28]; the fibre of pear and
# potato, the chestnut and the hard sugar are from memory
SR28_TOTAL_AND_FIBRE_G_PER_100_G = {
    "dried fig": (63.87, 9.8),
    "dried pear": (69.7, 7.5),
    "roasted chestnut": (52.96, 5.1),
    "boiled potato": (20.01, 1.8),
    "hard sugar": (98.0, 0.0),
}


def worked_g(parts: dict[str, float]) -> float:
    """Return the available carbohydrate of a recipe [g], from either table."""
    american = {food: total - fibre for food, (total, fibre) in SR28_TOTAL_AND_FIBRE_G_PER_100_G.items()}
    return sum({**CIQUAL_G_PER_100_G, **american}[food] * mass_g / 100.0 for food, mass_g in parts.items())


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
