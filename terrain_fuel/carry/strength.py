"""What a millilitre of a drink brings, at the strength printed on the packet and never stronger."""

from dataclasses import dataclass

from terrain_fuel.pantry import Item


@dataclass(frozen=True, slots=True)
class Strength:
    """Carbohydrate, sodium and powder in one millilitre of the made-up drink [g, mg, g]."""

    carbohydrate_g_per_ml: float
    sodium_mg_per_ml: float
    powder_g_per_ml: float


def drink_strength(item: Item) -> Strength:
    """Return the strength of a drink; water brings nothing."""
    if item.kind == "water":
        return Strength(0.0, 0.0, 0.0)
    volume_ml = serving_ml(item)
    if volume_ml <= 0:
        return Strength(0.0, 0.0, 0.0)
    powder_g = item.powder_g if item.kind == "drink_mix" else 0.0
    return Strength(item.carbohydrate_g / volume_ml, item.sodium_mg / volume_ml, powder_g / volume_ml)


def serving_ml(item: Item) -> float:
    """Return how much drink one item of stock makes [ml]."""
    return item.water_ml if item.kind == "drink_mix" else item.fluid_ml


def stock_ml(item: Item) -> float:
    """Return how much drink the stock makes [ml]; water from home is never short."""
    return float("inf") if item.kind == "water" else item.count * serving_ml(item)
