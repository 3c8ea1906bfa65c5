"""Places of a road that lie near each other, though one comes long after the other."""

from itertools import product

import numpy as np

from terrain_fuel.frozen import FloatArray, IntArray

CUBES_AROUND = tuple(product((-1, 0, 1), repeat=3))
"""A cube of space and those beside it: who is near a place lies in one of them."""


def near_again(place_m: FloatArray, reach_m: float, after: int, most: int) -> tuple[IntArray, IntArray]:
    """Return places and those that come later and lie within reach of them, as indices.

    Parameters
    ----------
    place_m : shape (n, 3) [m]
    reach_m : the reach [m]
    after : the later one is so many places further on, or more
    most : of the later places in one cube of that reach so many count, the next ones: a thousand rounds
        would fill the memory with pairs

    Returns
    -------
    one, later : shape (k,); k is at most 27 ``most`` n
    """
    cube = np.floor(place_m / reach_m).astype(np.int64)
    cube -= cube.min(axis=0) - 1
    _, wide, deep = (cube.max(axis=0) + 2).tolist()
    held, rank = np.unique((cube[:, 0] * wide + cube[:, 1]) * deep + cube[:, 2], return_inverse=True)
    order = np.argsort(rank, kind="stable")
    ends = np.cumsum(np.bincount(rank))
    count = len(place_m)
    key = rank[order] * count + order
    found = []
    for over, across, along in CUBES_AROUND:
        beside = np.searchsorted(held, held + (over * wide + across) * deep + along)
        beside[beside == held.size] = 0
        there = held[beside] == held + (over * wide + across) * deep + along
        one = np.flatnonzero(there[rank])
        where = beside[rank[one]]
        first = np.searchsorted(key, where * count + one + after)
        one, later = _ranged(one, first, np.minimum(ends[where], first + most))
        later = order[later]
        near = np.linalg.norm(place_m[one] - place_m[later], axis=1) <= reach_m
        found.append((one[near], later[near]))
    one, later = (np.concatenate(column) for column in zip(*found, strict=True))
    return one, later


def _ranged(one: IntArray, first: IntArray, end: IntArray) -> tuple[IntArray, IntArray]:
    """Return each of ``one`` with every index of its range."""
    count = np.maximum(end - first, 0)
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(one, count), np.repeat(first, count) + step
