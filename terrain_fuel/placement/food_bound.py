"""What is still to be paid at the least: the bound that guides the labels and states the gap.

Leaving out the stock, the hour's limit and caffeine, the cheapest way on depends only on the
place of the last bite, its item and the grams eaten so far. Counted backwards from the finish it
is exact for that easier problem, so nothing can beat it in the real one. The stock comes back as
a price on each portion (Lagrangian relaxation): what is scarce costs a little, and the bound gets
back what the stock is worth.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.placement.food_problem import FoodProblem
from terrain_fuel.rules.situation import IntArray


@dataclass(frozen=True, slots=True, eq=False)
class ToGo:
    """The least cost to the finish, by place, item eaten last and grams eaten.

    ``after[i + 1, item, g]``: on from place i, the bite there behind; row 0 is the start.
    ``eating[j, item, g]``: from place j, the bite there included, ``item`` the one before it.
    Item m stands for nothing eaten yet. ``price`` is what a portion of each item is charged, and
    ``curve`` the table of `curve_cost`.
    """

    after: FloatArray
    eating: FloatArray
    price: FloatArray
    curve: FloatArray

    def root(self, problem: FoodProblem) -> float:
        """Return the lower bound on the whole problem."""
        return float(self.after[0, -1, 0] - np.dot(self.price, problem.stock))


def bound_below(problem: FoodProblem, price: FloatArray, curve: FloatArray, over_gap: bool) -> ToGo:
    """Return the least cost to go from everywhere, portions charged at ``price``.

    ``over_gap`` also allows gaps longer than the rider's longest.
    """
    places, items, grams = problem.places, problem.stock.size, curve.shape[1]
    after = np.full((places + 1, items + 1, grams), np.inf)
    eating = np.full((places, items + 1, grams), np.inf)
    onward = np.full((places + 1, items + 1, grams), np.inf)
    onward[places] = curve[places]
    charge = (price[problem.option_item] * problem.option_portions)[None, :]
    charged = problem.node_cost + np.where(problem.drawn, charge, 0.0)
    reach = _last_reached(problem, over_gap)
    for place in range(places - 1, -2, -1):
        arcs = problem.arc_cost[place + 1, place + 1 : reach[place + 1]]
        ways = np.flatnonzero(np.isfinite(arcs))
        if ways.size:
            after[place + 1] = np.min(onward[place + 1 + ways] + arcs[ways, None, None], axis=0)
            if place >= 0:
                after[place + 1] -= curve[place]
        if place >= 0:
            eating[place] = _eat(problem, place, charged[place], after[place + 1])
            onward[place] = eating[place] + curve[place]
    return ToGo(after, eating, price, curve)


def _eat(problem: FoodProblem, place: int, charged: FloatArray, after: FloatArray) -> FloatArray:
    """Return the least over the options of a bite and what follows it, by item and grams before it."""
    items, grams = after.shape[0] - 1, after.shape[1]
    best = np.full((items, grams), np.inf)
    for option in np.flatnonzero(np.isfinite(charged)).tolist():
        item, whole_g = problem.option_item[option], int(problem.option_whole_g[option])
        if whole_g < grams:
            into = best[item, : grams - whole_g]
            np.minimum(into, after[item, whole_g:] + charged[option], out=into)
    eaten = np.empty_like(after)
    eaten[:items] = np.min(problem.pair_cost[:, :, place, None] + best[None, :, :], axis=1)
    eaten[items] = np.min(best, axis=0)
    return eaten


def _last_reached(problem: FoodProblem, over_gap: bool) -> IntArray:
    """Return, from the start and from each place, the end of the places reached within the longest gap.

    The finish counts as place n; n + 1 means that it is reached.
    """
    from_s = np.concatenate(([0.0], problem.clock_s))
    until = np.searchsorted(problem.clock_s, from_s + problem.longest_gap_s + 1e-6, side="right")
    ends = over_gap | (problem.end_s <= from_s + problem.longest_gap_s + 1e-6)
    return np.asarray(np.where(ends, problem.places + 1, until))
