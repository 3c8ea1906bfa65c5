"""Whittaker smoothing of heights with weights, and how much noise it lets through."""

import numpy as np
from scipy.linalg import solveh_banded

from terrain_fuel.frozen import FloatArray


def stiffness(wavelength_m: float, step_m: float) -> float:
    """Return the penalty that halves a wave of the given length.

    Notes
    -----
    lambda = (2 sin(pi step / wavelength))^-4: the smoother of order two passes 1 / (1 + lambda |D^2|^2)
    of a wave, and |D^2| = 4 sin^2(pi step / wavelength) [Wh23]_.
    """
    angle = np.pi * min(step_m / wavelength_m, 0.5)
    return float((2.0 * np.sin(angle)) ** -4)


def whittaker(height_m: FloatArray, weight: FloatArray, penalty: FloatArray) -> FloatArray:
    """Return the smooth heights that minimise sum w (y - z)^2 + sum lambda (D^2 z)^2 [m].

    Parameters
    ----------
    height_m : shape (n,), heights [m]
    weight : shape (n,), trust in each; 0 in a void
    penalty : shape (n - 2,), lambda of each second difference: small where the road may bend

    Notes
    -----
    [Wh23]_; the normal equations have two bands beside the diagonal, so the work is linear in n.
    """
    count = height_m.size
    if count < 3:
        return height_m.copy()
    bands = np.zeros((3, count))
    bands[2] = weight
    bands[2, :-2] += penalty
    bands[2, 1:-1] += 4.0 * penalty
    bands[2, 2:] += penalty
    bands[1, 1:-1] -= 2.0 * penalty
    bands[1, 2:] -= 2.0 * penalty
    bands[0, 2:] += penalty
    base = float(height_m.mean())
    return np.asarray(base + solveh_banded(bands, weight * (height_m - base), check_finite=False))
