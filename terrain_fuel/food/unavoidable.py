"""What gaps that are too long must cost with no more bites than stock and hours allow."""

import math
from dataclasses import replace

import numpy as np

from terrain_fuel.food.bound import LEAST_BITE_G, least_over_cost
from terrain_fuel.food.problem import HOUR_S, FoodProblem
from terrain_fuel.frozen import BoolArray, FloatArray

EPS = 1e-9


def least_by_bites(problem: FoodProblem, below: float) -> float:
    """Return what gaps that are too long cost at the least, by how many bites there can be.

    ``problem`` is without options that nobody can eat; of plans whose gaps cost no less than ``below`` it
    may be inf.
    """
    least_g = float(np.min(problem.option_g, initial=np.inf))
    by_hours = _bites_in_an_hour(problem.room_g, least_g) * math.ceil(problem.end_s / HOUR_S)
    by_stock = min(int(problem.stock.sum()), _times(problem.stock_g, least_g))
    return float(least_over_cost(problem, min(by_hours, by_stock), below)[0, -1])


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
