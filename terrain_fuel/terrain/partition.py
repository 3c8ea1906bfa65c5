"""The exact best cut of a height profile into straight lines."""

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.frozen import FloatArray

SHORTEST_M = 300.0
"""Shortest piece [m]: shorter ups and downs are ridden on momentum, common practice (no source)."""

LONGEST_M = 6000.0
"""Longest piece [m]: a longer straight slope is cut and later joined again; keeps the work linear."""


def best_cuts(height_m: FloatArray, shortest: int, longest: int, penalty: float) -> NDArray[np.int64]:
    """Return where to cut evenly spaced heights so that straight lines fit best.

    Parameters
    ----------
    height_m : shape (n,), heights at equal steps [m]
    shortest, longest : allowed nodes in a piece, ends included on the left only
    penalty : price of one more piece [m^2]

    Returns
    -------
    int array: first node of every piece, then n

    Notes
    -----
    F(t) = min over s of F(s) + C(s, t) + penalty, C the residual sum of squares of the
    least-squares line through nodes s to t - 1: optimal partitioning, exact [Ki12]_.
    """
    count = height_m.size
    if count < 2 * shortest:
        return np.array([0, count])
    best = np.full(count + 1, np.inf)
    best[0] = 0.0
    came_from = np.zeros(count + 1, dtype=np.int64)
    for first, costs in _costs(height_m, shortest, longest):
        for row, cost in enumerate(costs):
            stop = first + row
            low = max(stop - longest, 0)
            total = best[low : stop - shortest + 1] + cost[longest - (stop - low) :]
            choice = int(total.argmin())
            best[stop] = total[choice] + penalty
            came_from[stop] = low + choice
    cuts = [count]
    while cuts[-1] > 0:
        cuts.append(int(came_from[cuts[-1]]))
    return np.array(cuts[::-1])


def _costs(height_m: FloatArray, shortest: int, longest: int):  # type: ignore[no-untyped-def]
    """Yield blocks of line costs: row r ends before node ``first + r``, columns from longest to shortest."""
    count = height_m.size
    y = height_m - height_m.mean()
    x = np.arange(count, dtype=np.float64)
    sum_y, sum_xy, sum_yy = (np.concatenate(([0.0], np.cumsum(column))) for column in (y, x * y, y * y))
    lengths = np.arange(longest, shortest - 1, -1)
    block = max(1, 2_000_000 // lengths.size)
    for first in range(shortest, count + 1, block):
        stop = np.arange(first, min(first + block, count + 1))[:, None]
        start = np.maximum(stop - lengths, 0)
        n = lengths.astype(np.float64)
        y_total = sum_y[stop] - sum_y[start]
        moment = sum_xy[stop] - sum_xy[start] - y_total * (start + (n - 1) / 2)
        square = sum_yy[stop] - sum_yy[start]
        cost = square - y_total**2 / n - moment**2 * 12 / (n * (n * n - 1))
        yield first, np.maximum(cost, 0.0)
