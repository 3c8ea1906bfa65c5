"""What it all weighs at the start."""

from collections.abc import Sequence
from dataclasses import dataclass

from terrain_fuel.facts import Fact, fact
from terrain_fuel.plan import BottleFill, Packed
from terrain_fuel.rider import Rider

DRINK_KG_PER_ML = 0.001
"""Water; powder is counted by its own mass."""
HEAVIER_KG = 1.0


@dataclass(frozen=True, slots=True)
class Weight:
    """Food and drink at the start, without bottles and bags [kg].

    ``unweighed`` are foods for which the pantry gives no mass; they count as nothing.
    """

    food_kg: float
    drink_kg: float
    unweighed: tuple[str, ...] = ()

    @property
    def total_kg(self) -> float:
        """Both together [kg]."""
        return self.food_kg + self.drink_kg


def weigh_load(packing: Sequence[Packed], pours: Sequence[BottleFill]) -> Weight:
    """Return what food, powder and the bottles' contents weigh when the ride begins."""
    at_start = [pour for pour in pours if pour.at_m == 0.0]
    drink_kg = sum(pour.fluid_ml * DRINK_KG_PER_ML + pour.powder_g / 1000.0 for pour in at_start)
    unweighed = dict.fromkeys(row.item for row in packing if row.mass_g == 0.0)
    return Weight(sum(row.mass_g for row in packing) / 1000.0, drink_kg, tuple(unweighed))


def weight_notices(weight: Weight, rider: Rider) -> tuple[Fact, ...]:
    """Return a warning if food and drink are heavier than the luggage that the pace reckons with."""
    assumed_kg = rider.bike.carried_mass_kg
    if weight.total_kg <= assumed_kg + HEAVIER_KG:
        return ()
    return (fact("heavy_load", total_kg=weight.total_kg, assumed_kg=assumed_kg),)
