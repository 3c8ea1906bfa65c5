"""The speed that bends, a wet road and the rider's habit allow, with braking begun in time."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.braking import corner_speed
from terrain_fuel.equations.cycling import GRAVITY_M_S2
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile

WET_SHARE = 2.0 / 3.0
"""What a wet road leaves of lean and braking: 0.2 g of 0.3 g, from memory."""

UNKNOWN_BENDS_SHARE = 0.75
"""Share of the top speed where points are too far apart to show bends; common practice (no source)."""

SLOWEST_BEND_M_S = 2.5
"""No bend is taken slower [m/s]; common practice (no source)."""


def speed_limit(
    profile: Profile, rider: Rider, day: Day, surface_top_m_s: FloatArray | float = np.inf
) -> FloatArray:
    """Return the speed not to be passed at each node [m/s], shape (n,), at least walking pace.

    Parameters
    ----------
    profile : the road; where ``radius_m`` is NaN its bends are unknown and the limit is moderate
    rider : whose ``descending`` habit sets lean, braking and top speed
    day : whose wet surface lowers lean and braking
    surface_top_m_s : what the surface allows at each node [m/s]
    """
    habit = rider.descending_habit
    grip = WET_SHARE if day.surface_wet else 1.0
    bend = np.maximum(corner_speed(profile.radius_m, grip * habit.lean_g), SLOWEST_BEND_M_S)
    top = habit.top_m_s
    limit = np.where(np.isnan(bend), UNKNOWN_BENDS_SHARE * top, np.fmin(bend, top))
    limit = np.minimum(limit, surface_top_m_s)
    return braked(profile.distance_m, limit, grip * habit.braking_g * GRAVITY_M_S2)


def braked(distance_m: FloatArray, limit_m_s: FloatArray, braking_m_s2: float) -> FloatArray:
    """Return the speed at each node from which every limit ahead can be met by even braking [m/s].

    Notes
    -----
    V^2(s) = min over s' >= s of V^2(s') + 2 a (s' - s).
    """
    run_up = 2.0 * braking_m_s2 * distance_m
    square = np.minimum.accumulate((limit_m_s**2 + run_up)[::-1])[::-1] - run_up
    return np.asarray(np.sqrt(np.maximum(square, WALKING_PACE_M_S**2)))
