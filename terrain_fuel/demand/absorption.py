"""From mouth to blood: a stomach that empties more slowly when effort is very high, a gut with a ceiling."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider

SOURCES = ("Mt89", "Ho91", "Ry89", "Lp05", "Tr17", "J13")

HALF_TIME_S = 1020.0
"""Stomach half-time of a drink: 17 minutes agrees with three trials on the bicycle, with drinks of 5
[Ry89]_, 7 [Ho91]_ and 12 % [Mt89]_ (a fit of ours). Solids leave later [Pf10b]_."""

# Cycling at 70 % [Mt89]_ and 75 % [Ho91]_ of maximal oxygen uptake the stomach empties as at rest;
# over FTP as 83 % of the maximum, 75 % is an effort of 0.90. Sprints and easy running in turns leave
# 0.7 of what walking lets through [Lp05]_, and running at 74 % slows water [Ne89]_. That hard riding
# slows it, and to 0.5 at 1.10, is an assumption: anything from 0.3 to 1 would agree with these.
UNSLOWED_EFFORT, SLOWEST_EFFORT, SLOWEST_FACTOR = 0.90, 1.10, 0.50

GUT_HALF_TIME_S = 300.0  # from stomach to blood: an assumption
SINGLE_CEILING_G_PER_MIN, MIXED_CEILING_G_PER_MIN = 1.0, 1.75  # [Tr17]_, [J13]_


def emptying_per_s(effort: ArrayLike) -> FloatArray:
    """Return the share of the stomach's load that leaves it [1/s], same shape as ``effort``."""
    effort = np.asarray(effort, dtype=np.float64)
    slowed = np.interp(effort, [UNSLOWED_EFFORT, SLOWEST_EFFORT], [1.0, SLOWEST_FACTOR])
    return np.asarray(np.log(2.0) / HALF_TIME_S * slowed)


def gut_ceiling_g_per_s(rider: Rider) -> float:
    """Return the most carbohydrate that passes from gut to blood [g/s]."""
    ceiling = MIXED_CEILING_G_PER_MIN if rider.mixed_sugars else SINGLE_CEILING_G_PER_MIN
    return ceiling / 60.0


def absorb(
    taken_g: FloatArray, emptying: FloatArray, step_s: float | FloatArray, ceiling_g_per_s: float
) -> FloatArray:
    """Return carbohydrate that has reached the blood since the start, by the end of each step.

    Parameters
    ----------
    taken_g : shape (m,) or (m, k), taken during each step of one ride or of k rides [g]
    emptying : from `emptying_per_s`, broadcast to that shape [1/s]
    step_s : length of the steps, broadcast to that shape [s]
    ceiling_g_per_s : from `gut_ceiling_g_per_s`

    Returns
    -------
    ndarray, shape of ``taken_g`` [g]

    Notes
    -----
    Two stores in a row: the stomach loses a share of its load by effort, the gut passes on its
    own by a half-time and never faster than the ceiling.
    """
    leaves_stomach = np.broadcast_to(1.0 - np.exp(-emptying * step_s), taken_g.shape)
    leaves_gut = np.broadcast_to(1.0 - 0.5 ** (np.asarray(step_s) / GUT_HALF_TIME_S), taken_g.shape)
    most_g = np.broadcast_to(ceiling_g_per_s * np.asarray(step_s), taken_g.shape)
    of_one_ride = taken_g.ndim == 1  # plain numbers are a tenth of the work of arrays of one
    lesser = min if of_one_ride else np.minimum
    columns = (leaves_stomach, leaves_gut, most_g, taken_g)
    steps = zip(*(column.tolist() if of_one_ride else column for column in columns), strict=True)
    crossed_g = np.empty_like(taken_g)
    stomach = gut = 0.0
    for step, (from_stomach, from_gut, most, taken) in enumerate(steps):
        passed = from_stomach * (stomach + taken)
        stomach = stomach + taken - passed
        crossed = lesser(from_gut * (gut + passed), most)
        gut = gut + passed - crossed
        crossed_g[step] = crossed
    return np.asarray(np.cumsum(crossed_g, axis=0))
