"""Carbohydrate and fat burned, from oxygen taken up and carbon dioxide given off in a laboratory.

They are the yardstick for `carbohydrate`: three published formulas and the older table of Lusk.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray


class Burned(NamedTuple):
    """Carbohydrate and fat burned [g/min], never negative."""

    carbohydrate_g_per_min: FloatArray
    fat_g_per_min: FloatArray


# Coefficients of VCO2 and of VO2 [g/l], carbohydrate then fat; all from memory.
FRAYN = ((4.55, -3.21), (-1.67, 1.67))  # [Fr83]_; the stoichiometry of [MFO]_ solves to the same
PERONNET_MASSICOTTE = ((4.585, -3.226), (-1.701, 1.695))  # [PM91]_
JEUKENDRUP_WALLIS_LOW = ((4.344, -3.061), (-1.701, 1.695))  # [JW05]_, easy effort
JEUKENDRUP_WALLIS_HIGH = ((4.210, -2.962), (-1.701, 1.695))  # [JW05]_, moderate to hard

# Respiratory quotient, share of energy from carbohydrate, kJ for a litre of oxygen [Lu]_
LUSK_QUOTIENT = np.array([0.71, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00])
LUSK_SHARE = np.array([0.0110, 0.156, 0.334, 0.507, 0.675, 0.840, 1.0])
LUSK_KJ_PER_L = np.array([19.623, 19.828, 20.087, 20.343, 20.602, 20.857, 21.117])


def burned_from_gas(
    oxygen_l_per_min: ArrayLike,
    carbon_dioxide_l_per_min: ArrayLike,
    formula: tuple[tuple[float, float], tuple[float, float]] = PERONNET_MASSICOTTE,
) -> Burned:
    """Return what was burned, from gas exchange, protein left out.

    Parameters
    ----------
    oxygen_l_per_min, carbon_dioxide_l_per_min : array_like of one shape, at standard conditions [l/min]
    formula : one of the four above

    Notes
    -----
    ``g/min = a VCO2 + b VO2``, cut off at zero. Holds at steady effort below a quotient of 1.
    """
    oxygen = np.asarray(oxygen_l_per_min, dtype=np.float64)
    dioxide = np.asarray(carbon_dioxide_l_per_min, dtype=np.float64)
    carbohydrate, fat = (np.maximum(a * dioxide + b * oxygen, 0.0) for a, b in formula)
    return Burned(carbohydrate, fat)


def share_from_quotient(quotient: ArrayLike) -> FloatArray:
    """Return the share of energy from carbohydrate at a respiratory quotient, by the table [Lu]_."""
    return np.asarray(np.interp(np.asarray(quotient, dtype=np.float64), LUSK_QUOTIENT, LUSK_SHARE))


def energy_kj_per_l(quotient: ArrayLike) -> FloatArray:
    """Return the energy of a litre of oxygen at a respiratory quotient [kJ/l], by the table [Lu]_."""
    return np.asarray(np.interp(np.asarray(quotient, dtype=np.float64), LUSK_QUOTIENT, LUSK_KJ_PER_L))
