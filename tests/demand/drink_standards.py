"""Published compositions of drinks for riding: what the mix of the pantry is held against."""

from typing import Literal

from terrain_fuel.demand.drink_strength import DrinkStrength

KCAL_PER_G = 4.0  # [EU1169]_, annex XIV
MOLAR_MASS_G = {"glucose": 180.16, "sucrose": 342.30}
SODIUM_MG_PER_MMOL = 22.99


def meets_dge(strength: DrinkStrength) -> bool:
    """Return whether a drink has 4 to 8 % of carbohydrate and 400 to 1100 mg/l of sodium [DGE20]_."""
    return 40.0 <= strength.carbohydrate_g_per_l <= 80.0 and 400.0 <= strength.sodium_mg_per_l <= 1100.0


def meets_efsa(strength: DrinkStrength) -> bool:
    """Return whether a drink has 80 to 350 kcal/l and 460 to 1150 mg/l of sodium [EF11]_.

    Osmolality depends on the sugar.
    """
    energy_kcal_per_l = strength.carbohydrate_g_per_l * KCAL_PER_G
    return 80.0 <= energy_kcal_per_l <= 350.0 and 460.0 <= strength.sodium_mg_per_l <= 1150.0


def osmolarity_mosm_per_l(strength: DrinkStrength, sugar: Literal["glucose", "sucrose"]) -> float:
    """Return the ideal osmolarity with all carbohydrate as one sugar, sodium as its chloride."""
    sugar_mmol = 1000.0 * strength.carbohydrate_g_per_l / MOLAR_MASS_G[sugar]
    return sugar_mmol + 2.0 * strength.sodium_mg_per_l / SODIUM_MG_PER_MMOL
