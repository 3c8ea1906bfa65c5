"""Carbohydrate of common foods, from a published table, for a portion of any size."""

from types import MappingProxyType

# Available carbohydrate, fibre left out [g per 100 g]: French table [Ciqual20]_
CIQUAL_G_PER_100_G = MappingProxyType(
    {
        "packed brioche": 52.7,
        "butter brioche": 51.6,
        "bakery brioche": 49.2,
        "honey": 81.7,
        "cereal bar with fruit": 73.5,
        "cooked rice": 31.8,
        "spice bread": 71.5,
        "raisins": 73.2,
    }
)

# Carbohydrate by difference and the fibre in it [g per 100 g]: American table [SR28]_; the fibre of
# pear and potato, the chestnut and the hard sugar are from memory
SR28_TOTAL_AND_FIBRE_G_PER_100_G = MappingProxyType(
    {
        "dried fig": (63.87, 9.8),
        "dried pear": (69.7, 7.5),
        "roasted chestnut": (52.96, 5.1),
        "boiled potato": (20.01, 1.8),
        "hard sugar": (98.0, 0.0),
        "soft granola bar": (67.3, 4.6),
    }
)


def available_g_per_100_g(total_g: float, fibre_g: float) -> float:
    """Return available carbohydrate from carbohydrate by difference, which counts the fibre in."""
    return total_g - fibre_g


def portion_g(per_100_g: float, mass_g: float) -> float:
    """Return the carbohydrate of a portion [g] from its mass [g]."""
    return per_100_g * mass_g / 100.0
