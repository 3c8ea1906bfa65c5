"""What every search of a food problem looks up: its costs the way that is quick to read, and its reach."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from terrain_fuel.food.bound import ToGo
from terrain_fuel.food.problem import EPS, HOUR_S, FoodProblem, over_gap_costs
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What every search of a problem reads: its costs the way round that is quick to look up.

    ``possible`` (n, k) and ``least_g`` (n,) say what may be eaten and the least of it [g], ``node_cost``,
    ``portions`` and ``drawn_g`` (n, k) what it costs and takes out of the stock, ``arc_to`` (n + 1, n + 1) is
    what gaps cost by their end, ``pair_at`` (n, m + 1, m) pairs by place, the last for the start.
    """

    possible: BoolArray
    least_g: FloatArray
    node_cost: FloatArray
    portions: IntArray
    drawn_g: FloatArray
    arc_to: FloatArray
    pair_at: FloatArray

    def cell(self, place: IntArray, option: IntArray) -> IntArray:
        """Return where options at places stand in what is (n, k), read in one row."""
        return np.asarray(place * self.possible.shape[1] + option)


@lru_cache(maxsize=1)
def ground_of(problem: FoodProblem) -> Ground:
    """Return what searches of a problem look up; the last problem's is kept."""
    possible = np.isfinite(problem.node_cost)
    start = np.zeros((problem.places, 1, problem.stock.size))
    return Ground(
        possible=possible,
        least_g=np.min(np.where(possible, problem.option_g, np.inf), axis=1, initial=np.inf),
        node_cost=np.ascontiguousarray(problem.node_cost),
        portions=problem.option_portions * problem.drawn,
        drawn_g=problem.option_g * problem.drawn,
        arc_to=np.ascontiguousarray(problem.arc_cost.T),
        pair_at=np.ascontiguousarray(np.concatenate((np.moveaxis(problem.pair_cost, 2, 0), start), axis=1)),
    )


def first_before(problem: FoodProblem, to_go: ToGo, known_cost: float) -> IntArray:
    """Return the earliest place from which a bite may follow at each place and the finish; -1 is the start.

    That is within the longest gap, or where gaps may be too long, within one that alone costs no more than
    the plan known, with what must come after.
    """
    if not to_go.over_gap:
        arrival_s = np.append(problem.clock_s, problem.end_s) - 1e-6
        return np.searchsorted(problem.until_s, arrival_s, side="left") - 1
    cost = over_gap_costs(problem) + np.append(to_go.over[1:, -1], 0.0)
    return np.asarray(np.argmax(cost < known_cost, axis=0)) - 1


def most_in_an_hour(problem: FoodProblem) -> int:
    """Return how many bites an hour can hold: by the shortest gap, and by pins closer than that."""
    by_gap = int(HOUR_S / max(problem.shortest_gap_s, 60.0)) + 1
    if not problem.forced:
        return min(by_gap, problem.places + 1)
    gap_s = problem.clock_s[None, :] - np.append(0.0, problem.clock_s)[:, None]
    closer = np.isfinite(problem.arc_cost[:, :-1]) & (gap_s < problem.shortest_gap_s - EPS) & (gap_s > 0)
    return min(by_gap + int(closer.sum()), problem.places + 1)
