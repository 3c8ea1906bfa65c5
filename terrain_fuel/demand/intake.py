"""Carbohydrate to take in: a rate by duration and effort, and a curve that leans to the first half."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, Rider

SOURCES = ("J14", "ACSM16", "Bu11")

# Hours of riding and the most that is advised [g/h]: nothing is needed under 45 min, little to 75 min,
# 30 to 60 from one to two and a half hours, up to 90 beyond [J14]_ seen, [ACSM16]_ [Bu11]_ from memory.
DURATION_H = np.array([0.75, 1.25, 1.75, 2.5, 4.0])
ADVISED_G_PER_H = np.array([0.0, 20.0, 40.0, 60.0, OPT_IN_ABOVE_G_PER_H])

BURNED_SHARE_MAX = 0.80
"""Intake stays below what is burned, so an easy ride needs less: [J14]_ asks for less at a low
absolute intensity; the figure is ours (an assumption)."""

FRONT_SHARE, LEAST_FRONT_SHARE = 0.56, 0.54
"""Share of the intake that the first half of the clock should hold, and the least it may: common
practice (no source) is 0.5 to 0.6, and bites lag a little behind a curve."""

LAST_FOOD_BEFORE_FINISH_S = 600.0
"""Nothing is eaten in the last ten minutes: it would not reach the blood before the finish."""


def gut_margin_g_per_h(rider: Rider) -> float:
    """Return what the mean rate leaves free under the rider's limit, since bites come in lumps [g/h]."""
    return min(max(8.0, 0.10 * rider.gut_limit_g_per_h), 0.5 * rider.gut_limit_g_per_h)


def intake_g_per_h(elapsed_s: float, burned_g: float, rider: Rider) -> float:
    """Return the carbohydrate to take in, averaged over the ride [g/h].

    Parameters
    ----------
    elapsed_s : clock time of the ride [s]
    burned_g : carbohydrate burned in that time [g]
    rider : limit, sugars and opt-in above 90 g/h

    Notes
    -----
    The least of three: what is advised for the duration, 80 % of what is burned, and the
    rider's own limit less a margin. Body mass does not enter [J14]_.
    """
    hours = elapsed_s / 3600.0
    if hours <= 0:
        return 0.0
    advised = float(np.interp(hours, DURATION_H, ADVISED_G_PER_H))
    if rider.limit_above_90 and hours >= DURATION_H[-1]:
        advised = max(advised, rider.gut_limit_g_per_h)
    rideable = rider.gut_limit_g_per_h - gut_margin_g_per_h(rider)
    return max(0.0, min(advised, BURNED_SHARE_MAX * burned_g / hours, rideable))


def intake_curve_g(clock_s: FloatArray, rate_g_per_h: float, rider: Rider) -> FloatArray:
    """Return what should have been taken by each clock time, food and drink together.

    Parameters
    ----------
    clock_s : shape (n,), clock time from 0 to the finish [s]
    rate_g_per_h : from `intake_g_per_h`
    rider : habits and limit

    Returns
    -------
    ndarray, shape (n,) [g]; level until one step before the first food, which brings that step's worth,
    and over the last ten minutes; steeper before half-time than after, nowhere steeper than the limit
    less the margin
    """
    finish_s = float(clock_s[-1])
    first_s = 60.0 * (rider.habits.first_food_min - rider.habits.eat_every_min)
    start_s, end_s = max(0.0, first_s), finish_s - LAST_FOOD_BEFORE_FINISH_S
    half_s = 0.5 * finish_s
    if rate_g_per_h <= 0 or end_s <= start_s:
        return np.zeros_like(clock_s)
    steepest_g_per_s = (rider.gut_limit_g_per_h - gut_margin_g_per_h(rider)) / 3600.0
    total_g = rate_g_per_h * finish_s / 3600.0
    front_g = min(FRONT_SHARE * total_g, steepest_g_per_s * max(0.0, half_s - start_s))
    back_g = min(total_g - front_g, steepest_g_per_s * (end_s - max(half_s, start_s)))
    if front_g > 0:
        back_g = min(back_g, front_g * (1.0 / LEAST_FRONT_SHARE - 1.0))
    knots_s = [start_s, max(half_s, start_s), end_s]
    return np.interp(clock_s, knots_s, [0.0, front_g, front_g + back_g])
