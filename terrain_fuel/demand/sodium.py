"""Sodium: what drink and food should bring."""

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider

SOURCES = ("Ba16", "ACSM96")

SODIUM_MG_PER_MMOL = 22.99
DRINK_SODIUM_MG_PER_L = 600.0  # middle of 0.5 to 0.7 g/l for rides over an hour [ACSM96]_ (from memory)


def sodium_curve_mg(fluid_ml: FloatArray, rider: Rider) -> FloatArray:
    """Return the sodium to take by each place, with the drink and the food [mg], shape (n,).

    Notes
    -----
    The drink's advised strength [ACSM96]_, or the rider's sweat strength where that is weaker.
    """
    strength = min(DRINK_SODIUM_MG_PER_L, rider.sweat_sodium_mmol_per_l * SODIUM_MG_PER_MMOL)
    return fluid_ml / 1000.0 * strength
