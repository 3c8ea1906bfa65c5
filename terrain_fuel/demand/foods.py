"""Carbohydrate of common foods, from a published table, for a portion of any size."""

from types import MappingProxyType

# Available carbohydrate, fibre left out [g per 100 g]: French table [Ciqual20]_
CIQUAL_G_PER_100_G = MappingProxyType(
    {
        "banana": 19.7,
        "dried date": 64.7,
        "packed brioche": 52.7,
        "butter brioche": 51.6,
        "bakery brioche": 49.2,
        "jam": 60.2,
        "honey": 81.7,
        "jelly sweets": 80.2,
        "fruit jelly": 76.6,
        "cereal bar with fruit": 73.5,
        "puffed rice cake": 80.5,
        "cooked rice": 31.8,
        "gingerbread": 71.5,
        "raisins": 73.2,
        "cola": 10.2,
    }
)

# Carbohydrate by difference and the fibre in it [g per 100 g]: American table [SR28]_
SR28_TOTAL_AND_FIBRE_G_PER_100_G = MappingProxyType(
    {
        "banana": (22.84, 2.6),
        "Medjool date": (74.97, 6.7),
        "Deglet date": (75.03, 8.0),
        "jam": (68.86, 1.1),
        "jellybeans": (93.55, 0.0),
        "soft granola bar": (67.3, 4.6),
        "puffed rice cake": (81.5, 4.2),
    }
)


def available_g_per_100_g(total_g: float, fibre_g: float) -> float:
    """Return available carbohydrate from carbohydrate by difference, which counts the fibre in."""
    return total_g - fibre_g


def portion_g(per_100_g: float, mass_g: float) -> float:
    """Return the carbohydrate of a portion [g] from its mass [g]."""
    return per_100_g * mass_g / 100.0
