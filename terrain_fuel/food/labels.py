"""Labels pushed along the road in time order: the search for the best row of bites.

A label is a row of bites that ends at a place. To every place the labels of the places within
the longest gap are pushed on, each with every option; of those that arrive, the ones that
nothing can save are dropped: dearer than a plan already known, out of stock before the end, or
dominated by another with the same stock left. The cheapest by cost so far plus the bound on the
rest (bound.py) are kept. What is thrown away to keep the beam narrow is remembered by its
bound: it is what the answer may still be off by.

Places so near to each other that no bite follows another among them are taken in one round, as
columns of one length; what is kept is still counted by the place.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from terrain_fuel.food.bound import ToGo, bites_left
from terrain_fuel.food.problem import (
    HOUR_S,
    Choice,
    FoodProblem,
    over_gap_costs,
)
from terrain_fuel.food.sizes import beam_within
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray
from terrain_fuel.wanted import go_on

EPS = 1e-9
PARENTS_PER_LABEL = 2
ARRIVALS_PER_LABEL = 6
FRUGAL_SHARE = 0.3
FULL_HOUR_COST_PER_G = 0.1
MOST_IN_A_ROUND = 2000
"""Labels that a round may keep, its places together: more would no longer stay in the cache."""


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan of a search, None if none was cheaper than the one known.

    ``lost_bound`` is the least that anything thrown away for want of room could cost.
    """

    choices: tuple[Choice, ...] | None
    cost: float
    lost_bound: float


class _Labels:
    """Columns of all labels kept so far, in place order; row 0 is the start, others are filled when kept."""

    def __init__(self, problem: FoodProblem, recent: int, capacity: int, left_worth: float) -> None:
        self.count = 1
        self.place, self.option, self.item, self.parent, self.whole, self.key = (
            np.empty(capacity, dtype=np.int64) for _ in range(6)
        )
        self.base = np.empty(capacity)  # cost so far less the curve up to the place
        self.drawn_g, self.caffeine_mg = np.empty(capacity), np.empty(capacity)
        self.left = np.empty((capacity, problem.stock.size), dtype=np.int64)
        self.left_worth = np.empty(capacity)  # what is left of the stock, at the bound's prices
        self.recent_s = np.empty((recent, capacity))  # when the last bites were taken, the latest first
        self.recent_g = np.empty((recent, capacity))
        self.place[0] = self.option[0] = self.parent[0] = -1
        self.item[0], self.left[0] = problem.stock.size, problem.stock
        self.whole[0] = self.key[0] = self.base[0] = self.drawn_g[0] = self.caffeine_mg[0] = 0
        self.left_worth[0] = left_worth
        self.recent_s[:, 0], self.recent_g[:, 0] = -np.inf, 0.0


@dataclass(frozen=True, slots=True, eq=False)
class _Parents:
    """Labels pushed on to the places of a round, in place order; columns of one length."""

    place: IntArray
    label: IntArray
    reach: FloatArray
    hour_g: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class _Arrivals:
    """Labels that reach the places of a round, before the choice of which to keep; columns of one length."""

    place: IntArray
    parent: IntArray
    option: IntArray
    reach: FloatArray
    bound: FloatArray
    hour_g: FloatArray

    def take(self, rows: IntArray) -> "_Arrivals":
        """Return some of them."""
        return _Arrivals(
            self.place.take(rows),
            self.parent.take(rows),
            self.option.take(rows),
            self.reach.take(rows),
            self.bound.take(rows),
            self.hour_g.take(rows),
        )


class LabelSearch:
    """One pass of labels over a problem; see the module's head."""

    def __init__(
        self, problem: FoodProblem, to_go: ToGo, beam: int, known_cost: float, *, patience: int = 1
    ) -> None:
        self.problem, self.to_go, self.known_cost = problem, to_go, known_cost
        recent = _most_in_an_hour(problem)
        self.ground = _ground(problem)
        self.first_before = _first_before(problem, to_go, known_cost)
        reach = float(np.mean(np.arange(problem.places + 1) - self.first_before))
        self.beam = beam_within(problem, beam, recent, PARENTS_PER_LABEL, reach, patience=patience)
        left_worth = float(np.dot(to_go.price, problem.stock))
        self.labels = _Labels(problem, recent, 1 + self.beam * problem.places, left_worth)
        self.priced = bool(to_go.price.any())
        self.clock_s = problem.clock_s
        self.first_label = np.ones(problem.places + 1, dtype=np.int64)
        self.steps = np.random.default_rng(20270508).integers(1, 2**62, size=problem.stock.size + 4)
        self.lost = np.inf

    def run(self) -> Found:
        """Push labels from the start to the finish and return the best plan."""
        for first, end in self.to_go.ways.rounds(max(1, MOST_IN_A_ROUND // self.beam)):
            go_on()
            begun = self.labels.count
            if self._first_row(first) >= begun:  # no label reaches this place, and so none behind it
                self.first_label[first:] = begun
                break
            parents = self._parents(first, end)
            if parents.label.size:
                self._keep(self._expand(parents))
            kept = self.labels.place[begun : self.labels.count]
            self.first_label[first:end] = begun + np.searchsorted(kept, np.arange(first, end))
        self.first_label[self.problem.places] = self.labels.count
        return self._finish()

    def _first_row(self, place: int) -> int:
        """Return the first of the labels within the longest gap before a place (n is the finish)."""
        before = int(self.first_before[place])
        return 0 if before < 0 else int(self.first_label[before])

    def _parents(self, first: int, end: int) -> _Parents:
        """Return the labels worth pushing on to the places of a round."""
        labels, places = self.labels, np.arange(first, end)
        rows = slice(self._first_row(first), labels.count)
        whole = labels.whole[rows]
        reach = self.to_go.ways.curve[first:end].take(whole, axis=1)
        reach += labels.base[rows]
        reach += self.ground.arc_to[first:end].take(labels.place[rows] + 1, axis=1)
        bound = self.to_go.eating.ahead(first, end, labels.item[rows], whole)
        bound += reach
        if self.priced:
            bound -= labels.left_worth[rows]
        worth = bound < self.known_cost - EPS
        for later in range(1, places.size):
            worth[later, : self._first_row(first + later) - rows.start] = False
        turn, label = np.nonzero(worth)
        place = places.take(turn)
        hour_g = self._hour_g(place, label + rows.start)
        fits = hour_g + self.ground.least_g.take(place) <= self.problem.room_g.take(place) + EPS
        turn, label, place, hour_g = turn[fits], label[fits], place[fits], hour_g[fits]
        kept = self._cheapest(place, bound[turn, label], hour_g, PARENTS_PER_LABEL * self.beam)
        turn, label = turn[kept], label[kept]
        return _Parents(place[kept], label + rows.start, reach[turn, label], hour_g[kept])

    def _cheapest(self, place: IntArray, bound: FloatArray, hour_g: FloatArray, most: int) -> IntArray:
        """Return the positions of the ``most`` to keep at each place, remembering the bound of what is lost.

        Most are kept by their bound alone; as it is blind to the hour's limit, some by the bound
        and a charge on what the last hour holds, so that the frugal live to the next bite.
        """
        if bound.size <= most:
            return np.arange(bound.size)
        starts = [0, *(np.flatnonzero(place[1:] != place[:-1]) + 1).tolist()]
        kept = []
        for start, end in pairwise([*starts, place.size]):
            if end - start <= most:
                kept.append(np.arange(start, end))
            else:
                kept.append(start + self._cheapest_of(bound[start:end], hour_g[start:end], most))
        return np.concatenate(kept)

    def _cheapest_of(self, bound: FloatArray, hour_g: FloatArray, most: int) -> IntArray:
        by_bound = most - int(FRUGAL_SHARE * most)
        order = bound.argpartition(by_bound)
        best, others = order[:by_bound], order[by_bound:]
        dear = bound.take(others)
        frugal = (dear + FULL_HOUR_COST_PER_G * hour_g.take(others)).argpartition(most - by_bound)
        self.lost = min(self.lost, float(dear.take(frugal[most - by_bound :]).min()))
        kept = np.concatenate((best, others.take(frugal[: most - by_bound])))
        kept.sort()
        return kept

    def _expand(self, parents: _Parents) -> _Arrivals:
        """Return what arrives at the places: every parent with every option that it can afford."""
        problem, labels = self.problem, self.labels
        at, which = np.nonzero(self._affordable(parents))
        place, parent = parents.place.take(at), parents.label.take(at)
        item, added = problem.option_item.take(which), problem.option_whole.take(which)
        cost = self._cost_of_bites(parents)[at, which]
        drawn = problem.drawn[place, which]
        portions = problem.option_portions.take(which) * drawn
        bound = cost + self.to_go.after.at(place + 1, item, labels.whole.take(parent) + added)
        if self.priced:
            bound += self.to_go.price.take(item) * portions - labels.left_worth.take(parent)
        grams = problem.option_g.take(which)
        portions_left = labels.left.take(parents.label, axis=0).sum(axis=1).take(at) - portions
        drawn_g = labels.drawn_g.take(parent) + grams * drawn
        bites = bites_left(problem, self.to_go.most_bites, portions_left, drawn_g)
        bound += self.to_go.over[place + 1, bites]
        hour_g = parents.hour_g.take(at) + grams
        good = np.flatnonzero(bound < self.known_cost - EPS)
        return _Arrivals(place, parent, which, cost, bound, hour_g).take(good)

    def _cost_of_bites(self, parents: _Parents) -> FloatArray:
        """Return what every parent costs with every option, shape (parents, options)."""
        pair_at = self.ground.pair_at
        row = parents.place * pair_at.shape[1] + self.labels.item.take(parents.label)
        pairs = pair_at.reshape(-1, pair_at.shape[2]).take(row, axis=0)
        cost = self.problem.node_cost.take(parents.place, axis=0)
        cost += parents.reach[:, None]
        cost += pairs.take(self.problem.option_item, axis=1)
        return cost

    def _affordable(self, parents: _Parents) -> BoolArray:
        """Return which options the stock and the hour allow each parent, shape (parents, options)."""
        problem, labels, label = self.problem, self.labels, parents.label
        place, grams = parents.place[:, None], problem.option_g
        fits = self.ground.possible.take(parents.place, axis=0)
        fits &= parents.hour_g[:, None] + grams <= problem.room_g[place] + EPS
        left = labels.left.take(label, axis=0)
        if (left.min(axis=0).take(problem.option_item) < problem.option_portions).any():
            asked = problem.option_portions * problem.drawn.take(parents.place, axis=0)
            fits &= left.take(problem.option_item, axis=1) >= asked
        # what adds up over the day is looked at only when the largest bite might pass its limit
        drawn_g, caffeine_mg = labels.drawn_g.take(label), labels.caffeine_mg.take(label)
        if drawn_g.max() + grams.max() > problem.stock_g:
            drawn = problem.drawn.take(parents.place, axis=0)
            fits &= drawn_g[:, None] + grams * drawn <= problem.stock_g + EPS
        if caffeine_mg.max() + problem.option_caffeine_mg.max() > problem.caffeine_mg_max:
            fits &= caffeine_mg[:, None] + problem.option_caffeine_mg <= problem.caffeine_mg_max + EPS
        for rows, later, spare_g in self._room_for_pins(parents.place):
            hour_g = self._hour_g(np.full(rows.size, later), parents.label[rows])
            fits[rows] &= hour_g[:, None] + grams <= spare_g + EPS
        return fits

    def _room_for_pins(self, parents_at: IntArray) -> list[tuple[IntArray, int, float]]:
        """Return the forced places of the hour after a bite, and what they leave for bites up to it [g].

        With each come the rows of ``parents_at`` that push to the bite's place.
        """
        room = []
        for place in np.unique(parents_at).tolist() if self.problem.forced else ():
            rows, ahead_g = np.flatnonzero(parents_at == place), 0.0
            for later in self.problem.forced:
                if later > place and self.clock_s[later] - self.clock_s[place] <= HOUR_S:
                    ahead_g += float(self.ground.least_g[later])
                    room.append((rows, later, float(self.problem.room_g[later]) - ahead_g))
        return room

    def _hour_g(self, place: IntArray, labels: IntArray) -> FloatArray:
        """Return the food that each label has eaten in the hour before a place [g]."""
        since_s = self.problem.hour_from_s.take(place)
        eaten_g = np.zeros(labels.size)
        for when_s, grams in zip(self.labels.recent_s, self.labels.recent_g, strict=True):
            within = when_s.take(labels) >= since_s
            if not within.any():
                break
            eaten_g += grams.take(labels) * within
        return eaten_g

    def _keep(self, arrivals: _Arrivals) -> None:
        """Keep the cheapest arrivals at each place that none of the others there dominates."""
        most = ARRIVALS_PER_LABEL * self.beam
        few = arrivals.take(self._cheapest(arrivals.place, arrivals.bound, arrivals.hour_g, most))
        if not few.place.size:
            return
        few = few.take(np.lexsort((few.reach, few.place)))
        best = few.take(self._undominated(few, _first_of_each(self._state_key(few))))
        self._store(best.take(self._cheapest(best.place, best.bound, best.hour_g, self.beam)))

    def _state_key(self, arrivals: _Arrivals) -> IntArray:
        """Return a number that tells apart place, what is left, the grams eaten and the item just eaten."""
        problem, labels = self.problem, self.labels
        parent, option = arrivals.parent, arrivals.option
        item = problem.option_item.take(option)
        portions = problem.option_portions.take(option) * problem.drawn[arrivals.place, option]
        whole = labels.whole.take(parent) + problem.option_whole.take(option)
        stock_key = labels.key.take(parent) + self.steps.take(item) * portions
        caffeine_mg = labels.caffeine_mg.take(parent) + problem.option_caffeine_mg.take(option)
        key = stock_key + self.steps[-1] * whole + self.steps[-2] * item
        key += self.steps[-4] * arrivals.place
        return np.asarray(key + self.steps[-3] * np.rint(1000 * caffeine_mg).astype(np.int64))

    def _undominated(self, arrivals: _Arrivals, keeper: IntArray) -> IntArray:
        """Return the arrivals to keep: the cheapest of each state, and those with more room in the hour.

        ``keeper`` is the cheapest arrival of the same state: the same place, the same item just eaten,
        the same stock left and so the same grams. It dominates one that since any of its own bites of
        the last hour has eaten no less.
        """
        stays = keeper == np.arange(keeper.size)
        others = np.flatnonzero(~stays)
        if not others.size:
            return np.flatnonzero(stays)
        mine, kept = arrivals.take(others), arrivals.take(keeper[others])
        theirs_s, theirs_g = self._last_bites(kept, self.problem.hour_from_s[mine.place])
        my_s, my_g = self._last_bites(mine, theirs_s.min(axis=0))
        within = my_s[None] >= theirs_s[:, None]
        mine_since_g = np.add.reduce(my_g * within, axis=1)
        counts = theirs_s >= self.problem.hour_from_s[mine.place]
        stays[others] = (counts & (np.cumsum(theirs_g, axis=0) > mine_since_g + EPS)).any(axis=0)
        return np.flatnonzero(stays)

    def _last_bites(self, arrivals: _Arrivals, since_s: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return when the last bites were taken and what they brought [s, g], the latest first.

        As many rows as any of the arrivals has bites since its moment, shapes (bites, arrivals).
        """
        when_s = [self.clock_s.take(arrivals.place)]
        grams = [self.problem.option_g.take(arrivals.option)]
        for bite_s, bite_g in zip(self.labels.recent_s, self.labels.recent_g, strict=True):
            row_s = bite_s.take(arrivals.parent)
            if not (row_s >= since_s).any():
                break
            when_s.append(row_s)
            grams.append(bite_g.take(arrivals.parent))
        return np.array(when_s), np.array(grams)

    def _store(self, kept: _Arrivals) -> None:
        problem, labels = self.problem, self.labels
        place, option, parent = kept.place, kept.option, kept.parent
        rows = slice(labels.count, labels.count + parent.size)
        item, grams = problem.option_item.take(option), problem.option_g.take(option)
        drawn = problem.drawn[place, option]
        portions = problem.option_portions.take(option) * drawn
        whole = labels.whole.take(parent) + problem.option_whole.take(option)
        labels.place[rows], labels.option[rows], labels.item[rows] = place, option, item
        labels.parent[rows], labels.whole[rows] = parent, whole
        labels.base[rows] = kept.reach - self.to_go.ways.left[place, whole]
        labels.drawn_g[rows] = labels.drawn_g.take(parent) + grams * drawn
        labels.caffeine_mg[rows] = labels.caffeine_mg.take(parent) + problem.option_caffeine_mg.take(option)
        left = labels.left.take(parent, axis=0)
        left[np.arange(parent.size), item] -= portions
        labels.left[rows] = left
        labels.key[rows] = labels.key.take(parent) + self.steps.take(item) * portions
        labels.recent_s[0, rows], labels.recent_g[0, rows] = self.clock_s.take(place), grams
        labels.recent_s[1:, rows] = labels.recent_s[:-1].take(parent, axis=1)
        labels.recent_g[1:, rows] = labels.recent_g[:-1].take(parent, axis=1)
        labels.left_worth[rows] = left @ self.to_go.price if self.priced else 0.0
        labels.count = rows.stop

    def _finish(self) -> Found:
        """Return the cheapest label at the finish with its row of bites."""
        labels, finish = self.labels, self.problem.places
        rows = slice(self._first_row(finish), labels.count)
        cost = labels.base[rows] + self.to_go.ways.curve[finish][labels.whole[rows]]
        cost = cost + self.ground.arc_to[finish][labels.place[rows] + 1]
        if not cost.size or np.min(cost) >= self.known_cost - EPS:
            return Found(None, self.known_cost, self.lost)
        at = int(np.argmin(cost)) + rows.start
        choices: list[Choice] = []
        total = float(np.min(cost))
        while at > 0:
            choices.append((int(labels.place[at]), int(labels.option[at])))
            at = int(labels.parent[at])
        return Found(tuple(reversed(choices)), total, self.lost)


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What every search of a problem reads: its costs the way round that is quick to look up.

    ``possible`` (n, k) and ``least_g`` (n,) say what may be eaten and the least of it [g], ``arc_to`` (n + 1,
    n + 1) is what gaps cost by their end, ``pair_at`` (n, m + 1, m) pairs by place, the last for the start.
    """

    possible: BoolArray
    least_g: FloatArray
    arc_to: FloatArray
    pair_at: FloatArray


@lru_cache(maxsize=1)
def _ground(problem: FoodProblem) -> _Ground:
    possible = np.isfinite(problem.node_cost)
    start = np.zeros((problem.places, 1, problem.stock.size))
    return _Ground(
        possible=possible,
        least_g=np.min(np.where(possible, problem.option_g, np.inf), axis=1, initial=np.inf),
        arc_to=np.ascontiguousarray(problem.arc_cost.T),
        pair_at=np.ascontiguousarray(np.concatenate((np.moveaxis(problem.pair_cost, 2, 0), start), axis=1)),
    )


def _first_of_each(keys: IntArray) -> IntArray:
    """Return for each key the position of the first that is equal."""
    order = keys.argsort(kind="stable")
    ordered = keys[order]
    begins = np.empty(keys.size, dtype=bool)
    begins[:1], begins[1:] = True, ordered[1:] != ordered[:-1]
    first = np.empty_like(order)
    first[order] = order[begins.nonzero()[0]][begins.cumsum() - 1]
    return first


def _first_before(problem: FoodProblem, to_go: ToGo, known_cost: float) -> IntArray:
    """Return the earliest place from which a bite may follow at each place and the finish; -1 is the start.

    That is within the longest gap, or where gaps may be too long, within one that alone costs no more than
    the plan known, with what must come after.
    """
    if not to_go.over_gap:
        arrival_s = np.append(problem.clock_s, problem.end_s) - 1e-6
        return np.searchsorted(problem.until_s, arrival_s, side="left") - 1
    cost = over_gap_costs(problem) + np.append(to_go.over[1:, -1], 0.0)
    return np.asarray(np.argmax(cost < known_cost, axis=0)) - 1


def _most_in_an_hour(problem: FoodProblem) -> int:
    """Return how many bites an hour can hold: by the shortest gap, and by pins closer than that."""
    by_gap = int(HOUR_S / max(problem.shortest_gap_s, 60.0)) + 1
    if not problem.forced:
        return min(by_gap, problem.places + 1)
    gap_s = problem.clock_s[None, :] - np.append(0.0, problem.clock_s)[:, None]
    closer = np.isfinite(problem.arc_cost[:, :-1]) & (gap_s < problem.shortest_gap_s - EPS) & (gap_s > 0)
    return min(by_gap + int(closer.sum()), problem.places + 1)
