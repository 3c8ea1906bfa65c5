"""A chain of clipped straight lines, followed without a loop over its links."""

import numpy as np

from terrain_fuel.frozen import FloatArray

SHORT = 8
"""A chain this short is followed link by link."""


def clipped_chain(
    slope: FloatArray, offset: FloatArray, low: FloatArray, high: FloatArray, start: float
) -> FloatArray:
    """Return x with x[i] = clip(slope[i] x[i - 1] + offset[i], low[i], high[i]) and x[-1] = start.

    Parameters
    ----------
    slope : shape (n,), not negative
    offset, low, high : shape (n,), low <= high
    start : the value before the first link

    Notes
    -----
    Two links in a row are one clipped line again, so the chain is halved until it is short and
    the values between are filled in: about 2 n steps in log2(n) passes over whole arrays.
    """
    count = slope.size
    out = np.empty(count)
    if count <= SHORT:
        for i in range(count):
            start = min(max(slope[i] * start + offset[i], low[i]), high[i])
            out[i] = start
        return out
    paired = count // 2 * 2
    first, second = slice(0, paired, 2), slice(1, paired, 2)
    steep, shift, floor, ceiling = slope[second], offset[second], low[second], high[second]
    out[second] = clipped_chain(
        steep * slope[first],
        steep * offset[first] + shift,
        np.minimum(np.maximum(steep * low[first] + shift, floor), ceiling),
        np.minimum(np.maximum(steep * high[first] + shift, floor), ceiling),
        start,
    )
    before = np.concatenate(([start], out[1 : count - 1 : 2]))
    out[::2] = np.minimum(np.maximum(slope[::2] * before + offset[::2], low[::2]), high[::2])
    return out
