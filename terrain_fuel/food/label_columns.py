"""Labels kept so far, as columns, and which of those that arrive they leave nothing to say.

A label is a row of bites that ends at a place: what it has cost, what it leaves of the stock, and what it
has eaten within the last hour.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.bound import ToGo
from terrain_fuel.food.ground import ground_of
from terrain_fuel.food.problem import EPS, FoodProblem
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray


@dataclass(frozen=True, slots=True, eq=False)
class Arrivals:
    """Labels that reach the places of a round, before the choice of which to keep; columns of one length."""

    place: IntArray
    parent: IntArray
    option: IntArray
    reach: FloatArray
    bound: FloatArray
    hour_g: FloatArray

    def take(self, rows: IntArray) -> "Arrivals":
        """Return some of them."""
        return Arrivals(
            self.place.take(rows),
            self.parent.take(rows),
            self.option.take(rows),
            self.reach.take(rows),
            self.bound.take(rows),
            self.hour_g.take(rows),
        )


class Labels:
    """Columns of all labels kept so far, in place order; row 0 is the start, others are filled when kept."""

    def __init__(self, problem: FoodProblem, to_go: ToGo, recent: int, capacity: int) -> None:
        self.problem, self.to_go, self.ground = problem, to_go, ground_of(problem)
        self.priced = bool(to_go.price.any())
        self.caffeinated = bool(problem.option_caffeine_mg.any())
        self.steps = np.random.default_rng(20270508).integers(1, 2**62, size=problem.stock.size + 4)
        item_steps = self.steps.take(problem.option_item)
        self.eaten_key = self.ground.portions * item_steps + self.steps[-1] * problem.option_whole
        bite_key = self.steps[-2] * problem.option_item + self.steps[-4] * np.arange(problem.places)[:, None]
        self.arrival_key = self.eaten_key + bite_key
        self.count = 1
        self.place, self.option, self.item, self.parent, self.whole, self.key, self.portions_left = (
            np.empty(capacity, dtype=np.int64) for _ in range(7)
        )  # the key tells apart what is left and the grams eaten
        self.base = np.empty(capacity)  # cost so far less the curve up to the place
        self.drawn_g, self.caffeine_mg = np.empty(capacity), np.empty(capacity)
        self.left = np.empty((capacity, problem.stock.size), dtype=np.int64)
        self.left_worth = np.empty(capacity)  # what is left of the stock, at the bound's prices
        self.recent_s = np.empty((recent, capacity))  # when the last bites were taken, the latest first
        self.recent_g = np.empty((recent, capacity))
        self.place[0] = self.option[0] = self.parent[0] = -1
        self.item[0], self.left[0] = problem.stock.size, problem.stock
        self.portions_left[0] = problem.stock.sum()
        self.whole[0] = self.key[0] = self.base[0] = self.drawn_g[0] = self.caffeine_mg[0] = 0
        self.left_worth[0] = float(np.dot(to_go.price, problem.stock))
        self.recent_s[:, 0], self.recent_g[:, 0] = -np.inf, 0.0

    def hour_g(self, place: IntArray, labels: IntArray) -> FloatArray:
        """Return the food that each label has eaten in the hour before a place [g]."""
        since_s = self.problem.hour_from_s.take(place)
        eaten_g = np.zeros(labels.size)
        for when_s, grams in zip(self.recent_s, self.recent_g, strict=True):
            within = when_s.take(labels) >= since_s
            if not within.any():
                break
            eaten_g += grams.take(labels) * within
        return eaten_g

    def undominated(self, arrivals: Arrivals) -> IntArray:
        """Return which arrivals to keep: the cheapest of each state, and those with more room in the hour.

        Those of the same state are at the same place, with the same item just eaten and the same stock left,
        and so the same grams; they come the cheapest first. It dominates one that since any of its own bites
        of the last hour has eaten no less.
        """
        keeper = _first_of_each(self._state_key(arrivals))
        stays = keeper == np.arange(keeper.size)
        others = np.flatnonzero(~stays)
        if not others.size:
            return np.flatnonzero(stays)
        since_s = self.problem.hour_from_s.take(arrivals.place.take(others))
        theirs_s, theirs_g = self._last_bites(arrivals, keeper.take(others), since_s)
        my_s, my_g = self._last_bites(arrivals, others, theirs_s.min(axis=0))
        within = my_s[None] >= theirs_s[:, None]
        mine_since_g = np.add.reduce(my_g * within, axis=1)
        counts = theirs_s >= since_s
        stays[others] = (counts & (np.cumsum(theirs_g, axis=0) > mine_since_g + EPS)).any(axis=0)
        return np.flatnonzero(stays)

    def _state_key(self, arrivals: Arrivals) -> IntArray:
        """Return a number that tells apart place, what is left, the grams eaten and the item just eaten."""
        cell = self.ground.cell(arrivals.place, arrivals.option)
        key = self.key.take(arrivals.parent) + self.arrival_key.take(cell)
        if self.caffeinated:
            caffeine_mg = self.problem.option_caffeine_mg.take(arrivals.option)
            caffeine_mg += self.caffeine_mg.take(arrivals.parent)
            key += self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64)
        return np.asarray(key)

    def _last_bites(
        self, arrivals: Arrivals, rows: IntArray, since_s: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Return when the last bites of some arrivals were taken and what they brought [s, g].

        The latest first, as many as any of them has since its moment, shapes (bites, arrivals).
        """
        parent = arrivals.parent.take(rows)
        when_s = [self.problem.clock_s.take(arrivals.place.take(rows))]
        grams = [self.problem.option_g.take(arrivals.option.take(rows))]
        for bite_s, bite_g in zip(self.recent_s, self.recent_g, strict=True):
            row_s = bite_s.take(parent)
            if not (row_s >= since_s).any():
                break
            when_s.append(row_s)
            grams.append(bite_g.take(parent))
        return np.array(when_s), np.array(grams)

    def add(self, kept: Arrivals) -> None:
        """Take in the arrivals to keep."""
        problem = self.problem
        place, option, parent = kept.place, kept.option, kept.parent
        cell = self.ground.cell(place, option)
        rows = slice(self.count, self.count + parent.size)
        item, portions = problem.option_item.take(option), self.ground.portions.take(cell)
        whole = self.whole.take(parent) + problem.option_whole.take(option)
        self.place[rows], self.option[rows], self.item[rows] = place, option, item
        self.parent[rows], self.whole[rows] = parent, whole
        self.base[rows] = kept.reach - self.to_go.ways.left[place, whole]
        self.drawn_g[rows] = self.drawn_g.take(parent) + self.ground.drawn_g.take(cell)
        self.caffeine_mg[rows] = self.caffeine_mg.take(parent) + problem.option_caffeine_mg.take(option)
        left = self.left.take(parent, axis=0)
        left[np.arange(parent.size), item] -= portions
        self.left[rows] = left
        self.portions_left[rows] = self.portions_left.take(parent) - portions
        self.key[rows] = self.key.take(parent) + self.eaten_key.take(cell)
        self.recent_s[0, rows] = problem.clock_s.take(place)
        self.recent_g[0, rows] = problem.option_g.take(option)
        self.recent_s[1:, rows] = self.recent_s[:-1].take(parent, axis=1)
        self.recent_g[1:, rows] = self.recent_g[:-1].take(parent, axis=1)
        self.left_worth[rows] = left @ self.to_go.price if self.priced else 0.0
        self.count = rows.stop


def _first_of_each(keys: IntArray) -> IntArray:
    """Return for each key the position of the first that is equal."""
    order = keys.argsort(kind="stable")
    ordered = keys[order]
    begins = np.empty(keys.size, dtype=bool)
    begins[:1], begins[1:] = True, ordered[1:] != ordered[:-1]
    first = np.empty_like(order)
    first[order] = order[begins.nonzero()[0]][begins.cumsum() - 1]
    return first
