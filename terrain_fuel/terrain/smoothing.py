"""Smoothing of heights, and how much of their noise it lets through."""

import numpy as np
from scipy.linalg import solveh_banded

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.noise import HeightNoise

SHORTEST_WAVELENGTH_M, LONGEST_WAVELENGTH_M = 100.0, 1200.0
"""Half-power wavelengths to choose from [m]."""

WAVELENGTH_SHARE = 0.6
"""Share of the wavelength at which errors are as strong as the road's own waves: a longer one loses
ascent, a shorter one invents it; tried on roads of known errors."""

FEWEST_KINKS_PER_M = 1e-9
"""A change of grade of 0.1 % every kilometre: no road is straighter [1/m]."""

LEG_SHARE = 1.1
"""Where a road goes up and down by turns, wavelengths are no longer than this share of a leg."""

VERTICAL_CURVE_M = 70.0
"""Usual length over which one grade becomes the next [m], from memory."""


def choose_wavelength(noise: HeightNoise) -> float:
    """Return the half-power wavelength of smoothing that suits a noise and its road [m].

    Notes
    -----
    The heights of a road whose grade changes by independent kinks have the spectrum q / w^4, q the
    squares of the kinks a metre and w the wave number; errors have 2 s^2 L at waves beyond their
    reach. Both are as strong at w = (q / (2 s^2 L))^(1/4), where the best linear filter halves. Rolling
    ground that forgets its grade over R has q / (w^2 (w^2 + 1 / R^2)).
    """
    share = max(noise.kinks_per_m, FEWEST_KINKS_PER_M) / noise.strength_m3
    forgetting = noise.rolls_m**-2 / 2.0
    even_m = 2.0 * np.pi / np.sqrt(np.sqrt(forgetting**2 + share) - forgetting)
    suits_m = min(WAVELENGTH_SHARE * even_m, LEG_SHARE * noise.leg_m)
    return float(np.clip(suits_m, SHORTEST_WAVELENGTH_M, LONGEST_WAVELENGTH_M))


def smooth_heights(
    distance_m: FloatArray,
    height_m: FloatArray,
    knots: tuple[FloatArray, FloatArray],
    wavelength_m: float,
) -> FloatArray:
    """Return smooth heights that keep the kinks of the road [m].

    Only the departure from the straight pieces is smoothed, so that a crest between two
    steady grades is not rounded off. The pieces meet in a vertical curve, as on a built road.

    Parameters
    ----------
    distance_m, height_m : shape (n,), equal steps [m], heights [m]
    knots : where the pieces meet and how high [m]
    wavelength_m : half-power wavelength [m]
    """
    step_m = float(distance_m[1] - distance_m[0])
    pieces = _eased(np.interp(distance_m, *knots), max(int(VERTICAL_CURVE_M / step_m) // 2, 1))
    return pieces + whittaker(height_m - pieces, stiffness(wavelength_m, step_m))


def _eased(height_m: FloatArray, reach: int) -> FloatArray:
    """Return the moving mean over ``reach`` neighbours on both sides; straight lines pass unchanged."""
    reach = min(reach, height_m.size - 1)
    padded = np.pad(height_m, reach, mode="reflect", reflect_type="odd")
    total = np.concatenate(([0.0], np.cumsum(padded)))
    width = 2 * reach + 1
    return np.asarray((total[width:] - total[:-width]) / width)


def stiffness(wavelength_m: float, step_m: float) -> float:
    """Return the penalty that halves a wave of the given length.

    Notes
    -----
    lambda = (2 sin(pi step / wavelength))^-4: the smoother of order two passes 1 / (1 + lambda |D^2|^2)
    of a wave, and |D^2| = 4 sin^2(pi step / wavelength) [Wh23]_.
    """
    return float((2.0 * np.sin(np.pi * min(step_m / wavelength_m, 0.5))) ** -4)


def whittaker(height_m: FloatArray, penalty: float) -> FloatArray:
    """Return the smooth heights z that minimise sum (y - z)^2 + lambda sum (D^2 z)^2 [m].

    Parameters
    ----------
    height_m : shape (n,), heights y [m]
    penalty : lambda

    Notes
    -----
    [Wh23]_; the normal equations have two bands beside the diagonal, so the work is linear in n.
    """
    count = height_m.size
    if count < 3:
        return height_m.copy()
    bands = np.zeros((3, count))
    bands[2] = 1.0
    bands[2, :-2] += penalty
    bands[2, 1:-1] += 4.0 * penalty
    bands[2, 2:] += penalty
    bands[1, 1:-1] -= 2.0 * penalty
    bands[1, 2:] -= 2.0 * penalty
    bands[0, 2:] = penalty
    return np.asarray(solveh_banded(bands, height_m, check_finite=False))


def passed_noise(noise: HeightNoise, wavelength_m: float, step_m: float) -> tuple[float, float]:
    """Return what smoothing leaves of a noise: standard deviations of height [m] and of grade.

    Notes
    -----
    The noise has the spectrum of a first-order autoregression with r = exp(-step / reach); it is
    multiplied by the squared transfer function of the smoother, and for the grade also by that
    of the central difference, and summed over all frequencies.
    """
    turn = np.pi * (np.arange(512) + 0.5) / 512
    keep = float(np.exp(-step_m / noise.reach_m))
    spectrum = noise.sd_m**2 * (1.0 - keep**2) / (1.0 - 2.0 * keep * np.cos(turn) + keep**2)
    passed = spectrum / (1.0 + stiffness(wavelength_m, step_m) * (2.0 * np.sin(turn / 2.0)) ** 4) ** 2
    grade = passed * (np.sin(turn) / step_m) ** 2
    return float(np.sqrt(passed.mean())), float(np.sqrt(grade.mean()))
