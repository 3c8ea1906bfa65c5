"""Powder as people weigh it: whole servings, or some of one and the same sachet."""

import math
from dataclasses import dataclass

from terrain_fuel.bottles.strength import Millilitre, millilitre_of
from terrain_fuel.pantry import WATER, Item

WHOLE_FROM = 0.92
"""Whole servings that bring this share of the packet's strength are taken before a sachet is weighed."""
FITS = 1.02
"""Scales and marks are no finer than that."""
SACHETS_A_BOTTLE = 2
"""So many equal sachets make a full bottle: common practice (no source)."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """How powder is weighed for a ride: the share of the packet's strength, the sachets in a full bottle."""

    share: float = 1.0
    sachets: int = SACHETS_A_BOTTLE


@dataclass(frozen=True, slots=True)
class Mix:
    """A drink that bottles may be filled with at one place.

    Parameters
    ----------
    item : the drink; water where there is nothing else
    from_stock : False where the place itself hands it out
    left : what the stock still holds, in g of powder, or in ml of a drink that needs none
    recipe : how strong it is mixed, in how many sachets a bottle
    alone : True where there is nothing to bite, so that every bottle should hold it
    """

    item: Item = WATER
    from_stock: bool = True
    left: float = math.inf
    recipe: Recipe = Recipe()
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
        full_g = self.recipe.share * mark_ml * millilitre_of(self.item).powder_g
        whole_g = math.floor(full_g / self.item.powder_g + 1e-9) * self.item.powder_g
        return whole_g if whole_g >= WHOLE_FROM * full_g else float(math.floor(full_g + 1e-9))

    def sachet_g(self, holds_ml: float) -> float:
        """Return the powder in one of the equal sachets for a bottle of a size [g]."""
        return float(math.floor(self.powder_g(holds_ml) / self.recipe.sachets + 1e-9))

    def doses_g(self, holds_ml: float, mark_ml: float, poured_ml: float) -> tuple[float, ...]:
        """Return what powder may go into what is poured [g]; with nothing to bite also less than there may.

        As many sachets as the mark is halves of the bottle, or as many as fit.
        """
        if not self.weighed:
            return (0.0,) if self.fits(0.0, poured_ml) else ()
        sachets = self.recipe.sachets
        most = sachets if mark_ml >= holds_ml else sachets // 2
        doses_g = [number * self.sachet_g(holds_ml) for number in range(1, most + 1)]
        if mark_ml >= holds_ml and self._is_whole(full_g := self.powder_g(holds_ml)):
            doses_g[-1] = full_g
        fitting_g = tuple(dose_g for dose_g in doses_g if self.fits(dose_g, poured_ml))
        return fitting_g if self.alone else fitting_g[-1:]

    def _is_whole(self, powder_g: float) -> bool:
        servings = powder_g / self.item.powder_g
        return abs(servings - round(servings)) < 1e-9

    def uses(self, powder_g: float, poured_ml: float) -> float:
        """Return what a filling takes from the stock, in the unit of ``left``."""
        if not self.from_stock:
            return 0.0
        return powder_g if self.weighed else poured_ml

    def fits(self, powder_g: float, poured_ml: float) -> bool:
        """Return whether that much drink or powder goes into so much water, no stronger than the packet."""
        if self.is_water or self.uses(powder_g, poured_ml) > self.left + 1e-6:
            return False
        strongest_g = FITS * poured_ml * millilitre_of(self.item).powder_g
        return not self.weighed or 0.0 < powder_g <= strongest_g

    def poured(self, powder_g: float, poured_ml: float) -> Millilitre:
        """Return what a millilitre of the filling brings."""
        return thinned(self.item, powder_g, poured_ml)


def thinned(item: Item, powder_g: float, poured_ml: float) -> Millilitre:
    """Return what a millilitre brings with so much powder in so much water; 0 g is a drink as it is."""
    if powder_g <= 0.0:
        return millilitre_of(item)
    servings = powder_g / item.powder_g / poured_ml
    return Millilitre(
        servings * item.carbohydrate_g, servings * item.counted_sodium_mg, servings * item.powder_g
    )
