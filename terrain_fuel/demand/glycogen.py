"""Glycogen along the road: what is burned less what arrives, never below empty nor above the start."""

import numpy as np

from terrain_fuel.frozen import FloatArray

SOURCES = ("Jn11",)

START_SPREAD = 0.15  # day-to-day filling of the stores, as a share: an assumption
LOW_SHARE = 0.25
"""Share of the starting store at which the rider is warned: an assumption."""


def deplete(start_g: FloatArray, net_burned_g: FloatArray) -> FloatArray:
    """Return what is left of stores after each step, held between 0 and the start.

    Parameters
    ----------
    start_g : shape (k,), stores at the start of k rides [g]
    net_burned_g : shape (m, k), burned less absorbed in each step [g]

    Returns
    -------
    ndarray, shape (m + 1, k) [g]
    """
    left = np.empty((net_burned_g.shape[0] + 1, start_g.size))
    left[0] = start_g
    for step, net in enumerate(net_burned_g):
        left[step + 1] = np.minimum(np.maximum(left[step] - net, 0.0), start_g)
    return left
