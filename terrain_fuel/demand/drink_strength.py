"""How strong a drink is, and whether it lies within what is advised for riding."""

from dataclasses import dataclass
from typing import Literal

from terrain_fuel.demand.sodium import SODIUM_MG_PER_MMOL
from terrain_fuel.facts import Fact, fact
from terrain_fuel.pantry import Item, Pantry

KCAL_PER_G = 4.0  # [EU1169]_, annex XIV (from memory)
MOLAR_MASS_G = {"glucose": 180.16, "sucrose": 342.30}

CARBOHYDRATE_G_PER_L = (40.0, 80.0)  # 4 to 8 % [DGE20]_
SODIUM_MG_PER_L = (400.0, 1100.0)  # [DGE20]_
ENERGY_KCAL_PER_L = (80.0, 350.0)  # [EF11]_
EFSA_SODIUM_MG_PER_L = (460.0, 1150.0)  # [EF11]_


@dataclass(frozen=True, slots=True)
class DrinkStrength:
    """What a litre of a drink holds."""

    carbohydrate_g_per_l: float
    sodium_mg_per_l: float

    @property
    def energy_kcal_per_l(self) -> float:
        """Energy [kcal/l]."""
        return self.carbohydrate_g_per_l * KCAL_PER_G

    @property
    def meets_dge(self) -> bool:
        """True inside the carbohydrate and sodium of [DGE20]_."""
        return _within(self.carbohydrate_g_per_l, CARBOHYDRATE_G_PER_L) and _within(
            self.sodium_mg_per_l, SODIUM_MG_PER_L
        )

    @property
    def meets_efsa(self) -> bool:
        """True inside the energy and sodium of [EF11]_; osmolality depends on the sugar."""
        return _within(self.energy_kcal_per_l, ENERGY_KCAL_PER_L) and _within(
            self.sodium_mg_per_l, EFSA_SODIUM_MG_PER_L
        )

    def osmolarity_mosm_per_l(self, sugar: Literal["glucose", "sucrose"]) -> float:
        """Return the ideal osmolarity with all carbohydrate as one sugar, sodium as its chloride."""
        sugar_mmol = 1000.0 * self.carbohydrate_g_per_l / MOLAR_MASS_G[sugar]
        return sugar_mmol + 2.0 * self.sodium_mg_per_l / SODIUM_MG_PER_MMOL


def drink_strength(item: Item) -> DrinkStrength:
    """Return the strength of a drink, or of a drink mix in the water its packet asks for."""
    fluid_l = item.serving_ml / 1000.0
    if fluid_l <= 0:
        return DrinkStrength(0.0, 0.0)
    return DrinkStrength(item.carbohydrate_g / fluid_l, item.sodium_mg / fluid_l)


def drink_notices(pantry: Pantry) -> tuple[Fact, ...]:
    """Return warnings about drinks of the pantry that are stronger or saltier than advised."""
    return tuple(
        notice for item in pantry.items if item.traits.brings_energy for notice in _drink_notices(item)
    )


def _drink_notices(item: Item) -> list[Fact]:
    strength, notices = drink_strength(item), []
    if strength.carbohydrate_g_per_l > CARBOHYDRATE_G_PER_L[1]:
        notices.append(
            fact("drink_strong", item=item.name, carbohydrate_share=strength.carbohydrate_g_per_l / 1000.0)
        )
    if strength.sodium_mg_per_l > EFSA_SODIUM_MG_PER_L[1]:
        notices.append(
            fact(
                "drink_salty",
                item=item.name,
                sodium_mg_per_l=strength.sodium_mg_per_l,
                usual_mg_per_l=EFSA_SODIUM_MG_PER_L[1],
            )
        )
    return notices


def _within(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]
