"""Heights, or anything on a grid, between its points."""

import numpy as np

from terrain_fuel.frozen import FloatArray


def between_points(grid: FloatArray, row: FloatArray, column: FloatArray) -> FloatArray:
    """Return a grid's values between its points, bilinear.

    Parameters
    ----------
    grid : shape (rows, columns), two of each or more
    row, column : same shape, from 0 to the last row and column
    """
    top = np.minimum(row.astype(np.intp), grid.shape[0] - 2)
    left = np.minimum(column.astype(np.intp), grid.shape[1] - 2)
    down, right = row - top, column - left
    up, before = 1.0 - down, 1.0 - right
    above = grid[top, left] * up * before + grid[top, left + 1] * up * right
    return np.asarray(above + grid[top + 1, left] * down * before + grid[top + 1, left + 1] * down * right)
