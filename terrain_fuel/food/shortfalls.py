"""Hard rules that no plan can keep here: which, where, by how much and what would help."""

import math
from itertools import pairwise

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.solve import Solution
from terrain_fuel.limits import OVER_GAP_MIN
from terrain_fuel.plan import Violation, broken
from terrain_fuel.rules.road import Road


def over_gaps(task: FoodTask, solution: Solution, road: Road) -> tuple[Violation, ...]:
    """Return the gaps that are longer than the rider's longest, each named, placed and priced."""
    if not solution.over_gap:
        return ()
    at = [choice[0] for choice in solution.choices]
    times_s = [0.0, *task.places.clock_s[at].tolist(), road.last_bite_s]
    longest_min = road.longest_gap_s / 60.0
    found = []
    for start_s, end_s in pairwise(times_s):
        over_min = (end_s - start_s) / 60.0 - longest_min
        if over_min <= 1e-6:
            continue
        start_m, end_m = np.interp([start_s, end_s], road.clock_s, road.distance_m)
        found.append(
            broken(
                OVER_GAP_MIN,
                start_m=float(start_m),
                end_m=float(end_m),
                amount=over_min,
                unit="min",
                sentence=fact(
                    "long_gap",
                    gap_min=over_min + longest_min,
                    start_m=float(start_m),
                    end_m=float(end_m),
                    over_min=math.ceil(over_min),
                    longest_min=longest_min,
                    remedy=_remedy(task, solution, start_s, end_s),
                ),
            )
        )
    return tuple(found)


def _remedy(task: FoodTask, solution: Solution, start_s: float, end_s: float) -> Fact:
    """Return what makes a gap too long and what would mend it."""
    problem = task.problem
    missing = math.ceil((end_s - start_s) / problem.longest_gap_s - 1e-9) - 1
    inside = (problem.clock_s > start_s) & (problem.clock_s < end_s)
    edible = np.any(np.isfinite(problem.node_cost), axis=1)
    if not np.any(edible & inside):
        return fact("no_place_between")
    used = np.zeros(problem.stock.size, dtype=np.int64)
    drawn_g = 0.0
    for place, option in solution.choices:
        if problem.drawn[place, option]:
            used[problem.option_item[option]] += problem.option_portions[option]
            drawn_g += float(problem.option_g[option])
    least_g = float(problem.option_g.min(initial=np.inf))
    if not np.any(used < problem.stock) or problem.stock_g - drawn_g < least_g:
        return fact("food_runs_out", missing=missing)
    return fact("gut_limit_full")
