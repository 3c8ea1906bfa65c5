"""Glycogen along the road: what is burned less what arrives, never below empty nor above the start."""

import numpy as np

from terrain_fuel.frozen import FloatArray

SOURCES = ("Jn11",)

START_SPREAD = 0.15  # day-to-day filling of the stores, as a share: an assumption
LOW_SHARE = 0.25
"""Share of the starting store at which the rider is warned: an assumption."""


def deplete(start_g: FloatArray | float, net_burned_g: FloatArray) -> FloatArray:
    """Return what is left of stores after each step, held between 0 and the start.

    Parameters
    ----------
    start_g : stores at the start of one ride, or of k rides, shape (k,) [g]
    net_burned_g : shape (m,) or (m, k), burned less absorbed in each step [g]

    Returns
    -------
    ndarray, shape (m + 1,) or (m + 1, k) [g]
    """
    of_one_ride = net_burned_g.ndim == 1  # plain numbers are a tenth of the work of arrays of one
    lesser, larger = (min, max) if of_one_ride else (np.minimum, np.maximum)
    left = np.empty((net_burned_g.shape[0] + 1, *net_burned_g.shape[1:]))
    left[0] = held = start_g
    for step, net in enumerate(net_burned_g.tolist() if of_one_ride else net_burned_g, start=1):
        left[step] = held = lesser(larger(held - net, 0.0), start_g)
    return left
