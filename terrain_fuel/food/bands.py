"""The grams that plans cheaper than a limit may have eaten by each place.

Told apart by place and grams alone, not by what was eaten before, the ride is cheap to count from both
ends. Where the least before and the least to come together pass the limit, no plan below it comes
by: whoever counts finely leaves those grams out and misses nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.problem import FoodProblem
from terrain_fuel.food.ways import Ways
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray

ROUNDING_SHARE = 1e-6
"""A limit is taken so much higher: sums in another order may differ in their last digits."""


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """From where to where the grams eaten are looked at, as columns of the curve, ends excluded.

    ``before`` a bite at each place, shape (n, 2), and ``after`` the start and each bite, (n + 1, 2); an end
    that is not above its start leaves all out.
    """

    before: IntArray
    after: IntArray

    @classmethod
    def whole(cls, places: int, grams: int) -> "Bands":
        """Return the bands that leave nothing out."""
        return cls(np.tile([0, grams], (places, 1)), np.tile([0, grams], (places + 1, 1)))


def cheapest_of_each_size(whole: IntArray, charged: FloatArray) -> tuple[IntArray, FloatArray]:
    """Return the sizes of some options, rising, and what the cheapest of each costs: (places, sizes)."""
    order = np.argsort(whole, kind="stable")
    sizes, first = np.unique(whole[order], return_index=True)
    if not sizes.size:
        return sizes, charged
    return sizes, np.minimum.reduceat(charged[:, order], first, axis=1)


def widest(bands: IntArray, first: Sequence[int]) -> list[slice]:
    """Return what holds each band of every run of rows, given with the first row of each."""
    if not len(first):
        return []
    starts, ends = np.minimum.reduceat(bands[:, 0], first), np.maximum.reduceat(bands[:, 1], first)
    return [slice(*each) for each in zip(starts.tolist(), ends.tolist(), strict=True)]


def bands_below(
    problem: FoodProblem,
    ways: Ways,
    charged: FloatArray,
    after: FloatArray,
    eating: FloatArray,
    limit: float,
) -> Bands:
    """Return the bands outside which nothing that costs no more than a limit passes.

    Parameters
    ----------
    problem, ways : n places, and what leads from each to each
    charged : what each option costs at each place, shape (n, k)
    after, eating : the least to come behind a bite and from a bite on, foods not told apart, by
        place and grams, shapes (n + 1, grams) and (n, grams)
    limit : cost up to which a plan is of interest
    """
    limit += ROUNDING_SHARE * max(1.0, abs(limit))
    places, grams = eating.shape
    fits = np.flatnonzero(problem.option_whole < grams)
    whole, price = cheapest_of_each_size(problem.option_whole[fits], charged[:, fits])
    most = int(whole.max(initial=0))
    reaching, leaving = np.zeros((places, grams), dtype=bool), np.zeros((places + 1, grams), dtype=bool)
    least = np.full((places + 1, grams), np.inf)  # up to leaving a place, less the curve until there
    least[0, 0] = 0.0
    leaving[0, 0] = True
    beyond, row = np.full(grams, np.inf), 0
    for first, end in ways.rounds(places):
        reached = np.full((end - first, grams), np.inf)
        nearest = row
        for place in range(first, end):
            while row <= first and ways.near[row] <= place:
                np.minimum(beyond, least[row] + ways.far_cost[row], out=beyond)
                row += 1
            reached[place - first] = beyond
        from_near = slice(nearest, first + 1)
        within = _span(leaving[from_near])
        if within.start < within.stop:
            arcs = ways.near_arcs[from_near, first:end, None]
            near = np.min(least[from_near, None, within] + arcs, axis=0)
            np.minimum(reached[:, within], near, out=reached[:, within])
        reached += ways.curve[first:end]
        reaching[first:end] = reached + eating[first:end] <= limit
        within = _span(reaching[first:end])
        if within.start >= within.stop:
            continue
        width = within.stop - within.start
        eaten = np.full((end - first, 2 * most + width), np.inf)
        eaten[:, most : most + width] = reached[:, within]
        shifted = np.lib.stride_tricks.sliding_window_view(eaten, most + width, axis=1)
        onward = np.min(shifted[:, most - whole] + price[first:end, :, None], axis=1)
        within = slice(within.start, min(within.stop + most, grams))
        onward = onward[:, : within.stop - within.start]
        worth = leaving[first + 1 : end + 1, within]
        worth[...] = onward + after[first + 1 : end + 1, within] <= limit
        least[first + 1 : end + 1, within] = np.where(worth, onward - ways.left[first:end, within], np.inf)
    return Bands(_ends(reaching), _ends(leaving))


def _span(worth: BoolArray) -> slice:
    """Return the columns that hold all of some rows that is worth a look."""
    columns = np.flatnonzero(worth.any(axis=0))
    return slice(int(columns[0]), int(columns[-1]) + 1) if columns.size else slice(0, 0)


def _ends(worth: BoolArray) -> IntArray:
    """Return the band of each row that holds what is worth a look, its start behind its end if nothing is."""
    columns = worth.shape[1]
    first, last = np.argmax(worth, axis=1), columns - np.argmax(worth[:, ::-1], axis=1)
    some = worth.any(axis=1)
    return np.stack((np.where(some, first, columns), np.where(some, last, 0)), axis=1)
