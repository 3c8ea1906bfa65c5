"""Columns of numbers rounded as Python rounds one, many times as fast."""

import numpy as np

from terrain_fuel.frozen import FloatArray

NEAR_HALF = 1e-3
"""So near to half of the last decimal it matters which number a float really is."""


def rounded(values: FloatArray, decimals: int) -> list[float]:
    """Return ``round(value, decimals)`` of every value; -0 becomes 0.

    Parameters
    ----------
    values : shape (n,), finite, below a thousand million
    decimals : how many are kept, 7 at most
    """
    scale = 10.0**decimals
    scaled = values * scale
    near = np.rint(scaled) / scale
    doubtful = np.flatnonzero(np.abs(scaled - np.floor(scaled) - 0.5) < NEAR_HALF)
    near[doubtful] = [round(value, decimals) for value in values[doubtful].tolist()]
    plain: list[float] = (near + 0.0).tolist()
    return plain
