"""Steep slow ramps, on which every breath is wanted, and where the road was easy before them."""

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace

STEEP_RAMP, SLOW_M_S = 0.07, 14.0 / 3.6
EASY_GRADES = (-0.03, 0.05)
CHEWS_S = 30.0
"""On a ramp as steep and slow every breath is wanted, and so where it only seems to end: what is chewed takes
so long. Between these grades the mouth is free: common practice (no source)."""


def is_ramp(grade: FloatArray, speed_m_s: FloatArray) -> BoolArray:
    """Return where it is steeper than 7 % and slower than 14 km/h."""
    return np.asarray((grade > STEEP_RAMP) & (speed_m_s < SLOW_M_S))


def between_ramps(pace: Pace) -> BoolArray:
    """Return where a slope is ridden so shortly before or after a steep slow ramp that breath is short."""
    grade, clock_s = pace.terrain.profile.grade, pace.clock_s
    steep = is_ramp(grade, pace.speed_m_s)
    last_s = np.maximum.accumulate(np.where(steep, clock_s, -np.inf))
    next_s = np.minimum.accumulate(np.where(steep, clock_s, np.inf)[::-1])[::-1]
    return np.asarray((grade > EASY_GRADES[1]) & (np.minimum(clock_s - last_s, next_s - clock_s) <= CHEWS_S))


def ramp_from_s(pace: Pace, hands: Hands, between: BoolArray) -> FloatArray:
    """Return when the last easy place to eat at came, on ramps and ``between`` them; -inf elsewhere [s]."""
    grade = pace.terrain.profile.grade
    easy = (grade > EASY_GRADES[0]) & (grade <= EASY_GRADES[1]) & ~hands.veto
    last_s = np.maximum.accumulate(np.where(easy, pace.clock_s, -np.inf))
    return np.where(is_ramp(grade, pace.speed_m_s) | between, last_s, -np.inf)
