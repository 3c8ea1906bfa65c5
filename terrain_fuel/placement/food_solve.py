"""Solve a food problem: bound it, search it with a narrow beam, then with the full one."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.placement.food_bound import ToGo, bound_below
from terrain_fuel.placement.food_labels import Found, LabelSearch
from terrain_fuel.placement.food_problem import Choice, FoodProblem, curve_cost

BEAM = 200
NARROW_SHARE = 10


@dataclass(frozen=True, slots=True)
class Solution:
    """A row of bites, its cost, what nothing can beat, and whether a longest gap had to be broken."""

    choices: tuple[Choice, ...]
    cost: float
    lower_bound: float
    over_gap: bool


def solve_food(problem: FoodProblem, beam: int = BEAM) -> Solution:
    """Return the best plan found and the bound on how good any plan can be.

    Gaps longer than the rider's longest are tried only when no plan keeps within it.
    """
    curve = curve_cost(problem)
    for over_gap in (False, True):
        to_go = bound_below(problem, np.zeros(problem.stock.size), curve, over_gap)
        if not np.isfinite(to_go.after[0, 0]):
            continue
        found = _widen(problem, to_go, beam, over_gap)
        if found.choices is not None:
            bound = min(found.cost, max(found.lost_bound, to_go.root(problem)))
            return Solution(found.choices, found.cost, bound, over_gap)
    raise ValueError("a food problem always allows the empty plan")


def _widen(problem: FoodProblem, to_go: ToGo, beam: int, over_gap: bool) -> Found:
    """Return the best of a narrow and, unless that is proven best, a full search."""
    best = LabelSearch(problem, to_go, max(beam // NARROW_SHARE, 4), np.inf, over_gap).run()
    if best.lost_bound >= best.cost:
        return best
    wide = LabelSearch(problem, to_go, beam, best.cost, over_gap).run()
    if wide.choices is None:
        return Found(best.choices, best.cost, wide.lost_bound)
    return wide
