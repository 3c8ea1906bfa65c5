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
from itertools import pairwise

import numpy as np

from terrain_fuel.food.bound import ToGo, bites_left
from terrain_fuel.food.ground import first_before, ground_of, most_in_an_hour
from terrain_fuel.food.label_columns import Arrivals, Labels
from terrain_fuel.food.problem import EPS, HOUR_S, Choice, FoodProblem
from terrain_fuel.food.sizes import beam_within
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray
from terrain_fuel.wanted import go_on

PARENTS_PER_LABEL = 2
ARRIVALS_PER_LABEL = 6
FRUGAL_SHARE = 0.3
FULL_HOUR_COST_PER_G = 0.1
MOST_IN_A_ROUND = 2000
"""Labels that a round may keep, its places together: more would no longer stay in the cache."""

ROUND_NUMBERS, LOOK_NUMBERS, BITE_NUMBERS, ARRIVAL_NUMBERS = 200_000, 60, 10, 60
"""What a round, a label looked at, a bite tried and one that arrives count as work."""


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan of a search, None if none was cheaper than the one known.

    ``lost_bound`` is the least that anything thrown away for want of room could cost.
    """

    choices: tuple[Choice, ...] | None
    cost: float
    lost_bound: float


@dataclass(frozen=True, slots=True, eq=False)
class _Parents:
    """Labels pushed on to the places of a round, in place order; columns of one length."""

    place: IntArray
    label: IntArray
    reach: FloatArray
    hour_g: FloatArray


class LabelSearch:
    """One pass of labels over a problem; see the module's head."""

    def __init__(
        self, problem: FoodProblem, to_go: ToGo, beam: int, known_cost: float, *, patience: int = 1
    ) -> None:
        self.problem, self.to_go, self.known_cost = problem, to_go, known_cost
        recent = most_in_an_hour(problem)
        self.ground = ground_of(problem)
        self.first_before = first_before(problem, to_go, known_cost)
        reach = float(np.mean(np.arange(problem.places + 1) - self.first_before))
        self.beam = beam_within(problem, beam, recent, PARENTS_PER_LABEL, reach, patience=patience)
        self.labels = Labels(problem, to_go, recent, 1 + self.beam * problem.places)
        self.clock_s = problem.clock_s
        self.first_label = np.ones(problem.places + 1, dtype=np.int64)
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
        looked = places.size * (rows.stop - rows.start)
        self.problem.work.add(ROUND_NUMBERS + LOOK_NUMBERS * looked)
        whole = labels.whole[rows]
        reach = self.to_go.ways.curve[first:end].take(whole, axis=1)
        reach += labels.base[rows]
        reach += self.ground.arc_to[first:end].take(labels.place[rows] + 1, axis=1)
        bound = self.to_go.eating.ahead(first, end, labels.item[rows], whole)
        bound += reach
        if self.labels.priced:
            bound -= labels.left_worth[rows]
        worth = bound < self.known_cost - EPS
        for later in range(1, places.size):
            worth[later, : self._first_row(first + later) - rows.start] = False
        turn, label = np.nonzero(worth)
        place = places.take(turn)
        hour_g = self.labels.hour_g(place, label + rows.start)
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

    def _expand(self, parents: _Parents) -> Arrivals:
        """Return what arrives at the places: every parent with every option that it can afford."""
        problem, labels, ground = self.problem, self.labels, self.ground
        first, end = int(parents.place[0]), int(parents.place[-1]) + 1
        options = np.flatnonzero(ground.possible[first:end].any(axis=0))
        problem.work.add(BITE_NUMBERS * parents.label.size * options.size)
        at, column = np.nonzero(self._affordable(parents, options))
        problem.work.add(ARRIVAL_NUMBERS * at.size)
        place, parent, which = parents.place.take(at), parents.label.take(at), options.take(column)
        cell, item = ground.cell(place, which), problem.option_item.take(which)
        cost = ground.node_cost.take(cell)
        cost += parents.reach.take(at)
        _, items_before, items = ground.pair_at.shape
        cost += ground.pair_at.take((place * items_before + labels.item.take(parent)) * items + item)
        whole = labels.whole.take(parent) + problem.option_whole.take(which)
        bound = cost + self.to_go.after.at(place + 1, item, whole)
        if labels.priced:
            bound += self.to_go.price.take(item) * ground.portions.take(cell) - labels.left_worth.take(parent)
        bound += self._over(parents, at, cell)
        hour_g = parents.hour_g.take(at) + problem.option_g.take(which)
        good = np.flatnonzero(bound < self.known_cost - EPS)
        return Arrivals(place, parent, which, cost, bound, hour_g).take(good)

    def _over(self, parents: _Parents, at: IntArray, cell: IntArray) -> FloatArray:
        """Return what gaps that are too long must cost after bites, with what they leave of the stock.

        Mostly so much is left whatever is eaten that nothing hangs on how much.
        """
        problem, most, label = self.problem, self.to_go.most_bites, parents.label
        over, place = self.to_go.over, parents.place.take(at) + 1
        portions_left, drawn_g = self.labels.portions_left.take(label), self.labels.drawn_g.take(label)
        largest, most_g = problem.option_portions.max(initial=0), problem.option_g.max(initial=0.0)
        fewest = bites_left(problem, most, portions_left.min() - largest, drawn_g.max() + most_g)
        rows = slice(int(parents.place[0]) + 1, int(parents.place[-1]) + 2)
        if (over[rows, fewest] == over[rows, most]).all():
            return over[:, most].take(place)
        portions_left = portions_left.take(at) - self.ground.portions.take(cell)
        drawn_g = drawn_g.take(at) + self.ground.drawn_g.take(cell)
        return np.asarray(over[place, bites_left(problem, most, portions_left, drawn_g)])

    def _affordable(self, parents: _Parents, options: IntArray) -> BoolArray:
        """Return which of some options the stock and the hour allow each parent, shape (parents, options)."""
        problem, labels, label = self.problem, self.labels, parents.label
        place, grams = parents.place[:, None], problem.option_g.take(options)
        item, caffeine_mg = problem.option_item.take(options), problem.option_caffeine_mg.take(options)
        fits = self.ground.possible.take(parents.place, axis=0).take(options, axis=1)
        fits &= parents.hour_g[:, None] + grams <= problem.room_g[place] + EPS
        left = labels.left.take(label, axis=0)
        if (left.min(axis=0).take(item) < problem.option_portions.take(options)).any():
            asked = self.ground.portions.take(parents.place, axis=0).take(options, axis=1)
            fits &= left.take(item, axis=1) >= asked
        # what adds up over the day is looked at only when the largest bite might pass its limit
        eaten_g, eaten_mg = labels.drawn_g.take(label), labels.caffeine_mg.take(label)
        if eaten_g.max() + grams.max(initial=0.0) > problem.stock_g:
            drawn_g = self.ground.drawn_g.take(parents.place, axis=0).take(options, axis=1)
            fits &= eaten_g[:, None] + drawn_g <= problem.stock_g + EPS
        if eaten_mg.max() + caffeine_mg.max(initial=0.0) > problem.caffeine_mg_max:
            fits &= eaten_mg[:, None] + caffeine_mg <= problem.caffeine_mg_max + EPS
        for rows, later, spare_g in self._room_for_pins(parents.place):
            hour_g = self.labels.hour_g(np.full(rows.size, later), parents.label[rows])
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

    def _keep(self, arrivals: Arrivals) -> None:
        """Keep the cheapest arrivals at each place that none of the others there dominates."""
        most = ARRIVALS_PER_LABEL * self.beam
        rows = self._cheapest(arrivals.place, arrivals.bound, arrivals.hour_g, most)
        if not rows.size:
            return
        few = arrivals.take(rows.take(np.lexsort((arrivals.reach.take(rows), arrivals.place.take(rows)))))
        rows = self.labels.undominated(few)
        kept = self._cheapest(few.place.take(rows), few.bound.take(rows), few.hour_g.take(rows), self.beam)
        self.labels.add(few.take(rows.take(kept)))

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
