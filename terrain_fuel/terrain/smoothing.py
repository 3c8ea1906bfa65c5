"""Smoothing of heights, and how much of their noise it lets through."""

import numpy as np

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

QUICK_TO_TRANSFORM = 1024
"""Columns of a multiple of so many numbers have no large prime factor, and so a quick Fourier transform."""


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
    [Wh23]_. On a road without ends the normal equations pass 1 / (1 + lambda |D^2|^2) of every wave:
    a Fourier transform of heights that go on level beyond both ends does that. What the true ends add are
    solutions of z + lambda D^4 z = 0, two waves p^k that die away from each end, so strong that z bends
    nowhere outside. Exact but for rounding; to load a library of solvers takes longer than all else here.
    """
    count = height_m.size
    if count < 3:
        return height_m.copy()
    bend = -1j / np.sqrt(penalty)  # p - 2 + 1 / p
    wave = 1.0 + (bend + np.sqrt(bend * (bend + 4.0))) / 2.0
    wave = wave if abs(wave) < 1.0 else 1.0 / wave
    reach = int(np.log(np.finfo(float).eps) / np.log(abs(wave))) + 2
    beyond = reach + -(count + 2 * reach) % QUICK_TO_TRANSFORM
    level = np.pad(height_m, (reach, beyond), mode="edge")
    turn = np.pi * np.fft.rfftfreq(level.size)
    passed = np.fft.rfft(level) / (1.0 + penalty * (2.0 * np.sin(turn)) ** 4)
    endless = np.fft.irfft(passed, level.size)[reach - 2 : reach + count + 2]
    outside = np.array([-1, 0, count - 1, count])
    bends = np.stack((wave**outside, wave ** (count - 1 - outside)), axis=1)
    strength = np.linalg.solve(np.hstack((bends.real, -bends.imag)), -np.diff(endless, 2)[outside + 1])
    left, right = (strength[:2] + 1j * strength[2:]) / bend
    dying = wave ** np.arange(min(count, reach))
    smooth = endless[2:-2].copy()
    smooth[: dying.size] += (left * dying).real
    smooth[count - dying.size :] += (right * dying[::-1]).real
    return smooth


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
