"""Scores between two ends."""

import numpy as np

from terrain_fuel.frozen import FloatArray


def ramp(value: FloatArray | float, low: float, high: float, at_low: float, at_high: float) -> FloatArray:
    """Return a straight line from ``at_low`` at ``low`` to ``at_high`` at ``high``, level outside.

    >>> float(ramp(0.5, 0.0, 1.0, 1.0, 0.2))
    0.6
    """
    return np.asarray(np.interp(value, [low, high], [at_low, at_high]), dtype=np.float64)
