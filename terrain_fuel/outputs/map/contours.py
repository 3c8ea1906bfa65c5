"""Contour lines of a grid of heights."""

import numpy as np
from contourpy import contour_generator

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.shapes import Line


def contour_lines(heights_m: FloatArray, levels_m: FloatArray) -> tuple[tuple[Line, ...], ...]:
    """Return the lines along which the ground is at given heights.

    Parameters
    ----------
    heights_m : shape (rows, columns) [m]; cells with a NaN corner hold no line
    levels_m : the heights, rising; shape (k,) [m]

    Returns
    -------
    for each level its lines of (column, row) points, linear between grid points; closed ones end
    where they began
    """
    generator = contour_generator(z=heights_m, corner_mask=False)
    return tuple(
        tuple(tuple(map(tuple, np.asarray(line).tolist())) for line in generator.lines(level))
        for level in levels_m.tolist()
    )
