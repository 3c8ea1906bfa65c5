"""What gaps that are too long must cost where hours are full: the bites that would shorten them do not fit.

When an hour has room for two bites, a bite and the next but one stand more than an hour apart, and of the
two gaps between them one is too long if the rider's longest is half an hour. From each bite back to the first
that no longer fits into its hour there is such a block of gaps. What they cost at the least is known whatever
is eaten: from the places where one may eat, and from how long they are in all. Rows of bites are counted
forward, the last two told apart: each last one comes by its own block and by what the one before it cost.
Where little of what is light is at hand it is counted along: without it hours are full sooner.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.bound import LEAST_BITE_G, over_gap_steps
from terrain_fuel.food.problem import EPS, HOUR_S, FoodProblem
from terrain_fuel.food.unavoidable import Moments, least_together
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray

A_LITTLE_S = 1e-6
"""An hour is passed by more, unless moments stand just an hour apart."""

PAIR_NUMBERS = 100
"""What every two slots count as work, beside the bites between them."""

MOST_COUNTED, MOST_SLOTS = 20, 600
"""No more light bites than this are counted; with none counted the road is cut into about so many slots."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Bites as light or heavy: the least of either [g], and how many light ones there are, None uncounted."""

    light_g: float
    heavy_g: float
    light_ones: int | None

    @property
    def all_counted(self) -> bool:
        """True where every bite is a light one and counts."""
        return self.light_ones is not None and np.isinf(self.heavy_g)

    @property
    def slots(self) -> int:
        """Into how many slots the road is cut: fewer where more is counted along."""
        return int(MOST_SLOTS / (1 + (self.light_ones or 0)) ** (1 / 3))


def tell_sizes(problem: FoodProblem) -> Iterator[Sizes]:
    """Yield the ways to tell light bites from heavy that may show an hour to be full.

    ``problem`` is without options that nobody can eat. First all are light, then those lighter than a food.
    """
    at_hand = (problem.stock > 0)[problem.option_item] | ~problem.drawn.all(axis=0)
    if not at_hand.any():
        return
    light_g = max(float(np.min(problem.option_g[at_hand])), LEAST_BITE_G)
    single_g = np.unique(problem.option_g[at_hand & (problem.option_portions == 1)])
    for heavy_g in [np.inf, *single_g[single_g > light_g].tolist()]:
        light = problem.option_g < heavy_g
        ones = int(problem.stock[np.unique(problem.option_item[light])].sum())
        counted = ones <= MOST_COUNTED and bool(problem.drawn[:, light].all())
        sizes = Sizes(light_g, heavy_g, ones if counted else None)
        if (counted or np.isinf(heavy_g)) and _fill_hours(problem, sizes):
            yield sizes


def _fill_hours(problem: FoodProblem, sizes: Sizes) -> bool:
    """Return whether such bites may fill any hour before it has all that it wants."""
    fewest_g = sizes.light_g if np.isinf(sizes.heavy_g) else sizes.heavy_g
    return bool(np.any(_wanted_in_an_hour(problem) * fewest_g > problem.room_g + EPS))


def _wanted_in_an_hour(problem: FoodProblem) -> int:
    """Return with how many bites in an hour no gap need be too long, one more for roads without food."""
    return int(np.ceil(HOUR_S / problem.longest_gap_s)) + 1


@dataclass(frozen=True, slots=True, eq=False)
class _Blocks:
    """What gaps cost, from slot to slot, shape (n, n), inf where they may not be.

    ``gaps`` are the least of so many gaps in a row, ``whole`` the least of so many that leave the hour, by
    how long they are in all.
    """

    gaps: dict[int, FloatArray]
    whole: dict[int, FloatArray]

    @property
    def most(self) -> int:
        """The most gaps of a block."""
        return max(self.whole)


@dataclass(frozen=True, slots=True)
class _Way:
    """How an hour may be filled: its bites, the counted ones among them, and at which slots it is then full.

    ``bites`` is 0 for more than matter: such an hour is not full.
    """

    bites: int
    counted: int
    may_be: BoolArray


def least_by_hours(problem: FoodProblem, moments: Moments, sizes: Sizes, below: float) -> float:
    """Return what gaps that are too long cost at the least, as hours have no room for more bites.

    Parameters
    ----------
    problem : slots as places, without options that nobody can eat
    moments : all that lie in the slots
    sizes : how bites are told apart
    below : of plans whose gaps cost no less it may be inf
    """
    problem.work.add(PAIR_NUMBERS * problem.places**2)
    step = over_gap_steps(problem)
    step[:, :-1][:, problem.room_g + EPS < np.min(problem.option_g)] = np.inf
    step = np.where(step + _least_to_come(step)[None, :] < below, step, np.inf)
    fits = int(np.max(problem.room_g) / sizes.light_g + EPS)
    most = max(1, min(fits, _wanted_in_an_hour(problem)))
    blocks = _price_blocks(problem, step[1:, :-1], moments, most)
    return _Rows(problem, step, blocks, sizes, below).least()


def _least_to_come(step: FloatArray) -> FloatArray:
    """Return what the gaps on from each slot and the finish cost at the least, shape (n + 1,)."""
    least = np.zeros(step.shape[1])
    for slot in range(step.shape[1] - 2, -1, -1):
        least[slot] = np.min(step[slot + 1, slot + 1 :] + least[slot + 1 :])
    return least


def _price_blocks(problem: FoodProblem, gap: FloatArray, moments: Moments, most: int) -> _Blocks:
    """Return what up to so many gaps cost."""
    ends_s = problem.hour_from_s + HOUR_S
    in_one_hour = problem.hour_from_s[None, :] <= problem.clock_s[:, None]
    long_s = np.maximum(problem.clock_s[None, :] - ends_s[:, None], _more_than_an_hour_s(moments.clock_s))
    fed_s = np.zeros(problem.places)
    slot = np.searchsorted(problem.clock_s, moments.clock_s, side="right") - 1
    np.maximum.at(fed_s, slot, moments.until_s - moments.clock_s)
    fed_from_s = np.where(np.tri(problem.places, dtype=bool).T, fed_s[None, :], 0.0)
    np.maximum.accumulate(fed_from_s, axis=1, out=fed_from_s)
    gaps, whole = {1: gap}, {}
    for count in range(1, most + 1):
        if 1 < count < most:
            gaps[count] = _followed(gaps[count - 1], gap)
        together = least_together(long_s - count * fed_from_s, count)
        whole[count] = np.where(in_one_hour, np.inf, together)
    return _Blocks(gaps, whole)


def _more_than_an_hour_s(clock_s: FloatArray) -> float:
    """Return how far moments stand apart at the least that are not within an hour [s]."""
    about = [np.searchsorted(clock_s, clock_s + HOUR_S + by_s) for by_s in (-A_LITTLE_S, A_LITTLE_S)]
    return HOUR_S if np.any(about[0] < about[1]) else HOUR_S + A_LITTLE_S


def _followed(first: FloatArray, then: FloatArray) -> FloatArray:
    """Return the least of what leads from each slot to each over one between."""
    least = np.full(first.shape, np.inf)
    for slot, costs in enumerate(first):
        between = np.flatnonzero(np.isfinite(costs))
        if between.size:
            np.min(costs[between, None] + then[between], axis=0, out=least[slot])
    return least


class _Rows:
    """The cheapest rows of bites, by the last two and how many counted ones there are at the most.

    Parameters
    ----------
    problem, step, blocks, sizes, below : as in `least_by_hours`
    """

    def __init__(
        self, problem: FoodProblem, step: FloatArray, blocks: _Blocks, sizes: Sizes, below: float
    ) -> None:
        self.problem, self.step, self.blocks, self.below = problem, step, blocks, below
        self.counts = 1 + (sizes.light_ones or 0)  # columns: none counted, one, two and so on
        self.each_counts = int(sizes.all_counted)
        self.ways = _ways_to_fill(problem.room_g, sizes, blocks.most)
        self.fit = (problem.room_g / sizes.light_g + EPS).astype(np.int64)
        self.first = _from_the_start(step, blocks.most)
        self.spent_alone = _spent_alone(problem.room_g, sizes, blocks.most)
        places = problem.places
        self.last_two = np.full((places, places, self.counts), np.inf)
        self.last = np.full((places, self.counts), np.inf)

    def least(self) -> float:
        """Return the least of all rows, up to the finish."""
        places = self.problem.places
        for slot in range(places):
            self.last[slot] = np.min(self.last_two[:slot, slot], axis=0, initial=np.inf)
            np.minimum(self.last[slot], self._first_bite(slot), out=self.last[slot])
            later = slot + 1 + np.flatnonzero(np.isfinite(self.step[slot + 1, slot + 1 : places]))
            if later.size and np.isfinite(self.last[slot]).any():
                cost = np.maximum(self._by_the_one_before(slot, later), self._by_blocks(slot, later))
                self.last_two[slot, later] = np.where(cost < self.below, cost, np.inf)
        return float(min(np.min(self.last[:, -1] + self.step[1:, -1], initial=np.inf), self.step[0, -1]))

    def _first_bite(self, slot: int) -> FloatArray:
        """Return what the gap up to a first bite costs, by how many counted bites there may be."""
        fits = self.spent_alone[0][slot] <= np.arange(self.counts)
        return np.where(fits, self.step[0, slot], np.inf)

    def _by_the_one_before(self, slot: int, later: IntArray) -> FloatArray:
        """Return the least of rows that end at a slot and at some later ones, by the bite before."""
        clock_s, hour_from_s, fit = self.problem.clock_s, self.problem.hour_from_s[later], self.fit[later]
        before = np.full((slot + 1, self.counts), np.inf)
        before[0] = self._first_bite(slot)
        before[1:] = self.last_two[:slot, slot]
        np.minimum.accumulate(before, axis=0, out=before)
        reached = np.where(fit == 2, np.searchsorted(clock_s[:slot], hour_from_s, side="left"), slot)
        cost = before[reached] + self.step[slot + 1, later, None]
        cost[(fit < 2) & (hour_from_s <= clock_s[slot])] = np.inf
        return _spent(cost, self.each_counts)

    def _by_blocks(self, slot: int, later: IntArray) -> FloatArray:
        """Return the least of the same rows, by how the hours of the last bites may be filled."""
        gap = self.step[slot + 1, later]
        cost = np.full((later.size, self.counts), np.inf)
        for way in self.ways:
            at = np.flatnonzero(way.may_be[later])
            if at.size:
                rows = self._of_way(way, slot, later[at], gap[at])
                cost[at] = np.minimum(cost[at], rows)
        return np.asarray(np.minimum(cost, self._by_all_before(slot, later)))

    def _of_way(self, way: _Way, slot: int, later: IntArray, gap: FloatArray) -> FloatArray:
        """Return the least of the same rows, the hours of the last bites all filled in one way."""
        if way.bites < 2:
            price = np.maximum(gap, self.blocks.whole[1][slot, later]) if way.bites else gap
            return _spent(self.last[slot] + price[:, None], way.counted)
        together = self.blocks.gaps[way.bites - 1][:slot, slot]
        begun = np.flatnonzero(np.isfinite(together) & np.isfinite(self.last[:slot, -1]))
        self.problem.work.add(begun.size * later.size * (self.counts + 1))
        price = np.maximum(together[begun, None] + gap, self.blocks.whole[way.bites][np.ix_(begun, later)])
        least = np.min(self.last[begun, None, :] + price[:, :, None], axis=0, initial=np.inf)
        return _spent(least, way.counted)

    def _by_all_before(self, slot: int, later: IntArray) -> FloatArray:
        """Return the least of the same rows, all their bites in one hour."""
        cost = np.full((later.size, self.counts), np.inf)
        for bites, row in enumerate(self.first[:-1], 2):
            spent = self.spent_alone[bites - 1][later, None] <= np.arange(self.counts)
            gaps = row[slot] + self.step[slot + 1, later, None]
            np.minimum(cost, np.where(spent, gaps, np.inf), out=cost)
        return cost


def _spent(cost: FloatArray, more: int) -> FloatArray:
    """Return costs by how many counted bites there may be, shape (rows, counted + 1), so many more spent."""
    return np.concatenate((np.full((cost.shape[0], more), np.inf), cost[:, : cost.shape[1] - more]), axis=1)


def _from_the_start(step: FloatArray, most: int) -> list[FloatArray]:
    """Return the least that the gaps up to each slot cost, if they are one, two and so on."""
    rows = [step[0, :-1]]
    for _ in range(1, most):
        rows.append(np.min(rows[-1][:, None] + step[1:, :-1], axis=0, initial=np.inf))
    return rows


def _spent_alone(room_g: FloatArray, sizes: Sizes, most: int) -> list[FloatArray]:
    """Return how many counted bites up to so many in an hour hold at the least, inf if they do not fit."""
    spent = []
    for bites in range(1, most + 1):
        least = np.zeros(room_g.size)
        if sizes.all_counted:
            least[:] = bites
        elif sizes.light_ones is not None:
            over_g = bites * sizes.heavy_g - room_g - EPS
            least = np.maximum(np.ceil(over_g / (sizes.heavy_g - sizes.light_g)), 0.0)
        spent.append(np.where(bites * sizes.light_g <= room_g + EPS, least, np.inf))
    return spent


def _ways_to_fill(room_g: FloatArray, sizes: Sizes, most: int) -> list[_Way]:
    """Return how hours may be filled with up to so many bites."""
    ones = most + 1 if sizes.light_ones is None else sizes.light_ones
    counts, ways = sizes.light_ones is not None, []
    for bites in range(1, most + 2):
        for light in range(min(bites, ones) + 1):
            heavy_g = (bites - light) * sizes.heavy_g if light < bites else 0.0
            spare_g = room_g + EPS - light * sizes.light_g - heavy_g
            next_g = sizes.light_g if np.isinf(sizes.heavy_g) else sizes.heavy_g
            may_be = (spare_g >= 0.0) & ((bites > most) | (spare_g < next_g))
            if may_be.any():
                full = bites <= most
                ways.append(_Way(bites if full else 0, light if full and counts else 0, may_be))
    return ways
