"""The default pantry by a published food table."""

import pytest
from numpy.testing import assert_allclose

from terrain_fuel.pantry import Pantry

# Available carbohydrate, fibre left out [g per 100 g]: French table [Ciqual20]
CIQUAL_G_PER_100_G = {
    "banana": 19.7,
    "dried date": 64.7,
    "packed brioche": 52.7,
    "jam": 60.2,
    "jelly sweets": 80.2,
    "fruit jelly": 76.6,
    "cereal bar with fruit": 73.5,
    "cooked rice": 31.8,
    "gingerbread": 71.5,
}


@pytest.mark.source("Ciqual20", "available carbohydrate")
@pytest.mark.parametrize(
    ("item", "parts"),
    [("jam roll", {"packed brioche": 60.0, "jam": 20.0}), ("oat bar", {"cereal bar with fruit": 40.0}),
     ("salted rice square", {"cooked rice": 80.0}), ("gingerbread", {"gingerbread": 30.0}),
     ("banana", {"banana": 118.0}), ("date", {"dried date": 24.0}), ("fruit jelly", {"fruit jelly": 20.0}),
     ("tube of sweets", {"jelly sweets": 25.0})],
)  # fmt: skip
def test_the_default_pantry_is_by_the_table(item: str, parts: dict[str, float]) -> None:
    worked = sum(CIQUAL_G_PER_100_G[food] * mass_g / 100.0 for food, mass_g in parts.items())
    assert_allclose(Pantry().item(item).carbohydrate_g, worked, atol=0.06)
