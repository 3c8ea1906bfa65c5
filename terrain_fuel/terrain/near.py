"""Places that lie near each other."""

import numpy as np

from terrain_fuel.frozen import FloatArray, IntArray

ROWS_AHEAD = ((0, 1), (1, -1), (1, 0), (1, 1))
"""Rows of cubes after a cube's own, of those beside it: so every pair is met once."""


def near_pairs(place_m: FloatArray, reach_m: float) -> tuple[IntArray, IntArray]:
    """Return the indices of all pairs of places no farther apart than a reach, the lower ones first.

    Parameters
    ----------
    place_m : shape (n, 3) [m]
    reach_m : the reach [m]

    Notes
    -----
    Places are sorted into cubes with the reach for a side: who is near is in the same cube or one beside it.
    Cubes are numbered along rows, so that three in a row are one search.
    """
    cube = np.floor(place_m / reach_m).astype(np.int64)
    cube -= cube.min(axis=0) - 1
    _, wide, deep = (cube.max(axis=0) + 2).tolist()
    number = (cube[:, 0] * wide + cube[:, 1]) * deep + cube[:, 2]
    order = np.argsort(number, kind="stable")
    number, place_m = number[order], place_m[order]
    pairs = [_ahead(np.arange(1, number.size + 1), np.searchsorted(number, number + 1, side="right"))]
    for over, along in ROWS_AHEAD:
        middle = number + (over * wide + along) * deep
        pairs.append(
            _ahead(np.searchsorted(number, middle - 1), np.searchsorted(number, middle + 1, side="right"))
        )
    one, other = (np.concatenate(column) for column in zip(*pairs, strict=True))
    near = np.linalg.norm(place_m[one] - place_m[other], axis=1) <= reach_m
    one, other = order[one[near]], order[other[near]]
    return np.minimum(one, other), np.maximum(one, other)


def _ahead(first: IntArray, end: IntArray) -> tuple[IntArray, IntArray]:
    """Return each index with every one of its range."""
    count = end - first
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    return np.repeat(np.arange(count.size), count), np.repeat(first, count) + step
