"""Stairs in heights: whole metres, or the height of the nearest cell of a grid, freed of their steps."""

import numpy as np

from terrain_fuel.frozen import FloatArray

LONGEST_TREAD_M = 130.0
"""A longer level part is a level road: cells of 90 m are 127 m across [m]."""


LEAST_ROUNDING_M = 0.1

FEWEST_ON_A_TREAD = 3
LEAST_RISE_IN_ROUNDINGS = 1.5
"""Stairs whose treads hold so many points and rise so much are cells of a grid, no rounding."""


def cell_length(distance_m: FloatArray, height_m: FloatArray, rounded_m: float) -> float:
    """Return the length of the treads of heights taken from the nearest cell of a grid [m], 0 for others.

    Parameters
    ----------
    distance_m, height_m : shape (n,), along the road [m], heights [m]
    rounded_m : heights are multiples of this [m]
    """
    edges = np.flatnonzero(np.diff(height_m) != 0.0)
    if edges.size < 2:
        return 0.0
    rises = np.abs(np.diff(height_m)[edges])
    if np.median(np.diff(edges)) < FEWEST_ON_A_TREAD:
        return 0.0
    if np.median(rises) < LEAST_RISE_IN_ROUNDINGS * max(rounded_m, LEAST_ROUNDING_M):
        return 0.0
    return float(np.median(np.diff(distance_m[edges])))


def without_steps(distance_m: FloatArray, height_m: FloatArray) -> FloatArray:
    """Return heights that go evenly from the middle of one tread to the middle of the next [m].

    Parameters
    ----------
    distance_m, height_m : shape (n,), along the road [m], heights [m]

    Notes
    -----
    A tread is a row of points of one height. Rounding is right in the middle of a tread, and so is
    the nearest cell. A level road keeps its length but for half a tread at each end. Between treads
    the height is half-way, so that the slope beside a crest or a hollow ends as far inside its tread as
    it began before.
    """
    edges = np.flatnonzero(np.diff(height_m) != 0.0)
    first, last = np.concatenate(([0], edges + 1)), np.concatenate((edges, [height_m.size - 1]))
    start, end = distance_m[first], distance_m[last]
    half = np.minimum(end - start, LONGEST_TREAD_M) / 2.0
    rise = np.sign(np.diff(height_m[first]))
    turn = np.flatnonzero(rise[1:] != rise[:-1]) + 1
    before, after = half.copy(), half.copy()
    before[turn], after[turn] = np.minimum(half[turn], half[turn - 1]), np.minimum(half[turn], half[turn + 1])
    begun, ended = start + before, end - after
    begun[0], ended[-1] = distance_m[0], distance_m[-1]
    knot_m = np.column_stack((begun, np.maximum(begun, ended))).ravel()
    return np.asarray(np.interp(distance_m, knot_m, np.repeat(height_m[first], 2)))
