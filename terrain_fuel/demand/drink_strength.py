"""How strong a drink is, and whether it lies within what is advised for riding."""

from dataclasses import dataclass

from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Item, Pantry

STRONGEST_G_PER_L = 80.0  # 8 % of carbohydrate [DGE20]_
SALTIEST_MG_PER_L = 1150.0  # sodium [EF11]_


@dataclass(frozen=True, slots=True)
class DrinkStrength:
    """What a litre of a drink holds."""

    carbohydrate_g_per_l: float
    sodium_mg_per_l: float


def drink_strength(item: Item) -> DrinkStrength:
    """Return the strength of a drink, or of a drink mix in the water its packet asks for."""
    fluid_l = item.serving_ml / 1000.0
    if fluid_l <= 0:
        return DrinkStrength(0.0, 0.0)
    return DrinkStrength(item.carbohydrate_g / fluid_l, item.counted_sodium_mg / fluid_l)


def drink_notices(pantry: Pantry) -> tuple[Fact, ...]:
    """Return warnings about drinks of the pantry that are stronger or saltier than advised."""
    return tuple(
        notice for item in pantry.items if item.traits.brings_energy for notice in _drink_notices(item)
    )


def _drink_notices(item: Item) -> list[Fact]:
    strength, notices = drink_strength(item), []
    if strength.carbohydrate_g_per_l > STRONGEST_G_PER_L:
        notices.append(
            fact("drink_strong", item=item.name, carbohydrate_share=strength.carbohydrate_g_per_l / 1000.0)
        )
    if strength.sodium_mg_per_l > SALTIEST_MG_PER_L:
        notices.append(
            fact(
                "drink_salty",
                item=item.name,
                sodium_mg_per_l=strength.sodium_mg_per_l,
                usual_mg_per_l=SALTIEST_MG_PER_L,
            )
        )
    return notices
