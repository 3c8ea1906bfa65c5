"""What gaps that are too long must cost with no more bites than stock and hours allow."""

import math
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.food.bound import LEAST_BITE_G, least_over_cost
from terrain_fuel.food.problem import (
    EPS,
    HOUR_S,
    OVER_GAP_COST,
    OVER_GAP_COST_PER_MIN,
    OVER_GAP_COST_PER_MIN2,
    FoodProblem,
)
from terrain_fuel.frozen import BoolArray, FloatArray

NOT_CHARGED_S = 1e-7
"""A gap may be so much too long before it is charged."""


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """When one may eat at all, and by when the next bite must come after one then [s], both rising."""

    clock_s: FloatArray
    until_s: FloatArray


def least_by_bites(problem: FoodProblem, moments: Moments, below: float) -> float:
    """Return what gaps that are too long cost at the least, by how many bites there can be.

    Parameters
    ----------
    problem : slots as places, without options that nobody can eat
    moments : all that lie in the slots
    below : of plans whose gaps cost no less it may be inf
    """
    least_g = float(np.min(problem.option_g, initial=np.inf))
    by_hours = _bites_in_an_hour(problem.room_g, least_g) * math.ceil(problem.end_s / HOUR_S)
    by_stock = min(int(problem.stock.sum()), _times(problem.stock_g, least_g))
    bites = min(by_hours, by_stock)
    by_places = float(least_over_cost(problem, bites, below)[0, -1])
    fed_s = float(np.max(moments.until_s - moments.clock_s, initial=problem.until_s[0]))
    over_s = problem.end_s - (bites + 1) * fed_s
    if over_s <= 0.0 or not problem.drawn.all():
        return by_places
    return max(by_places, float(least_together(np.array(over_s), bites + 1)))


def least_together(over_s: FloatArray, gaps: int) -> FloatArray:
    """Return what so many gaps cost at the least that together are so much too long: some share it evenly."""
    over_min = over_s / 60.0
    cost = np.full(over_s.shape, np.inf)
    for broken in range(1, gaps + 1):
        each = OVER_GAP_COST * broken + OVER_GAP_COST_PER_MIN2 / broken * over_min**2
        np.minimum(cost, each, out=cost)
    return np.where(over_s > NOT_CHARGED_S * gaps, cost + OVER_GAP_COST_PER_MIN * over_min, 0.0)


def without_the_impossible(problem: FoodProblem) -> FoodProblem:
    """Return the problem of slots without what nobody can eat, and two bites an hour where one fits."""
    usable = _usable(problem)
    eaten = np.isin(np.arange(problem.stock.size), problem.option_item[usable])
    least_g = float(np.min(problem.option_g[usable], initial=np.inf))
    arc_cost = problem.arc_cost
    if _bites_in_an_hour(problem.room_g, least_g) < 2:
        at_once = problem.hour_from_s[None, :] < problem.clock_s[:, None]
        arc_cost = arc_cost.copy()
        arc_cost[1:, :-1][at_once] = np.inf
    return replace(
        problem,
        stock=np.where(eaten, problem.stock, 0),
        arc_cost=arc_cost,
        node_cost=problem.node_cost[:, usable],
        drawn=problem.drawn[:, usable],
        option_item=problem.option_item[usable],
        option_portions=problem.option_portions[usable],
        option_whole=problem.option_whole[usable],
        option_g=problem.option_g[usable],
        option_caffeine_mg=problem.option_caffeine_mg[usable],
    )


def _usable(problem: FoodProblem) -> BoolArray:
    """Return which options can be eaten anywhere."""
    fits = problem.option_g <= float(np.max(problem.room_g, initial=0.0)) + EPS
    fits &= problem.option_caffeine_mg <= problem.caffeine_mg_max + EPS
    return np.asarray(fits & np.isfinite(problem.node_cost).any(axis=0))


def _bites_in_an_hour(room_g: FloatArray, least_g: float) -> int:
    """Return how many bites of the least size an hour has room for at the most."""
    return _times(float(np.max(room_g, initial=0.0)), least_g)


def _times(whole_g: float, part_g: float) -> int:
    """Return how often a part goes into a whole, without end where it weighs next to nothing."""
    return int(whole_g / max(part_g, LEAST_BITE_G) + EPS)
