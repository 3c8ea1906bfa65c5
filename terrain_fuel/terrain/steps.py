"""Stairs in heights: whole metres, or the height of the nearest cell of a grid, freed of their steps."""

import numpy as np

from terrain_fuel.frozen import FloatArray

LONGEST_TREAD_M = 130.0
"""A longer level part is a level road: cells of 90 m are 127 m across [m]."""


def without_steps(distance_m: FloatArray, height_m: FloatArray) -> FloatArray:
    """Return heights that go evenly from the middle of one tread to the middle of the next [m].

    Parameters
    ----------
    distance_m, height_m : shape (n,), along the road [m], heights [m]

    Notes
    -----
    A tread is a row of points of one height. Rounding is right in the middle of a tread, and so is
    the nearest cell. A level road keeps its length but for half a tread at each end.
    """
    edges = np.flatnonzero(np.diff(height_m) != 0.0)
    first, last = np.concatenate(([0], edges + 1)), np.concatenate((edges, [height_m.size - 1]))
    start, end = distance_m[first], distance_m[last]
    half = np.minimum(end - start, LONGEST_TREAD_M) / 2.0
    begun, ended = start + half, end - half
    begun[0], ended[-1] = distance_m[0], distance_m[-1]
    knot_m = np.column_stack((begun, np.maximum(begun, ended))).ravel()
    return np.asarray(np.interp(distance_m, knot_m, np.repeat(height_m[first], 2)))
