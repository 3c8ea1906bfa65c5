"""Hachures: short strokes down the slope, closer where it is steeper; how close is decided here alone."""

import numpy as np

from terrain_fuel.frozen import FloatArray

GENTLE_GRADE = 0.03
"""Below this no stroke is drawn."""

STEEP_GRADE = 0.12
"""From here on strokes stand as close as they get."""

GRADE_BANDS = (0.03, 0.06, 0.09, 0.12)
"""Upper ends of the bands of the one-ink ramp; the fifth band lies above the last."""


def stroke_density(grade: FloatArray) -> FloatArray:
    """Return how many strokes stand on a unit of length, 0 to 1, relative to the closest allowed.

    Parameters
    ----------
    grade : rise over run, any sign; shape (n,)

    Returns
    -------
    ndarray, shape (n,)
    """
    steep = np.abs(grade)
    rising = np.clip((steep - GENTLE_GRADE) / (STEEP_GRADE - GENTLE_GRADE), 0.0, 1.0)
    return np.asarray(np.where(steep < GENTLE_GRADE, 0.0, 0.3 + 0.7 * rising))


def stroke_places(position: FloatArray, grade: FloatArray, closest: float) -> FloatArray:
    """Return where strokes stand along an axis.

    Parameters
    ----------
    position : rising coordinate on the drawing; shape (n,)
    grade : rise over run there; shape (n,)
    closest : distance between strokes on the steepest road, in the units of ``position``

    Returns
    -------
    ndarray of positions, rising
    """
    density = stroke_density(grade) / closest
    counted = np.concatenate(([0.0], np.cumsum(np.diff(position) * 0.5 * (density[1:] + density[:-1]))))
    whole = np.arange(0.5, counted[-1], 1.0)
    # between equal counts there is no road to stand on: the later end is meant
    return np.asarray(
        position[0] + np.interp(whole, counted + 1e-12 * np.arange(counted.size), position - position[0])
    )


def grade_band(grade: FloatArray) -> FloatArray:
    """Return the band of the ramp, 0 (level) to 4 (steepest), for each grade."""
    return np.asarray(np.searchsorted(np.array(GRADE_BANDS), np.abs(grade), side="right"))
