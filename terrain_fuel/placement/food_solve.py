"""Solve a food problem: bound it, then search just above the bound, and higher only if need be."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.placement.food_bound import ToGo, bound_below
from terrain_fuel.placement.food_labels import LabelSearch
from terrain_fuel.placement.food_problem import Choice, FoodProblem, curve_cost

BEAM = 200
SLACKS = (0.02, 0.1, 0.4, 1.6, np.inf)
"""How far above the bound plans are looked for, as shares of it: near it almost nothing needs
to be kept, so the first searches take a fraction of the last."""


@dataclass(frozen=True, slots=True)
class Solution:
    """A row of bites, its cost, what nothing can beat, and whether a longest gap had to be broken."""

    choices: tuple[Choice, ...]
    cost: float
    lower_bound: float
    over_gap: bool


def solve_food(problem: FoodProblem, beam: int = BEAM) -> Solution | None:
    """Return the best plan found and the bound on how good any plan can be; None if there is none.

    Gaps longer than the rider's longest are tried only when no plan keeps within it; then only
    pins can leave nothing.
    """
    curve = curve_cost(problem)
    free = np.zeros(problem.stock.size)
    for over_gap in (False, True):
        to_go = bound_below(problem, free, curve, over_gap)
        if np.isfinite(to_go.root(problem)):
            solution = _search_upwards(problem, to_go, beam, over_gap)
            if solution is not None:
                return solution
    return None


def _search_upwards(problem: FoodProblem, to_go: ToGo, beam: int, over_gap: bool) -> Solution | None:
    """Search below a limit that rises until a plan is found, and once more below its cost."""
    root = proven = to_go.root(problem)
    for slack in SLACKS:
        limit = root + slack * max(abs(root), 1.0)
        found = LabelSearch(problem, to_go, beam, limit, over_gap).run()
        if found.choices is None:
            proven = max(proven, min(limit, found.lost_bound))
            continue
        if found.lost_bound < found.cost:
            again = LabelSearch(problem, to_go, beam, found.cost, over_gap).run()
            lost = max(found.lost_bound, again.lost_bound)
            found = found if again.choices is None else again
            proven = max(proven, min(found.cost, lost))
        else:
            proven = found.cost
        return Solution(found.choices or (), found.cost, proven, over_gap)
    return None
