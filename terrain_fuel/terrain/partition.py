"""The exact best cut of a height profile into straight lines, and where those lines meet."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.frozen import FloatArray

SHORTEST_M = 300.0
"""Shortest piece [m]: shorter ups and downs are ridden on momentum, common practice (no source)."""

LONGEST_M = 6000.0
"""Longest piece [m]: a longer straight slope is cut and later joined again; keeps the work linear."""

BLOCK_M = 50.0
"""Heights are cut as means over this length [m]."""

PRICE = 2.0
"""Price of a piece in units of a block's noise variance times the logarithm of the number of blocks."""

LEAST_PRICE_M2 = 6.0
"""Least price: even where heights are perfect, a road strays by a metre from straight lines [m2]."""

MARGIN_M = 30.0
"""Half the usual vertical curve: heights so near a knot say nothing of the lines that meet there [m]."""

LEAST_KINK = 0.004
"""Lines that differ less in grade meet nowhere in particular."""

FARTHEST_M = 200.0
"""How far a meeting point may lie from the cut [m]."""

ROUNDS = 4

COSTS_AT_ONCE = 100_000
"""A megabyte a column."""


def straight_pieces(height_m: FloatArray, step_m: float, noise_m3: float) -> tuple[FloatArray, FloatArray]:
    """Return where the grade of a road changes, and the heights there.

    Parameters
    ----------
    height_m : shape (n,), heights at equal steps [m]
    step_m : the step [m]
    noise_m3 : power of their errors over long distances: variance times twice the reach [m3]

    Returns
    -------
    knot_m, knot_height_m : shape (k + 1,), rising from 0 to the length [m], heights [m]
    """
    group = max(round(BLOCK_M / step_m), 1)
    blocks = height_m.size // group
    means = height_m[: blocks * group].reshape(blocks, group).mean(axis=1)
    block_m = group * step_m
    price = max(PRICE * noise_m3 / block_m, LEAST_PRICE_M2) * float(np.log(max(blocks, 2)))
    shortest = max(round(SHORTEST_M / block_m), 3)
    longest = max(round(LONGEST_M / block_m), 2 * shortest)  # few heights may lie farther apart than that
    cuts = best_cuts(means, shortest, longest, price)
    knot_m = (cuts.astype(np.float64) * group - 0.5) * step_m
    knot_m[0], knot_m[-1] = 0.0, (height_m.size - 1) * step_m
    distance_m = np.arange(height_m.size, dtype=np.float64) * step_m
    knot_m = meeting_points(distance_m, height_m, knot_m)
    return knot_m, knot_heights(distance_m, height_m, knot_m)


def best_cuts(height_m: FloatArray, shortest: int, longest: int, price: float) -> NDArray[np.int64]:
    """Return where to cut evenly spaced heights so that straight lines fit best.

    Parameters
    ----------
    height_m : shape (n,), heights at equal steps [m]
    shortest, longest : fewest and most heights in a piece
    price : price of one more piece [m^2]

    Returns
    -------
    int array: first height of every piece, then n

    Notes
    -----
    F(t) = min over s of F(s) + C(s, t) + price, C the residual sum of squares of the
    least-squares line through heights s to t - 1: optimal partitioning, exact [Ki12]_.
    """
    count = height_m.size
    if count < 2 * shortest:
        return np.array([0, count])
    best = np.full(count + 1, np.inf)
    best[0] = 0.0
    came_from = np.zeros(count + 1, dtype=np.int64)
    for stop, costs in _costs(height_m, shortest, longest):
        low = max(stop - longest, 0)
        total = best[low : stop - shortest + 1] + costs[longest - (stop - low) :]
        choice = int(total.argmin())
        best[stop] = total[choice] + price
        came_from[stop] = low + choice
    cuts = [count]
    while cuts[-1] > 0:
        cuts.append(int(came_from[cuts[-1]]))
    return np.array(cuts[::-1])


def _costs(height_m: FloatArray, shortest: int, longest: int) -> Iterator[tuple[int, FloatArray]]:
    """Yield for every end the cost of the pieces that end there, from the longest to the shortest."""
    count = height_m.size
    y = height_m - height_m.mean()
    sum_y, sum_xy, sum_yy = (_running_sum(column) for column in (y, np.arange(count) * y, y * y))
    lengths = np.arange(longest, shortest - 1, -1)
    n = lengths.astype(np.float64)
    spread = (n * n - 1.0) * n / 12.0
    rows = max(COSTS_AT_ONCE // lengths.size, 1)
    for first in range(shortest, count + 1, rows):
        stop = np.arange(first, min(first + rows, count + 1))[:, None]
        start = np.maximum(stop - lengths, 0)
        total = sum_y[stop] - sum_y[start]
        moment = sum_xy[stop] - sum_xy[start] - total * (start + (n - 1.0) / 2.0)
        cost = sum_yy[stop] - sum_yy[start] - total * total / n - moment * moment / spread
        yield from enumerate(np.maximum(cost, 0.0), start=first)


def meeting_points(distance_m: FloatArray, height_m: FloatArray, knot_m: FloatArray) -> FloatArray:
    """Return the knots moved to where the lines of neighbouring pieces meet [m].

    Every round fits a line to each piece, without the vertical curves at its ends, and moves
    each knot to the meeting point of its two lines: finer than any spacing of the heights.
    """
    sums = [_running_sum(column) for column in (distance_m, height_m, distance_m**2, distance_m * height_m)]
    knots, low, high = knot_m.copy(), knot_m[1:-1] - FARTHEST_M, knot_m[1:-1] + FARTHEST_M
    for _ in range(ROUNDS if knots.size > 2 else 0):
        margin = np.minimum(MARGIN_M, np.diff(knots) / 4)
        first = np.searchsorted(distance_m, knots[:-1] + margin)
        last = np.searchsorted(distance_m, knots[1:] - margin, side="right")
        first[0], last[-1] = 0, distance_m.size
        x, y, xx, xy = ((column[last] - column[first]) / np.maximum(last - first, 1) for column in sums)
        grade = (xy - x * y) / np.maximum(xx - x * x, 1.0)
        level = y - grade * x
        kink = np.diff(grade)
        sharp = np.abs(kink) > LEAST_KINK
        meet = np.where(sharp, -np.diff(level) / np.where(sharp, kink, 1.0), knots[1:-1])
        room = 0.4 * np.diff(knots)
        meet = np.clip(
            meet, np.maximum(low, knots[1:-1] - room[:-1]), np.minimum(high, knots[1:-1] + room[1:])
        )
        knots[1:-1] = meet
    return knots


def knot_heights(distance_m: FloatArray, height_m: FloatArray, knot_m: FloatArray) -> FloatArray:
    """Return the heights at knots of the unbroken line of straight pieces that fits best [m]."""
    piece = np.clip(np.searchsorted(knot_m, distance_m, side="right") - 1, 0, knot_m.size - 2)
    after = (distance_m - knot_m[piece]) / (knot_m[piece + 1] - knot_m[piece])
    before, count, base = 1.0 - after, knot_m.size, float(height_m.mean())
    y = height_m - base
    own = np.bincount(piece, before**2, count) + np.bincount(piece + 1, after**2, count)
    shared = np.bincount(piece, before * after, count)[:-1]
    right = np.bincount(piece, before * y, count) + np.bincount(piece + 1, after * y, count)
    return base + _solve_chain(own.tolist(), shared.tolist(), right.tolist())


def _solve_chain(own: Sequence[float], links: Sequence[float], right: Sequence[float]) -> FloatArray:
    """Return the unknowns of a symmetric system in which each meets only its neighbours, by elimination."""
    pivots, values = list(own), list(right)
    for row, link in enumerate(links):
        share = link / pivots[row]
        pivots[row + 1] -= share * link
        values[row + 1] -= share * values[row]
    values[-1] /= pivots[-1]
    for row in reversed(range(len(links))):
        values[row] = (values[row] - links[row] * values[row + 1]) / pivots[row]
    return np.array(values)


def _running_sum(column: FloatArray) -> FloatArray:
    return np.concatenate(([0.0], np.cumsum(column)))
