"""When each ride is where: the plan's clock bent by form, one wind a ride and halts."""

from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.draws import Draws

WIND_STEP_M_S = 1.0


def wind_sensitivity_s(plan: Plan) -> FloatArray:
    """Return how much later each node is reached for each metre a second of wind, shape (2, n) [s per m/s].

    Notes
    -----
    Central differences of the plan's own pace model, wind from the east and from the north
    added to the day's; the share of a stronger wind beyond the first order is left out.
    """
    east, north = _components(plan.day)
    slopes = []
    for along in ((WIND_STEP_M_S, 0.0), (0.0, WIND_STEP_M_S)):
        later, earlier = (
            set_pace(
                plan.terrain,
                plan.rider,
                _with_wind(plan.day, east + sign * along[0], north + sign * along[1]),
            )
            for sign in (1.0, -1.0)
        )
        slopes.append((later.moving_s - earlier.moving_s) / (2.0 * WIND_STEP_M_S))
    return np.array(slopes)


def arrivals_s(
    plan: Plan, draws: Draws, slopes: FloatArray, at_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the clock of every ride at every place, and the riding time in it.

    Parameters
    ----------
    plan : the plan ridden
    draws : r rides
    slopes : from `wind_sensitivity_s`, worked out once for all places
    at_m : shape (m,), places, rising [m]

    Returns
    -------
    clock_s, riding_s : shape (r, m) [s]; both rise along the road
    """
    base_riding = np.interp(at_m, plan.pace.distance_m, plan.pace.moving_s)
    halted = np.interp(at_m, plan.pace.distance_m, plan.pace.clock_s) - base_riding
    wind = draws.wind_m_s @ np.array([np.interp(at_m, plan.pace.distance_m, slope) for slope in slopes])
    riding = draws.pace[:, None] * np.maximum(base_riding + wind, 0.5 * base_riding)
    riding = np.maximum.accumulate(riding, axis=1)
    unplanned = plan.pace.moving_time_s * draws.halts.up_to(base_riding / plan.pace.moving_time_s)
    return riding + halted + unplanned, riding


def _components(day: Day) -> tuple[float, float]:
    from_rad = np.radians(day.wind_from_deg)
    return day.wind_m_s * float(np.sin(from_rad)), day.wind_m_s * float(np.cos(from_rad))


def _with_wind(day: Day, east: float, north: float) -> Day:
    speed = min(float(np.hypot(east, north)), 30.0)
    return replace(day, wind_m_s=speed, wind_from_deg=float(np.degrees(np.arctan2(east, north)) % 360.0))
