"""Contour lines of a grid of heights, by marching squares."""

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.shapes import Line

Numbers = NDArray[np.intp]

# The sides a contour crosses in a cell, by which corners lie above it: bit 0 top left, 1 top right,
# 2 bottom right, 3 bottom left. Sides: 0 top, 1 right, 2 bottom, 3 left; the high ground lies left of
# the way from one to the other. At a saddle (5, 10) the high corners stay apart, unless the cell's mean
# is high as well: then the low ones do (16, 17).
CELL_SIDES: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((3, 0),), 2: ((0, 1),), 3: ((3, 1),), 4: ((1, 2),), 5: ((3, 0), (1, 2)), 6: ((0, 2),), 7: ((3, 2),),
    8: ((2, 3),), 9: ((2, 0),), 10: ((0, 1), (2, 3)), 11: ((2, 1),), 12: ((1, 3),), 13: ((1, 0),),
    14: ((0, 3),), 16: ((1, 0), (3, 2)), 17: ((0, 3), (2, 1)),
}  # fmt: skip


def contour_lines(heights_m: FloatArray, level_m: float) -> tuple[Line, ...]:
    """Return the lines along which the ground is at one height.

    Parameters
    ----------
    heights_m : shape (rows, columns) [m]; cells with a NaN corner hold no line
    level_m : the height [m]

    Returns
    -------
    lines of (column, row) points, linear between grid points; closed ones end where they began
    """
    above = heights_m >= level_m
    case = (
        above[:-1, :-1] * 1 + above[:-1, 1:] * 2 + above[1:, 1:] * 4 + above[1:, :-1] * 8
    )  # fmt: skip
    mean = 0.25 * (heights_m[:-1, :-1] + heights_m[:-1, 1:] + heights_m[1:, 1:] + heights_m[1:, :-1])
    for apart, joined in ((5, 16), (10, 17)):
        case[(case == apart) & (mean >= level_m)] = joined
    known = np.isfinite(heights_m)
    case[~(known[:-1, :-1] & known[:-1, 1:] & known[1:, 1:] & known[1:, :-1])] = 0
    pieces: list[tuple[Numbers, Numbers]] = []
    for code, pairs in CELL_SIDES.items():
        row, column = np.nonzero(case == code)
        pieces.extend(
            (_edge(row, column, a, heights_m.shape), _edge(row, column, b, heights_m.shape)) for a, b in pairs
        )
    starts = np.concatenate([piece[0] for piece in pieces])
    ends = np.concatenate([piece[1] for piece in pieces])
    return _joined(starts, ends, heights_m, level_m)


def _edge(row: Numbers, column: Numbers, side: int, shape: tuple[int, ...]) -> Numbers:
    """Return the number of a cell's side: level sides first, then upright ones."""
    rows, columns = shape
    if side in (0, 2):
        return (row + (side == 2)) * columns + column
    return rows * columns + row * columns + column + (side == 1)


def _joined(starts: Numbers, ends: Numbers, heights_m: FloatArray, level_m: float) -> tuple[Line, ...]:
    """Return the pieces joined end to end; every side is crossed once into a cell and once out."""
    follower = dict(zip(starts.tolist(), ends.tolist(), strict=True))
    entered = set(ends.tolist())
    lines: list[Line] = []
    heads = [start for start in follower if start not in entered]
    for head in [*heads, *list(follower)]:
        if head not in follower:
            continue
        edges = [head]
        while edges[-1] in follower:
            edges.append(follower.pop(edges[-1]))
        lines.append(_points(np.array(edges), heights_m, level_m))
    return tuple(lines)


def _points(edges: Numbers, heights_m: FloatArray, level_m: float) -> Line:
    rows, columns = heights_m.shape
    upright = edges >= rows * columns
    row, column = np.divmod(edges % (rows * columns), columns)
    next_row, next_column = row + upright, column + ~upright
    here, there = heights_m[row, column], heights_m[next_row, next_column]
    share = (level_m - here) / (there - here)
    x, y = column + share * ~upright, row + share * upright
    return tuple(zip(x.tolist(), y.tolist(), strict=True))
