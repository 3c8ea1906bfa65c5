"""Glycogen and the gut over many rides at once."""

import numpy as np

from terrain_fuel.demand import absorption, glycogen
from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.draws import Draws

HOUR_S = 3600.0
WAIT_S = 360.0
"""A rider ahead of the plan waits this long with a bite rather than crowd the stomach: an assumption."""


def glycogen_left_g(
    plan: Plan, draws: Draws, grid_m: FloatArray, riding_s: FloatArray, taken_g: FloatArray
) -> FloatArray:
    """Return what the stores hold at each place of each ride, shape (r, m) [g].

    Parameters
    ----------
    plan : what is burned
    draws : r rides
    grid_m : shape (m,), places along the road [m]
    riding_s : shape (r, m), riding time at each [s]
    taken_g : shape (r, m - 1), carbohydrate taken on each span [g]

    Notes
    -----
    At the same effort a slower ride burns longer: what the plan burns on a span is stretched by
    the time it takes. Absorption is the model of `demand.absorption` on these spans.
    """
    base_s = np.interp(grid_m, plan.pace.distance_m, plan.pace.moving_s)
    span_s = np.maximum(np.diff(riding_s, axis=1), 1e-6)
    slower = span_s / np.maximum(np.diff(base_s), 1e-6)
    burned = np.diff(np.interp(grid_m, plan.pace.distance_m, plan.demand.carbohydrate_burned_g))
    burned_g = draws.burned[:, None] * slower * burned
    effort = np.interp(0.5 * (grid_m[1:] + grid_m[:-1]), plan.pace.distance_m, plan.pace.effort)
    emptying = absorption.emptying_per_s(effort)[:, None]
    ceiling = absorption.gut_ceiling_g_per_s(plan.rider)
    absorbed_g = np.diff(absorption.absorb(taken_g.T, emptying, span_s.T, ceiling), axis=0, prepend=0.0)
    stores = glycogen.deplete(draws.start * plan.rider.glycogen_start_g, burned_g.T - absorbed_g)
    return np.asarray(stores.T)


def taken_in_an_hour_g(clock_s: FloatArray, taken_g: FloatArray) -> FloatArray:
    """Return the carbohydrate of the hour up to each fuel point, short waits allowed, shape (r, k) [g].

    Parameters
    ----------
    clock_s, taken_g : shape (r, k), when each fuel point is reached [s] and what is taken there [g]
    """
    hour_s = HOUR_S - WAIT_S
    taken = np.zeros_like(taken_g)
    for last in range(clock_s.shape[1]):
        within = (clock_s[:, : last + 1] > clock_s[:, [last]] - hour_s) & (taken_g[:, : last + 1] > 0)
        taken[:, last] = np.sum(taken_g[:, : last + 1] * within, axis=1)
    return taken
