"""Labels pushed along the road in time order: the search for the best row of bites.

A label is a row of bites that ends at a place. To every place the labels of the places within
the longest gap are pushed on, each with every option; of those that arrive, the ones that
nothing can save are dropped: dearer than a plan already known, out of stock before the end, or
dominated by another with the same stock left. The cheapest by cost so far plus the bound on the
rest (food_bound.py) are kept. What is thrown away to keep the beam narrow is remembered by its
bound: it is what the answer may still be off by.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.bound import ToGo, bites_left
from terrain_fuel.food.problem import (
    HOUR_S,
    Choice,
    FoodProblem,
)
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray

EPS = 1e-9
PARENTS_PER_LABEL = 2
ARRIVALS_PER_LABEL = 6
FRUGAL_SHARE = 0.3
FULL_HOUR_COST_PER_G = 0.1


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan of a search, None if none was cheaper than the one known.

    ``lost_bound`` is the least that anything thrown away for want of room could cost.
    """

    choices: tuple[Choice, ...] | None
    cost: float
    lost_bound: float


class _Labels:
    """Columns of all labels kept so far, in place order; row 0 is the start."""

    def __init__(self, problem: FoodProblem, recent: int, capacity: int) -> None:
        self.count = 1
        self.place = np.full(capacity, -1, dtype=np.int64)
        self.option = np.full(capacity, -1, dtype=np.int64)
        self.item = np.full(capacity, -1, dtype=np.int64)
        self.parent = np.full(capacity, -1, dtype=np.int64)
        self.base = np.zeros(capacity)  # cost so far less the curve up to the place
        self.whole_g = np.zeros(capacity, dtype=np.int64)
        self.drawn_g = np.zeros(capacity)
        self.caffeine_mg = np.zeros(capacity)
        self.left = np.zeros((capacity, problem.stock.size), dtype=np.int64)
        self.left[0] = problem.stock
        self.left_worth = np.zeros(capacity)  # what is left of the stock, at the bound's prices
        self.key = np.zeros(capacity, dtype=np.int64)
        self.recent_at = np.full((capacity, recent), -1, dtype=np.int64)
        self.recent_g = np.zeros((capacity, recent))


@dataclass(frozen=True, slots=True, eq=False)
class _Arrivals:
    """Labels that reach a place, before the choice of which to keep; columns of one length."""

    parent: IntArray
    option: IntArray
    reach: FloatArray
    bound: FloatArray
    hour_g: FloatArray


class LabelSearch:
    """One pass of labels over a problem; see the module's head."""

    def __init__(self, problem: FoodProblem, to_go: ToGo, beam: int, known_cost: float) -> None:
        self.problem, self.to_go, self.beam, self.known_cost = problem, to_go, beam, known_cost
        self.labels = _Labels(problem, _most_in_an_hour(problem), 1 + beam * problem.places)
        self.labels.left_worth[0] = float(np.dot(to_go.price, problem.stock))
        self.clock_s = np.append(problem.clock_s, -np.inf)  # entry -1: no bite
        self.arc_to = np.ascontiguousarray(problem.arc_cost.T)
        start = np.zeros((problem.places, 1, problem.stock.size))
        self.pair_at = np.concatenate((np.moveaxis(problem.pair_cost, 2, 0), start), axis=1)
        self.first_label = np.ones(problem.places + 1, dtype=np.int64)
        self.first_before = _first_before(problem, to_go.over_gap)
        self.steps = np.random.default_rng(20270508).integers(1, 2**62, size=problem.stock.size + 3)
        self.lost = np.inf

    def run(self) -> Found:
        """Push labels from the start to the finish and return the best plan."""
        problem = self.problem
        for place in range(problem.places):
            self.first_label[place] = self.labels.count
            options = np.flatnonzero(np.isfinite(problem.node_cost[place]))
            if options.size:
                parents, reach, hour_g = self._parents(place)
                if parents.size:
                    self._keep(place, self._expand(place, options, parents, reach, hour_g))
        self.first_label[problem.places] = self.labels.count
        return self._finish()

    def _rows(self, place: int) -> slice:
        """Return the labels within the longest gap before a place (n is the finish)."""
        before = self.first_before[place]
        return slice(0 if before < 0 else int(self.first_label[before]), self.labels.count)

    def _parents(self, place: int) -> tuple[IntArray, FloatArray, FloatArray]:
        """Return the labels worth pushing on to a place, their cost on arrival and their last hour [g]."""
        labels, rows = self.labels, self._rows(place)
        whole_g = labels.whole_g[rows]
        reach = labels.base[rows] + self.to_go.curve[place][whole_g]
        reach += self.arc_to[place][labels.place[rows] + 1]
        bound = reach + self.to_go.eating[place][labels.item[rows], whole_g] - labels.left_worth[rows]
        worth = np.flatnonzero(bound < self.known_cost - EPS)
        hour_g = self._hour_g(place, worth + rows.start)
        least_g = float(self.problem.option_g[np.isfinite(self.problem.node_cost[place])].min())
        fits = hour_g + least_g <= self.problem.room_g[place] + EPS
        worth, hour_g = worth[fits], hour_g[fits]
        kept = self._cheapest(bound[worth], hour_g, PARENTS_PER_LABEL * self.beam)
        return worth[kept] + rows.start, reach[worth[kept]], hour_g[kept]

    def _cheapest(self, bound: FloatArray, hour_g: FloatArray, most: int) -> IntArray:
        """Return the positions of the ``most`` to keep, remembering the bound of what is lost.

        Most are kept by their bound alone; as it is blind to the hour's limit, some by the bound
        and a charge on what the last hour holds, so that the frugal live to the next bite.
        """
        if bound.size <= most:
            return np.arange(bound.size)
        by_bound = most - int(FRUGAL_SHARE * most)
        order = np.argpartition(bound, by_bound)
        best, others = order[:by_bound], order[by_bound:]
        frugal = np.argpartition(bound[others] + FULL_HOUR_COST_PER_G * hour_g[others], most - by_bound)
        self.lost = min(self.lost, float(bound[others[frugal[most - by_bound :]]].min()))
        return np.sort(np.concatenate((best, others[frugal[: most - by_bound]])))

    def _expand(
        self, place: int, options: IntArray, parents: IntArray, reach: FloatArray, hour_g: FloatArray
    ) -> _Arrivals:
        """Return what arrives at a place: every parent with every option that it can afford."""
        problem, labels = self.problem, self.labels
        item = problem.option_item[options]
        drawn = problem.drawn[place, options]
        portions = problem.option_portions[options] * drawn
        grams = problem.option_g[options]
        whole_g = labels.whole_g[parents][:, None] + problem.option_whole_g[options]
        drawn_g = labels.drawn_g[parents][:, None] + grams * drawn
        left = labels.left[parents]
        caffeine = labels.caffeine_mg[parents][:, None] + problem.option_caffeine_mg[options]
        hour_g = hour_g[:, None] + grams
        fits = (left[:, item] >= portions) & (whole_g <= problem.most_whole_g)
        fits &= drawn_g <= problem.stock_g + EPS
        fits &= caffeine <= problem.caffeine_mg_max + EPS
        fits &= hour_g <= problem.room_g[place] + EPS
        for later, spare_g in self._room_for_pins(place):
            fits &= self._hour_g(later, parents)[:, None] + grams <= spare_g + EPS
        at, which = np.nonzero(fits)
        cost = (
            reach[at]
            + problem.node_cost[place, options][which]
            + self.pair_at[place][labels.item[parents][at], item[which]]
        )
        bound = cost + self.to_go.after[place + 1][item[which], whole_g[at, which]]
        bound += (self.to_go.price[item] * portions)[which] - labels.left_worth[parents][at]
        portions_left = left.sum(axis=1)[at] - portions[which]
        bites = bites_left(problem, self.to_go, portions_left, drawn_g[at, which])
        bound += self.to_go.over[place + 1][bites]
        good = bound < self.known_cost - EPS
        return _Arrivals(
            parents[at[good]], options[which[good]], cost[good], bound[good], hour_g[at, which][good]
        )

    def _room_for_pins(self, place: int) -> list[tuple[int, float]]:
        """Return the forced places of the hour after a bite, and what they leave for bites up to it [g]."""
        room, ahead_g = [], 0.0
        for later in self.problem.forced:
            if later > place and self.clock_s[later] - self.clock_s[place] <= HOUR_S:
                possible = np.isfinite(self.problem.node_cost[later])
                ahead_g += float(self.problem.option_g[possible].min())
                room.append((later, float(self.problem.room_g[later]) - ahead_g))
        return room

    def _hour_g(self, place: int, parents: IntArray) -> FloatArray:
        """Return the food eaten in the hour before a place [g]."""
        since_s = self.problem.hour_from_s[place]
        recent = self.clock_s[self.labels.recent_at[parents]] >= since_s
        return np.asarray(np.sum(self.labels.recent_g[parents] * recent, axis=1))

    def _keep(self, place: int, arrivals: _Arrivals) -> None:
        """Keep the cheapest arrivals that none of the others dominates."""
        few = self._cheapest(arrivals.bound, arrivals.hour_g, ARRIVALS_PER_LABEL * self.beam)
        if not few.size:
            return
        few = few[np.argsort(arrivals.reach[few], kind="stable")]
        parent, option, bound = arrivals.parent[few], arrivals.option[few], arrivals.bound[few]
        keys = self._state_key(place, parent, option)
        _, first, group = np.unique(keys, return_index=True, return_inverse=True)
        best = self._undominated(place, parent, option, first[group])
        best = best[self._cheapest(bound[best], arrivals.hour_g[few][best], self.beam)]
        self._store(place, parent[best], option[best], arrivals.reach[few][best])

    def _state_key(self, place: int, parent: IntArray, option: IntArray) -> IntArray:
        """Return a number that tells apart what is left, what was eaten in all and the item just eaten."""
        problem, labels = self.problem, self.labels
        item = problem.option_item[option]
        portions = problem.option_portions[option] * problem.drawn[place, option]
        whole_g = labels.whole_g[parent] + problem.option_whole_g[option]
        stock_key = labels.key[parent] + self.steps[item] * portions
        micrograms = np.rint(1000 * (labels.caffeine_mg[parent] + problem.option_caffeine_mg[option]))
        key = stock_key + self.steps[-1] * whole_g + self.steps[-2] * item
        return np.asarray(key + self.steps[-3] * micrograms.astype(np.int64))

    def _undominated(self, place: int, parent: IntArray, option: IntArray, keeper: IntArray) -> IntArray:
        """Return the arrivals to keep: the cheapest of each state, and those with more room in the hour.

        ``keeper`` is the cheapest arrival of the same state: the same item just eaten, the same
        stock left and so the same grams. It dominates one that since any of its own bites of the
        last hour has eaten no less.
        """
        stays = keeper == np.arange(keeper.size)
        others = np.flatnonzero(~stays)
        if others.size:
            mine_at, mine_g = self._recent(place, parent[others], option[others])
            their_at, their_g = self._recent(place, parent[keeper[others]], option[keeper[others]])
            counts = self.clock_s[their_at] >= self.problem.hour_from_s[place]
            within = int(np.max(np.sum(counts, axis=1)))
            their_at, their_g, counts = their_at[:, :within], their_g[:, :within], counts[:, :within]
            since = their_at[:, :, None]
            mine = np.sum((mine_at[:, None, :] >= since) * mine_g[:, None, :], axis=2)
            theirs = np.sum((their_at[:, None, :] >= since) * their_g[:, None, :], axis=2)
            stays[others] = np.any(counts & (theirs > mine + EPS), axis=1)
        return np.flatnonzero(stays)

    def _recent(self, place: int, parent: IntArray, option: IntArray) -> tuple[IntArray, FloatArray]:
        """Return places and grams of the last bites, the one at ``place`` first."""
        labels = self.labels
        now = np.full((parent.size, 1), place)
        now_g = self.problem.option_g[option][:, None]
        recent_at = np.concatenate((now, labels.recent_at[parent][:, :-1]), axis=1)
        recent_g = np.concatenate((now_g, labels.recent_g[parent][:, :-1]), axis=1)
        return recent_at, recent_g

    def _store(self, place: int, parent: IntArray, option: IntArray, cost: FloatArray) -> None:
        problem, labels = self.problem, self.labels
        rows = slice(labels.count, labels.count + parent.size)
        item = problem.option_item[option]
        drawn = problem.drawn[place, option]
        portions = problem.option_portions[option] * drawn
        whole_g = labels.whole_g[parent] + problem.option_whole_g[option]
        labels.place[rows], labels.option[rows], labels.item[rows] = place, option, item
        labels.parent[rows], labels.whole_g[rows] = parent, whole_g
        labels.base[rows] = cost - self.to_go.left[place][whole_g]
        labels.drawn_g[rows] = labels.drawn_g[parent] + problem.option_g[option] * drawn
        labels.caffeine_mg[rows] = labels.caffeine_mg[parent] + problem.option_caffeine_mg[option]
        left = labels.left[parent]
        left[np.arange(parent.size), item] -= portions
        labels.left[rows] = left
        labels.key[rows] = labels.key[parent] + self.steps[item] * portions
        labels.recent_at[rows], labels.recent_g[rows] = self._recent(place, parent, option)
        labels.left_worth[rows] = left @ self.to_go.price
        labels.count = rows.stop

    def _finish(self) -> Found:
        """Return the cheapest label at the finish with its row of bites."""
        labels, finish = self.labels, self.problem.places
        rows = self._rows(finish)
        cost = labels.base[rows] + self.to_go.curve[finish][labels.whole_g[rows]]
        cost = cost + self.arc_to[finish][labels.place[rows] + 1]
        if not cost.size or np.min(cost) >= self.known_cost - EPS:
            return Found(None, self.known_cost, self.lost)
        at = int(np.argmin(cost)) + rows.start
        choices: list[Choice] = []
        total = float(np.min(cost))
        while at > 0:
            choices.append((int(labels.place[at]), int(labels.option[at])))
            at = int(labels.parent[at])
        return Found(tuple(reversed(choices)), total, self.lost)


def _first_before(problem: FoodProblem, over_gap: bool) -> list[int]:
    """Return the earliest place within the longest gap before each place and the finish; -1 is the start."""
    if over_gap:
        return [-1] * (problem.places + 1)
    arrival_s = np.append(problem.clock_s, problem.end_s) - 1e-6
    return [int(row) - 1 for row in np.searchsorted(problem.until_s, arrival_s, side="left")]


def _most_in_an_hour(problem: FoodProblem) -> int:
    """Return how many bites an hour can hold: by the shortest gap, and by pins closer than that."""
    gap_s = problem.clock_s[None, :] - np.append(0.0, problem.clock_s)[:, None]
    closer = np.isfinite(problem.arc_cost[:, :-1]) & (gap_s < problem.shortest_gap_s - EPS) & (gap_s > 0)
    by_gap = int(HOUR_S / max(problem.shortest_gap_s, 60.0)) + 1
    return min(by_gap + int(closer.sum()), problem.places + 1)
