"""Drink along the road: a part of the sweat, never more than is lost."""

import numpy as np

from terrain_fuel.frozen import FloatArray

SOURCES = ("ACSM07", "HB15")

REPLACED_SHARE = 0.8
"""Part of the sweat to drink: below 1, so that no mass is gained [ACSM07]_ [HB15]_; the figure is
ours (an assumption), and thirst decides."""

MOST_ML_PER_H = 900.0
"""Below the litre an hour that the stomach passes on (textbook, from memory)."""


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
