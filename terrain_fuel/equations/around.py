"""What lies around each value: along a column, the ends continued, and between the points of a grid."""

import numpy as np

from terrain_fuel.frozen import FloatArray


def running_mean(values: FloatArray, count: int) -> FloatArray:
    """Return the mean of so many values around each along the first axis; of an even number one more before.

    >>> running_mean(np.array([0.0, 0.0, 6.0, 0.0]), 3).tolist()
    [0.0, 2.0, 2.0, 2.0]
    """
    return np.asarray(_around(values, count).mean(axis=-1))


def running_median(values: FloatArray, count: int) -> FloatArray:
    """Return the median of so many values, an odd number, around each.

    >>> running_median(np.array([1.0, 9.0, 2.0, 3.0]), 3).tolist()
    [1.0, 2.0, 3.0, 3.0]
    """
    return np.asarray(np.median(_around(values, count), axis=-1))


def running_maximum(values: FloatArray, count: int) -> FloatArray:
    """Return the largest of so many values around each.

    >>> running_maximum(np.array([1.0, 9.0, 2.0, 3.0]), 3).tolist()
    [9.0, 9.0, 9.0, 3.0]
    """
    return np.asarray(_around(values, count).max(axis=-1))


def _around(values: FloatArray, count: int) -> FloatArray:
    """Return the values around each, along a new last axis."""
    ends = ((count // 2, count - 1 - count // 2), *((0, 0),) * (values.ndim - 1))
    return np.lib.stride_tricks.sliding_window_view(np.pad(values, ends, mode="edge"), count, axis=0)


def between(grid: FloatArray, row: FloatArray, column: FloatArray) -> FloatArray:
    """Return a grid's values at places between its points, bilinear.

    Parameters
    ----------
    grid : shape (rows, columns)
    row, column : places within the grid, of one shape

    >>> between(np.array([[0.0, 10.0], [20.0, 30.0]]), np.array([0.5]), np.array([0.25])).tolist()
    [12.5]
    """
    top, left = np.floor(row).astype(np.intp), np.floor(column).astype(np.intp)
    down, right = row - top, column - left
    below, beside = np.minimum(top + 1, grid.shape[0] - 1), np.minimum(left + 1, grid.shape[1] - 1)
    upper = grid[top, left] * (1.0 - down) * (1.0 - right) + grid[top, beside] * (1.0 - down) * right
    return np.asarray(upper + grid[below, left] * down * (1.0 - right) + grid[below, beside] * down * right)
