"""Stores along the road once intake is known."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.demand import absorption, glycogen
from terrain_fuel.demand.clock import even_clock
from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider


def balance_fuel(demand: Demand, rider: Rider, eaten_m: ArrayLike, eaten_g: ArrayLike) -> FuelBalance:
    """Return what is left of the rider's stores along the road, and warnings where they run low.

    Parameters
    ----------
    demand : what is burned
    rider : stores at the start, sugars
    eaten_m, eaten_g : shape (k,), where carbohydrate is taken [m] and how much [g], drink included

    Notes
    -----
    The bounds are one standard deviation: what is burned varies by ``demand.burned_spread``, the
    starting store by 15 %; the two are independent.
    """
    pace = demand.pace
    grid_s = even_clock(pace.elapsed_s)
    step_s = float(grid_s[1] - grid_s[0])
    taken_g = _taken_by_step_g(pace, grid_s, eaten_m, eaten_g)
    emptying = absorption.emptying_per_s(np.interp(grid_s[:-1], pace.clock_s, pace.effort))
    absorbed_g = np.concatenate(
        [[0.0], absorption.absorb(taken_g, emptying, step_s, absorption.gut_ceiling_g_per_s(rider))]
    )
    burned_g = np.interp(grid_s, pace.clock_s, demand.carbohydrate_burned_g)
    net_g = np.diff(burned_g - absorbed_g)
    left = glycogen.deplete(rider.glycogen_start_g, net_g)
    spread = np.hypot(glycogen.START_SPREAD * rider.glycogen_start_g, demand.burned_spread * burned_g)
    low, high = (
        np.maximum(left - spread, 0.0),
        np.minimum(left + spread, (1.0 + glycogen.START_SPREAD) * rider.glycogen_start_g),
    )

    def at_nodes(values: FloatArray) -> FloatArray:
        return np.interp(pace.clock_s, grid_s, values)

    return FuelBalance(
        glycogen_g=at_nodes(left),
        glycogen_low_g=at_nodes(low),
        glycogen_high_g=at_nodes(high),
        absorbed_g=at_nodes(absorbed_g),
        notices=_notices(pace, rider, at_nodes(left), at_nodes(low)),
    )


def _taken_by_step_g(pace: Pace, grid_s: FloatArray, eaten_m: ArrayLike, eaten_g: ArrayLike) -> FloatArray:
    eaten_s = np.interp(np.asarray(eaten_m, dtype=np.float64), pace.distance_m, pace.clock_s)
    steps = np.clip(np.searchsorted(grid_s, eaten_s, side="right") - 1, 0, grid_s.size - 2)
    taken = np.bincount(steps, weights=np.asarray(eaten_g, dtype=np.float64), minlength=grid_s.size - 1)
    return taken.astype(np.float64)


def _notices(pace: Pace, rider: Rider, left_g: FloatArray, low_g: FloatArray) -> tuple[Fact, ...]:
    """Return a warning where the stores, or failing that their lower bound, first run low."""
    limit_g = glycogen.LOW_SHARE * rider.glycogen_start_g
    low, may_be_low = np.flatnonzero(left_g < limit_g), np.flatnonzero(low_g < limit_g)
    if low.size:
        return (fact("glycogen_low", from_m=float(pace.distance_m[low[0]])),)
    if may_be_low.size:
        return (fact("glycogen_may_be_low", from_m=float(pace.distance_m[may_be_low[0]])),)
    return ()
