"""The speed that bends, a wet road and the rider's habit allow, with braking begun in time."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.cycling import GRAVITY_M_S2
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile


@dataclass(frozen=True, slots=True)
class Handling:
    """How a rider takes bends and descents.

    ``lean_g`` is the sideways acceleration in bends and ``braking_g`` the even slowing before
    them, in units of g; ``top_m_s`` is the speed the rider lets the bicycle reach [m/s].
    """

    lean_g: float
    braking_g: float
    top_m_s: float


HANDLING = {
    "cautious": Handling(lean_g=0.20, braking_g=0.12, top_m_s=45.0 / 3.6),
    "steady": Handling(lean_g=0.25, braking_g=0.15, top_m_s=55.0 / 3.6),
    "practised": Handling(lean_g=0.30, braking_g=0.20, top_m_s=65.0 / 3.6),
}
"""Far inside what tyres hold, about 1 g dry [Br]_; the steps themselves are common practice (no source)."""

WET_SHARE = 2.0 / 3.0
"""A wet road keeps this share of lean and braking: 0.3 g dry to 0.2 g wet, from memory."""

UNKNOWN_BEND_SHARE = 0.75
"""Share of the top speed where the route's points are too sparse to show bends; common practice."""

SLOWEST_BEND_M_S = 2.5
"""No bend is taken slower than this [m/s]; common practice (no source)."""


def speed_limit(profile: Profile, rider: Rider, day: Day) -> FloatArray:
    """Return the speed not to be passed at each node [m/s], shape (n,), at least walking pace.

    Parameters
    ----------
    profile : the road; where ``radius_m`` is NaN the bends are unknown and the limit is moderate
    rider : whose ``descending`` habit sets lean, braking and top speed
    day : whose wet surface lowers lean and braking

    Notes
    -----
    In a bend V = sqrt(a R). Braking before it is even: V^2(s) = min over s' >= s of
    V^2(s') + 2 a (s' - s).
    """
    handling = HANDLING[rider.descending]
    grip = WET_SHARE if day.surface_wet else 1.0
    known = np.isfinite(profile.radius_m)
    bend = np.sqrt(grip * handling.lean_g * GRAVITY_M_S2 * np.where(known, profile.radius_m, 0.0))
    limit = np.where(
        known,
        np.clip(bend, SLOWEST_BEND_M_S, handling.top_m_s),
        np.where(np.isnan(profile.radius_m), UNKNOWN_BEND_SHARE, 1.0) * handling.top_m_s,
    )
    return braked(profile.distance_m, limit, grip * handling.braking_g * GRAVITY_M_S2)


def braked(distance_m: FloatArray, limit_m_s: FloatArray, braking_m_s2: float) -> FloatArray:
    """Return the speeds from which every limit ahead can be met at an even braking [m/s]."""
    run_up = 2.0 * braking_m_s2 * distance_m
    square = np.minimum.accumulate((limit_m_s**2 + run_up)[::-1])[::-1] - run_up
    return np.asarray(np.sqrt(np.maximum(square, WALKING_PACE_M_S**2)))
