"""What a millilitre of a drink brings, at the strength printed on the packet and never stronger."""

from dataclasses import dataclass

from terrain_fuel.demand.drink_strength import drink_strength
from terrain_fuel.pantry import Item


@dataclass(frozen=True, slots=True)
class Millilitre:
    """Carbohydrate, sodium and powder in one millilitre of the made-up drink [g, mg, g]."""

    carbohydrate_g: float = 0.0
    sodium_mg: float = 0.0
    powder_g: float = 0.0


def millilitre_of(item: Item) -> Millilitre:
    """Return what one millilitre of a drink holds; water holds nothing."""
    if not item.traits.brings_energy:
        return Millilitre()
    strength = drink_strength(item)
    powder_g = item.powder_g / item.water_ml if item.traits.from_powder else 0.0
    return Millilitre(strength.carbohydrate_g_per_l / 1000.0, strength.sodium_mg_per_l / 1000.0, powder_g)


def stock_ml(item: Item) -> float:
    """Return how much drink the stock makes [ml]; water from home is never short."""
    return float("inf") if item.traits.endless else item.count * item.serving_ml


def mixed_strength(held: Millilitre, held_ml: float, added: Millilitre, added_ml: float) -> Millilitre:
    """Return the strength of a bottle once something is poured on top of what is left in it."""
    share = held_ml / (held_ml + added_ml)
    return Millilitre(
        share * held.carbohydrate_g + (1 - share) * added.carbohydrate_g,
        share * held.sodium_mg + (1 - share) * added.sodium_mg,
        share * held.powder_g + (1 - share) * added.powder_g,
    )
