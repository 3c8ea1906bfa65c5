"""Which places follow each other in a row of bites, and what the gap between them costs."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.problem import FoodProblem, curve_cost, curve_left, over_gap_costs
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray

FAR_GAPS = 4.0
"""Gaps of more than so many times the longest are not told apart."""

CURVE_NUMBERS, GAP_NUMBERS = 6, 20
"""What a cell of the curve and a gap count as work."""


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """Which places follow the start and each of n places, and what that costs.

    Row 0 stands for the start, row i + 1 for place i; column n for the finish.

    Parameters
    ----------
    curve, left : the tables of `curve_cost` and `curve_left`
    reach : (n + 1,) the end of the places reached from each row, n + 1 where the finish is
    near : (n + 1,) up to where they are told apart: those hours away, where drink feeds, cost about the
        same wherever they are, so that the cheapest of them is taken with the cheapest end
    arcs : (n + 1, n + 1) what gaps within reach cost without what is too long, else inf
    near_arcs : (n + 1, n + 1) the same of those told apart
    far_cost : (n + 1,) the cheapest gap to what is reached and not near, inf if there is none
    latest : (n,) the last place from which each is reached, -1 if there is none
    """

    curve: FloatArray
    left: FloatArray
    reach: IntArray
    near: IntArray
    arcs: FloatArray
    near_arcs: FloatArray
    far_cost: FloatArray
    latest: IntArray

    @classmethod
    def of(cls, problem: FoodProblem, over_gap: bool) -> "Ways":
        """Return the ways of a problem; with ``over_gap`` any gap is allowed."""
        cells = problem.need_g.size * problem.most_whole
        problem.work.add(CURVE_NUMBERS * cells + GAP_NUMBERS * problem.places**2)
        curve, reach = curve_cost(problem), _last_reached(problem, over_gap)
        far_s = np.append(0.0, problem.clock_s) + FAR_GAPS * problem.longest_gap_s
        near = np.minimum(np.searchsorted(problem.clock_s, far_s, side="right"), reach)
        to = np.arange(problem.places + 1)
        all_arcs = problem.arc_cost - over_gap_costs(problem) if over_gap else problem.arc_cost
        arcs = np.where(to < reach[:, None], all_arcs, np.inf)
        near_arcs = np.where(to < near[:, None], arcs, np.inf)
        far_cost = np.min(np.where(to < near[:, None], np.inf, arcs), axis=1)
        left, latest = curve_left(problem), _latest_before(arcs)
        return cls(curve, left, reach, near, arcs, near_arcs, far_cost, latest)

    def rounds(self, most: int) -> list[tuple[int, int]]:
        """Return first and end of runs of places, ``most`` at a time, among which no bite follows another."""
        rounds, first = [], 0
        for place, latest in enumerate(self.latest.tolist()):
            if latest >= first or place - first >= most:
                rounds.append((first, place))
                first = place
        return [*rounds, (first, self.latest.size)] if self.latest.size else rounds


def _latest_before(arcs: FloatArray) -> IntArray:
    count = arcs.shape[0] - 1
    follows = np.isfinite(arcs[1:, :count])
    latest = count - 1 - np.argmax(follows[::-1], axis=0) if count else np.zeros(0, dtype=np.int64)
    return np.where(follows.any(axis=0), latest, -1)


def within_reach(problem: FoodProblem) -> BoolArray:
    """Return which gaps are no longer than the longest, in the shape of ``arc_cost``."""
    return np.arange(problem.places + 1) < _last_reached(problem, over_gap=False)[:, None]


def _last_reached(problem: FoodProblem, over_gap: bool) -> IntArray:
    until = np.searchsorted(problem.clock_s, problem.until_s + 1e-6, side="right")
    ends = over_gap | (problem.end_s <= problem.until_s + 1e-6)
    return np.asarray(np.where(ends, problem.places + 1, until))
