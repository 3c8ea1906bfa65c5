"""Powder as people weigh it: whole servings, or one and the same sachet for every bottle of a size."""

import math
from dataclasses import dataclass

from terrain_fuel.bottles.strength import Millilitre, millilitre_of
from terrain_fuel.pantry import WATER, Item

WHOLE_FROM = 0.92
"""Whole servings that bring this share of the packet's strength are taken before a sachet is weighed."""
FITS = 1.02
"""Scales and marks are no finer than that."""


@dataclass(frozen=True, slots=True)
class Mix:
    """A drink that bottles may be filled with at one place.

    Parameters
    ----------
    item : the drink; water where there is nothing else
    from_stock : False where the place itself hands it out
    left : what the stock still holds, in g of powder, or in ml of a drink that needs none
    share : of the packet's strength at which it is mixed, 1 or less
    alone : True where there is nothing to bite, so that every bottle should hold it
    """

    item: Item = WATER
    from_stock: bool = True
    left: float = math.inf
    share: float = 1.0
    alone: bool = False

    @property
    def is_water(self) -> bool:
        """True where it brings nothing."""
        return millilitre_of(self.item).carbohydrate_g == 0.0

    @property
    def weighed(self) -> bool:
        """True where powder is stirred in."""
        return self.from_stock and self.item.traits.from_powder

    def powder_g(self, mark_ml: float) -> float:
        """Return the powder for a bottle filled to a mark [g]: the same each time, whole servings if near."""
        if not self.weighed:
            return 0.0
        full_g = self.share * mark_ml * millilitre_of(self.item).powder_g
        whole_g = math.floor(full_g / self.item.powder_g + 1e-9) * self.item.powder_g
        return whole_g if whole_g >= WHOLE_FROM * full_g else float(math.floor(full_g + 1e-9))

    def uses(self, mark_ml: float, poured_ml: float) -> float:
        """Return what a filling takes from the stock, in the unit of ``left``."""
        if not self.from_stock:
            return 0.0
        return self.powder_g(mark_ml) if self.weighed else poured_ml

    def fits(self, mark_ml: float, poured_ml: float) -> bool:
        """Return whether that much drink or powder goes into so much water, no stronger than the packet."""
        if self.is_water or self.uses(mark_ml, poured_ml) > self.left + 1e-6:
            return False
        strongest_g = FITS * poured_ml * millilitre_of(self.item).powder_g
        return not self.weighed or 0.0 < self.powder_g(mark_ml) <= strongest_g

    def poured(self, mark_ml: float, poured_ml: float) -> Millilitre:
        """Return what a millilitre of the filling brings."""
        return thinned(self.item, self.powder_g(mark_ml), poured_ml)


def thinned(item: Item, powder_g: float, poured_ml: float) -> Millilitre:
    """Return what a millilitre brings with so much powder in so much water; 0 g is a drink as it is."""
    if powder_g <= 0.0:
        return millilitre_of(item)
    servings = powder_g / item.powder_g / poured_ml
    return Millilitre(servings * item.carbohydrate_g, servings * item.sodium_mg, servings * item.powder_g)
