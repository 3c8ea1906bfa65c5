"""Drink along the road: a part of the sweat, never more than is lost."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import LOSS_SHARE, OVER_LOW_SWEAT_ML, for_body

SOURCES = ("ACSM07", "HB15")

REPLACED_SHARE = 0.8
"""Part of the sweat to drink: below 1, so that no mass is gained [ACSM07]_ [HB15]_; the figure is
ours (an assumption), and thirst decides."""

MOST_ML_PER_H = 900.0
"""Below the litre an hour that the stomach passes on (textbook, from memory)."""

SHY_ML = 50.0
"""The target stays so much below the most that doubt allows: sips are whole mouthfuls."""


def fluid_curve_ml(clock_s: FloatArray, sweat_ml: FloatArray) -> FloatArray:
    """Return what should have been drunk by each clock time.

    Parameters
    ----------
    clock_s : shape (n,), rising [s]
    sweat_ml : shape (n,), sweated since the start [ml]

    Returns
    -------
    ndarray, shape (n,) [ml], nowhere above ``sweat_ml``
    """
    most_ml = MOST_ML_PER_H / 3600.0 * np.diff(clock_s)
    return np.concatenate([[0.0], np.cumsum(np.minimum(REPLACED_SHARE * np.diff(sweat_ml), most_ml))])


def most_in_doubt_ml(sweat_ml: FloatArray, spread: float, body_mass_kg: float) -> FloatArray:
    """Return the most that may be drunk by the time so much is sweated, were the estimate too high.

    Parameters
    ----------
    sweat_ml : best estimate, any shape [ml]
    spread : its standard deviation as a share
    body_mass_kg : of the rider [kg]

    Notes
    -----
    Half a litre (less for a body under 50 kg) beyond the low end of the estimate, so that no mass is gained
    in doubt [HB15]_; but never less than leaves 2 % of body mass lost by the best estimate [ACSM07]_.
    """
    low_ml = (1.0 - spread) * sweat_ml + for_body(OVER_LOW_SWEAT_ML, body_mass_kg)
    return np.maximum(low_ml, sweat_ml - 1000.0 * LOSS_SHARE.value * body_mass_kg)
