"""What is still to be paid at the least: the bound that guides the labels and states the gap.

Leaving out the stock, the hour's limit, caffeine and what was eaten before, the cheapest way on
depends only on the place of the last bite and the grams eaten so far. Counted backwards from the
finish it is exact for that easier problem, so nothing can beat it in the real one. The stock
comes back as a price on each portion (Lagrangian relaxation): what is scarce costs a little, and
the bound gets back what the stock is worth.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.placement.food_problem import FoodProblem


@dataclass(frozen=True, slots=True, eq=False)
class ToGo:
    """The least cost to the finish; rows are places, columns grams eaten, as `curve_cost` counts.

    ``after[i + 1, c]``: from place i, c grams eaten including the bite there; row 0 is the start.
    ``eating[j, c]``: from place j with c grams before the bite, the bite included.
    ``price`` is what a portion of each item is charged. Costs still to come hold the whole
    curve from the start, so `curve_cost` up to a place is taken off where a label adds it.
    """

    after: FloatArray
    eating: FloatArray
    price: FloatArray
    curve: FloatArray

    def root(self, problem: FoodProblem) -> float:
        """Return the lower bound on the whole problem."""
        return float(self.after[0, 0] - np.dot(self.price, problem.stock))


def bound_below(problem: FoodProblem, price: FloatArray, curve: FloatArray, over_gap: bool) -> ToGo:
    """Return the least cost to go from everywhere, portions charged at ``price``.

    ``over_gap`` also allows gaps longer than the rider's longest.
    """
    places, most = problem.places, problem.most_whole_g
    after = np.full((places + 1, most + 1), np.inf)
    eating = np.full((places, most + 1), np.inf)
    onward = np.full((places + 1, most + 1), np.inf)
    onward[places] = curve[places]
    charged = problem.node_cost + np.where(
        problem.drawn, (price[problem.option_item] * problem.option_portions)[None, :], 0.0
    )
    reach = last_reached(problem, over_gap)
    for place in range(places - 1, -2, -1):
        first = place + 1
        until = reach[place + 1]
        arcs = problem.arc_cost[place + 1, first:until]
        ways = np.flatnonzero(np.isfinite(arcs))
        best = np.full(most + 1, np.inf)
        if ways.size:
            best = np.min(onward[first + ways] + arcs[ways, None], axis=0)
        after[place + 1] = best - (curve[place] if place >= 0 else 0.0)
        if place >= 0:
            eating[place] = _eat(problem, charged[place], after[place + 1])
            onward[place] = eating[place] + curve[place]
    return ToGo(after, eating, price, curve)


def _eat(problem: FoodProblem, charged: FloatArray, after: FloatArray) -> FloatArray:
    """Return the least over the options of a bite and what follows it, by grams before it."""
    best = np.full(after.size, np.inf)
    cheapest: dict[int, float] = {}
    for whole_g, cost in zip(problem.option_whole_g.tolist(), charged.tolist(), strict=True):
        if cost < cheapest.get(whole_g, np.inf):
            cheapest[whole_g] = cost
    for whole_g, cost in cheapest.items():
        if whole_g < after.size:
            np.minimum(best[: after.size - whole_g], after[whole_g:] + cost, out=best[: after.size - whole_g])
    return best


def last_reached(problem: FoodProblem, over_gap: bool) -> list[int]:
    """Return, from the start and from each place, the end of the places reached within the longest gap.

    The finish counts as place n; n + 1 means that it is reached.
    """
    if over_gap:
        return [problem.places + 1] * (problem.places + 1)
    from_s = np.concatenate(([0.0], problem.clock_s))
    until = np.searchsorted(problem.clock_s, from_s + problem.longest_gap_s + 1e-6, side="right")
    ends = problem.end_s <= from_s + problem.longest_gap_s + 1e-6
    return [int(u) + 1 if e else int(u) for u, e in zip(until, ends, strict=True)]
