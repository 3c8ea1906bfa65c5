"""From mouth to blood: a stomach that empties more slowly when effort is high, and a gut with a ceiling."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider

SOURCES = ("Ne89", "Mt89", "Ho91", "Tr17", "J13")

HALF_TIME_S = 1020.0
"""Stomach half-time of a drink at moderate effort: 17 minutes lies between what two trials give, one
with 12 % [Mt89]_, one with 7 % drinks [Ho91]_ (a fit of ours). Solids leave later [Pf10b]_."""

# Emptying is even from 28 to 65 % of maximal oxygen uptake and slower at 75 % [Ne89]_; over FTP as
# 83 % of the maximum, 65 % is an effort of 0.78. How far it falls beyond is an assumption.
UNSLOWED_EFFORT, SLOWEST_EFFORT, SLOWEST_FACTOR = 0.78, 1.10, 0.40

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


def absorb(taken_g: FloatArray, emptying: FloatArray, step_s: float, ceiling_g_per_s: float) -> FloatArray:
    """Return carbohydrate that has reached the blood, summed, at even steps of the clock.

    Parameters
    ----------
    taken_g : shape (m,), taken during each step [g]
    emptying : shape (m,), from `emptying_per_s` [1/s]
    step_s : length of a step [s]
    ceiling_g_per_s : from `gut_ceiling_g_per_s`

    Returns
    -------
    ndarray, shape (m,) [g], at the end of each step
    """
    leaves_stomach = 1.0 - np.exp(-emptying * step_s)
    leaves_gut = 1.0 - 0.5 ** (step_s / GUT_HALF_TIME_S)
    most_g = ceiling_g_per_s * step_s
    stomach = gut = blood = 0.0
    absorbed = []
    for taken, share in zip(taken_g.tolist(), leaves_stomach.tolist(), strict=True):
        passed = share * (stomach + taken)
        stomach += taken - passed
        crossed = min(leaves_gut * (gut + passed), most_g)
        gut += passed - crossed
        blood += crossed
        absorbed.append(blood)
    return np.array(absorbed)
