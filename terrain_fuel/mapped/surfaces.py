"""What a surface does to a road bicycle: how it rolls, and what it leaves of a free hand."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Surface:
    """One kind of surface.

    Parameters
    ----------
    rolling : rolling resistance as a multiple of that of good asphalt
    freedom : how free a hand is on it, 0 to 1
    top_km_h : nobody rides faster on it on a road bicycle [km/h]
    told : stable word by which a rider is told, "" where there is nothing to mind
    both_hands : True where no hand leaves the bars
    """

    rolling: float = 1.0
    freedom: float = 1.0
    top_km_h: float = math.inf
    told: str = ""
    both_hands: bool = False


SMOOTH = Surface()

_COBBLES = Surface(2.0, 0.0, 30.0, "cobbles", True)
_SETTS = Surface(1.7, 0.0, 35.0, "cobbles", True)
_GRAVEL = Surface(2.4, 0.0, 25.0, "gravel", True)
_GROUND = Surface(3.0, 0.0, 20.0, "ground", True)

SURFACES = {
    "asphalt": SMOOTH, "paved": SMOOTH, "concrete": SMOOTH, "chipseal": Surface(1.2, 0.9),
    "concrete:plates": Surface(1.2, 0.8), "concrete:lanes": Surface(1.3, 0.5),
    "paving_stones": Surface(1.3, 0.7), "wood": Surface(1.3, 0.5), "metal": Surface(1.2, 0.4),
    "metal_grid": Surface(1.5, 0.2, 30.0), "sett": _SETTS, "cobblestone:flattened": _SETTS,
    "cobblestone": _COBBLES, "unhewn_cobblestone": Surface(3.0, 0.0, 20.0, "cobbles", True),
    "compacted": Surface(1.5, 0.4, 35.0, "firm_gravel"),
    "fine_gravel": Surface(1.7, 0.3, 30.0, "firm_gravel"),
    "unpaved": _GRAVEL, "gravel": _GRAVEL, "pebblestone": Surface(3.0, 0.0, 20.0, "gravel", True),
    "rock": _GROUND, "stone": _GROUND, "ground": _GROUND, "dirt": _GROUND, "earth": _GROUND,
    "grass": Surface(4.0, 0.0, 18.0, "ground", True), "grass_paver": Surface(2.5, 0.0, 20.0, "ground", True),
    "mud": Surface(6.0, 0.0, 12.0, "ground", True), "sand": Surface(7.0, 0.0, 12.0, "ground", True),
}  # fmt: skip
"""By the map's word for the surface: common practice (no source)."""

SMOOTHNESS = {
    "intermediate": Surface(1.15, 0.8),
    "bad": Surface(1.5, 0.3, 35.0, "broken"),
    "very_bad": Surface(2.2, 0.0, 25.0, "broken", True),
    "horrible": Surface(3.0, 0.0, 18.0, "broken", True),
    "very_horrible": Surface(4.0, 0.0, 12.0, "broken", True),
    "impassable": Surface(6.0, 0.0, 6.0, "broken", True),
}
"""By the map's word for how smooth it is: common practice (no source)."""


def surface_of(kind: str, value: str) -> Surface:
    """Return what a section of a surface or a smoothness is like; a word that is not known is smooth."""
    return (SURFACES if kind == "surface" else SMOOTHNESS).get(value, SMOOTH)
