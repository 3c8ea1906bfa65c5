"""Sodium: what sweat carries away and what drink and food should bring."""

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider

SOURCES = ("Ba16", "ACSM96")

SODIUM_MG_PER_MMOL = 22.99
SALT_G_PER_MOL = 58.44
DRINK_SODIUM_MG_PER_L = 600.0  # middle of 0.5 to 0.7 g/l for rides over an hour [ACSM96]_ (from memory)


def sweat_sodium_mg(sweat_ml: FloatArray, sodium_mmol_per_l: float) -> FloatArray:
    """Return the sodium that an amount of sweat carries [mg], same shape as ``sweat_ml``."""
    return sweat_ml / 1000.0 * sodium_mmol_per_l * SODIUM_MG_PER_MMOL


def sodium_curve_mg(fluid_ml: FloatArray, rider: Rider) -> FloatArray:
    """Return the sodium to take by each place, with the drink and the food [mg], shape (n,).

    Notes
    -----
    The drink's advised strength [ACSM96]_, or the rider's sweat strength where that is weaker.
    """
    strength = min(DRINK_SODIUM_MG_PER_L, rider.sweat_sodium_mmol_per_l * SODIUM_MG_PER_MMOL)
    return fluid_ml / 1000.0 * strength


def whole_body_mmol_per_l(forearm_mmol_per_l: float) -> float:
    """Return the whole body's sweat sodium from a forearm patch [mmol/l], ``0.57 x + 11.05`` [Ba16]_."""
    return 0.57 * forearm_mmol_per_l + 11.05


def salt_sodium_mg(salt_g: float) -> float:
    """Return the sodium in table salt [mg]."""
    return 1000.0 * salt_g * SODIUM_MG_PER_MMOL / SALT_G_PER_MOL
