"""Moving windows over evenly spaced values: median, largest, mean and Gaussian mean.

They give what scipy's filters of these names give, to the bit, without half a second of loading it.
"""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from terrain_fuel.frozen import FloatArray

TRUNCATED_SD = 4.0
"""A Gaussian is cut off so many standard deviations from its middle."""


def moving_median(values: FloatArray, size: int) -> FloatArray:
    """Return the median of the ``size`` values around each, an odd count; the end values go on."""
    padded = np.pad(values, size // 2, mode="edge")
    return np.asarray(np.median(sliding_window_view(padded, size), axis=1))


def moving_largest(values: FloatArray, size: int) -> FloatArray:
    """Return the largest of the ``size`` values around each, an odd count."""
    padded = np.pad(values, size // 2, mode="edge")
    return np.asarray(sliding_window_view(padded, size).max(axis=1))


def moving_mean(values: FloatArray, size: int) -> FloatArray:
    """Return the mean along the first axis from ``size // 2`` values before each; the end values go on."""
    before = size // 2
    around = ((before, size - before - 1), *((0, 0),) * (values.ndim - 1))
    padded = np.pad(values, around, mode="edge")
    steps = np.concatenate((padded[:size], padded[size:] - padded[:-size]))
    return np.asarray(np.cumsum(steps, axis=0)[size - 1 :] / size)


def gaussian_reach(sd: float) -> int:
    """Return how many values before and after each a Gaussian of that standard deviation takes in."""
    return int(TRUNCATED_SD * sd + 0.5)


def gaussian_mean(values: FloatArray, sd: float) -> FloatArray:
    """Return the Gaussian mean along the first axis where the whole window is known.

    Parameters
    ----------
    values : shape (n, ...)
    sd : standard deviation, in steps between values

    Returns
    -------
    shape (n - 2 * gaussian_reach(sd), ...)
    """
    reach = gaussian_reach(sd)
    weight = np.exp(-0.5 / (sd * sd) * np.arange(-reach, reach + 1) ** 2)
    weight /= weight.sum()
    count = values.shape[0] - 2 * reach
    mean = values[reach : reach + count] * weight[reach]
    for off in range(reach, 0, -1):
        before, after = values[reach - off :][:count], values[reach + off :][:count]
        mean += (before + after) * weight[reach - off]
    return np.asarray(mean)
