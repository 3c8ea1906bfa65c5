"""Counting back from the finish what is still to be paid at the least, some places at a time."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from terrain_fuel.food.bands import Bands, cheapest_of_each_size, widest
from terrain_fuel.food.problem import FoodProblem
from terrain_fuel.food.ways import Ways
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray
from terrain_fuel.wanted import go_on
from terrain_fuel.work import Work

MOST_AT_ONCE = 200_000
"""Numbers that are added and compared at once: more would no longer stay in the cache."""


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Costs by row, food and grams: each row's from some grams on, inf before and behind.

    ``values`` have shape (rows, foods, width + 2), the first and the last column inf; ``start`` are the grams
    of the second. With one food only foods are not told apart.
    """

    values: FloatArray
    start: IntArray

    @classmethod
    def empty(cls, foods: int, blocks: list[tuple[int, int, slice]]) -> "Table":
        """Return a table of nothing but inf for rows that come in blocks, each with its grams."""
        width = max((max(within.stop - within.start, 0) for *_, within in blocks), default=0)
        start = [within.start for first, end, within in blocks for _ in range(first, end)]
        return cls(np.full((len(start), foods, width + 2), np.inf), np.array(start, dtype=np.int64))

    @property
    def apart(self) -> bool:
        """True where foods are told apart."""
        return bool(self.values.shape[1] > 1)

    def at(self, row: IntArray | int, food: IntArray | int, whole: IntArray | int) -> FloatArray:
        """Return the costs at rows, foods and grams of any shapes that fit together."""
        _, foods, width = self.values.shape
        column = np.minimum(np.maximum(whole - (self.start[row] - 1), 0), width - 1)
        if self.apart:
            column = column + np.asarray(food) * width
        return np.asarray(self.values.take(column + np.asarray(row) * (foods * width)))

    def ahead(self, first: int, end: int, food: IntArray, whole: IntArray) -> FloatArray:
        """Return the costs at each of some rows for each of some foods and grams, shape (rows, foods).

        Rows that have the same grams are looked up together.
        """
        _, foods, width = self.values.shape
        flat, start = self.values.reshape(-1, foods * width), self.start[first:end]
        found = np.empty((end - first, whole.size))
        edges = [0, *(np.flatnonzero(start[1:] != start[:-1]) + 1).tolist(), end - first]
        for begin, stop in pairwise(edges):
            column = np.minimum(np.maximum(whole - (start[begin] - 1), 0), width - 1)
            if self.apart:
                column += food * width
            flat[first + begin : first + stop].take(column, axis=1, out=found[begin:stop], mode="clip")
        return found

    def block(self, first: int, end: int, within: slice) -> FloatArray:
        """Return the costs of a block with its grams, to be read or filled."""
        return self.values[first:end, :, 1 : 1 + within.stop - within.start]

    def whole(self) -> FloatArray:
        """Return the costs of a table that leaves no grams out and does not tell foods apart."""
        return self.values[:, 0, 1:-1]


def count_back(
    problem: FoodProblem, ways: Ways, charged: FloatArray, bands: Bands, *, apart: bool
) -> tuple[Table, Table]:
    """Return the least to come behind each bite and from each bite on, within the bands.

    Where foods are told apart the last of the table is for nothing eaten yet. Of places among which no bite
    follows another, all are counted together.
    """
    foods = problem.stock.size + 1 if apart else 1
    places, grams = problem.places, ways.curve.shape[1]
    mean_g = float(np.mean(bands.before[:, 1] - bands.before[:, 0])) if places else 1.0
    rounds = ways.rounds(max(1, int(MOST_AT_ONCE / (foods**2 * max(mean_g, 1.0)))))
    within_after = widest(bands.after, [0, *(first + 1 for first, _ in rounds)])
    within_before = widest(bands.before, [first for first, _ in rounds])
    runs = zip([(-1, 0), *rounds], within_after, strict=True)
    leaving = [(first + 1, end + 1, within) for (first, end), within in runs]
    arriving = [(*each, within) for each, within in zip(rounds, within_before, strict=True)]
    after, eating = Table.empty(foods, leaving), Table.empty(foods, arriving)
    ahead = _Ahead(ways, foods, problem.work)
    bites = _Eating(problem, charged, foods)
    for (row, end_row, within), arrival in zip(reversed(leaving), [*reversed(arriving), None], strict=True):
        go_on()
        if within.start < within.stop:
            least = after.block(row, end_row, within)
            least[...] = ahead.least_on(row, end_row, within)
            if row:
                least -= ways.left[row - 1 : end_row - 1, None, within]
        if arrival is not None:
            first, end, before = arrival
            if before.start < before.stop and within.start < within.stop:
                eaten = eating.block(first, end, before)
                bites.at(slice(first, end), least, within.start, before, out=eaten)
                onward = np.empty((end - first, foods, grams))
                onward[..., : before.start] = onward[..., before.stop :] = np.inf
                np.add(eaten, ways.curve[first:end, None, before], out=onward[..., before])
                ahead.add(first, onward)
    return after, eating


class _Ahead:
    """The least from arriving at each place ahead, with the curve up to it; of those not near, together.

    Places at which nothing is within the bands are left out.
    """

    def __init__(self, ways: Ways, foods: int, work: Work) -> None:
        self.ways, self.work = ways, work
        finish, grams = ways.curve.shape[0] - 1, ways.curve.shape[1]
        self.onward = {finish: np.broadcast_to(ways.curve[finish], (foods, grams))}
        self.beyond, self.beyond_from = np.full((foods, grams), np.inf), finish + 1

    def add(self, first: int, onward: FloatArray) -> None:
        """Take in some places, the first and those behind it."""
        self.onward.update(enumerate(onward, first))

    def least_on(self, row: int, end_row: int, within: slice) -> FloatArray:
        """Return the least over the ways on from some rows, shape (rows, foods, grams within)."""
        ways, first = self.ways, end_row - 1
        until = int(ways.near[first])
        self._join_from(until)
        foods, width = self.beyond.shape[0], within.stop - within.start
        ahead = [place for place in range(first, until) if place in self.onward]
        self.work.add((end_row - row) * len(ahead) * foods * width)
        near = np.array([self.onward[place][:, within] for place in ahead]).reshape(len(ahead), foods * width)
        least = _least_sum(ways.near_arcs[row:end_row, ahead], near).reshape(end_row - row, foods, width)
        for each in (row + np.flatnonzero(np.isfinite(ways.far_cost[row:end_row]))[::-1]).tolist():
            self._join_from(int(ways.near[each]))
            far = self.beyond[:, within] + ways.far_cost[each]
            np.minimum(least[each - row], far, out=least[each - row])
        return least

    def _join_from(self, place: int) -> None:
        """Put a place and those behind it to what is far from here on, whose least alone is kept."""
        while self.beyond_from > place:
            self.beyond_from -= 1
            if self.beyond_from in self.onward:
                np.minimum(self.beyond, self.onward.pop(self.beyond_from), out=self.beyond)


def _least_sum(arcs: FloatArray, onward: FloatArray) -> FloatArray:
    """Return the least sums over the ways, (rows, columns), of what is (rows, ways) and (ways, columns)."""
    if arcs.shape[0] * onward.size <= MOST_AT_ONCE:
        return np.asarray(np.min(onward + arcs[..., None], axis=1, initial=np.inf))
    least = np.full((arcs.shape[0], onward.shape[1]), np.inf)
    one_way = np.empty_like(least)
    for way in np.flatnonzero(np.isfinite(arcs).any(axis=0)).tolist():
        np.add(onward[way], arcs[:, way, None], out=one_way)
        np.minimum(least, one_way, out=least)
    return least


class _Eating:
    """What a bite costs and leads to, for some places after others.

    Where foods are not told apart, of the options of one size the cheapest alone counts. Where they are, the
    options stand in rows, each with one of every item, so that whole rows are compared; where an item has
    fewer, an option that is charged infinitely stands in.
    """

    def __init__(self, problem: FoodProblem, charged: FloatArray, foods: int) -> None:
        self.work = problem.work
        fits = np.flatnonzero(problem.option_whole <= problem.most_whole)
        if foods == 1:
            sizes, charged = cheapest_of_each_size(problem.option_whole[fits], charged[:, fits])
            self.whole, self.charged = sizes[:, None], charged[:, :, None, None]
            self.item, self.pair_cost = np.zeros(1, dtype=np.int64), None
            return
        items, item = foods - 1, problem.option_item
        nth = np.array([np.sum(item[fits[:at]] == item[option]) for at, option in enumerate(fits)], dtype=int)
        option = np.full((int(nth.max(initial=0)) + 1, items), -1)
        option[nth, item[fits]] = fits
        self.whole = np.append(problem.option_whole, 0)[option]
        self.item = np.arange(items)
        never = np.full((charged.shape[0], 1), np.inf)
        self.charged = np.concatenate((charged, never), axis=1)[:, option, None]
        self.pair_cost = np.moveaxis(problem.pair_cost, 2, 0)[..., None]

    def at(self, places: slice, after: FloatArray, after_from: int, within: slice, out: FloatArray) -> None:
        """Fill ``out`` with the least over the options of a bite and what follows it, within some grams.

        Shapes (places, foods, grams): by item and grams before the bite; ``after`` by those behind it, the
        first of which are given.
        """
        width, most = within.stop - within.start, int(self.whole.max(initial=0))
        pairs = 0 if self.pair_cost is None else self.item.size**2
        self.work.add((places.stop - places.start) * width * (self.whole.size + pairs))
        later = np.full((*after.shape[:2], width + most), np.inf)
        first = max(within.start, after_from)
        known = after[..., first - after_from : within.stop + most - after_from]
        later[..., first - within.start : first - within.start + known.shape[2]] = known
        from_g = np.lib.stride_tricks.sliding_window_view(later, width, axis=2)
        options = from_g[:, self.item, self.whole]
        options += self.charged[places]
        best = np.min(options, axis=1, initial=np.inf)
        if self.pair_cost is not None:
            np.min(self.pair_cost[places] + best[:, None], axis=2, out=out[:, :-1])
        np.min(best, axis=1, out=out[:, -1])
