"""Rolling ground under errors that hide it: the least reversal whose ascent is right on average."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.noise import HeightNoise
from terrain_fuel.terrain.smoothing import choose_wavelength, stiffness, whittaker

STEP_M, NODES = 20.0, 8192
"""Ground is drawn in so many steps of this [m]: 164 km."""

ROUNDED_M = 40.0
"""Grades of drawn ground change over about so much [m]."""

LONGEST_WAVE_M = 20_000.0
"""Longer waves climb next to nothing [m]."""

ROLLING_M = 600.0
"""Ground that forgets its grade over less than this rolls [m]; tried on roads and real ground."""

COUNTED_FROM_M = 1.0
"""Rises of the drawn ground count from here on [m]."""

LEAST_TRIED_M, TRIES = 0.3, 12


def rolls(noise: HeightNoise) -> bool:
    """Tell whether heights show ground that rolls, and stands out of their errors at 1 km if not at 250 m."""
    return noise.rolls_m < ROLLING_M and noise.rolling_share >= 1.0


def balanced_reversal(noise: HeightNoise, usual_m: float) -> float:
    """Return the reversal from which on ascent counts so that it is right on average [m].

    Parameters
    ----------
    noise : of the heights, and the ground beside it
    usual_m : no larger one is tried; it stands where errors climb more than the ground does

    Notes
    -----
    Errors hide small hills and feign others. A reversal that errors cannot reach loses a fifth of the ascent;
    a lesser one counts as much of what they feign as it loses of what they hide. How much that is follows
    from the spectra of both, q / (w^2 (w^2 + 1 / R^2)) for the ground and 2 s^2 L / (1 + w^2 L^2) for the
    errors: ground and errors are drawn, always the same, smoothed as the heights are, and counted.
    """
    wave: FloatArray = np.asarray(2.0 * np.pi * np.fft.rfftfreq(NODES, STEP_M), dtype=np.float64)
    heard = np.maximum(wave, 2.0 * np.pi / LONGEST_WAVE_M)
    ground = np.where(wave < heard, 0.0, noise.kinks_per_m / (heard**2 * (heard**2 + noise.rolls_m**-2)))
    errors = noise.strength_m3 / (1.0 + (wave * noise.reach_m) ** 2)
    rng = np.random.default_rng(1)
    true_m = _drawn(ground / (1.0 + (wave * ROUNDED_M) ** 2), rng)
    shown_m = true_m + _drawn(errors, rng)
    smooth_m = whittaker(shown_m, stiffness(choose_wavelength(noise), STEP_M))
    aim_m = climbed(true_m, COUNTED_FROM_M)[0]
    tried_m = np.linspace(LEAST_TRIED_M, usual_m, TRIES)
    counted_m = np.array([climbed(smooth_m, least_m)[0] for least_m in tried_m.tolist()])
    if counted_m[-1] > aim_m:
        return usual_m
    return float(np.interp(aim_m, counted_m[::-1], tried_m[::-1]))


def _drawn(spectrum: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return heights of a spectrum [m], given as variance over wave number on both sides of zero [m3]."""
    drawn = rng.normal(size=spectrum.size) + 1j * rng.normal(size=spectrum.size)
    return np.asarray(np.fft.irfft(drawn * np.sqrt(spectrum * NODES / STEP_M / 2.0), NODES), dtype=np.float64)
