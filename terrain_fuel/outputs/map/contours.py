"""Contour lines of a grid of heights."""

import numpy as np
from contourpy import contour_generator

from terrain_fuel.frozen import FloatArray


def contour_lines(heights_m: FloatArray, levels_m: FloatArray) -> tuple[tuple[FloatArray, ...], ...]:
    """Return the lines along which the ground is at given heights.

    Parameters
    ----------
    heights_m : shape (rows, columns) [m]; cells with a NaN corner hold no line
    levels_m : the heights, rising; shape (k,) [m]

    Returns
    -------
    for each level its lines of (column, row) points, shape (k, 2), linear between grid points; closed ones
    end where they began
    """
    generator = contour_generator(z=heights_m, corner_mask=False)
    return tuple(tuple(np.asarray(line) for line in generator.lines(level)) for level in levels_m.tolist())
