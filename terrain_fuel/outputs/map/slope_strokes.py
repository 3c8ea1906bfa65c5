"""Hachures over the relief: strokes from contour to contour down the slope, closer where it is steeper."""

import numpy as np

from terrain_fuel.equations.around import between
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.drawing.shapes import Line
from terrain_fuel.outputs.map.relief import MapGrid, slopes

SHARE = 3.5
"""Hills are steeper than the roads on them: their slope counts as that of a road so many times gentler."""

CLOSEST = 0.0045
"""Distance between strokes on the steepest ground, over the longer side of the map."""

MOST_STROKES = 9000
"""Over rough country strokes stand wider apart, so that the page stays light."""

LONGEST = 0.016
"""Longest stroke, over the longer side of the map."""


def slope_strokes(grid: MapGrid, contours: tuple[FloatArray, ...], step_m: float) -> tuple[Line, ...]:
    """Return strokes of (column, row) points that start on contours and run down the slope.

    Parameters
    ----------
    grid : the heights
    contours : lines of equal height, in (column, row)
    step_m : height between neighbouring contours [m]: a stroke ends before the next one

    Notes
    -----
    The rule of engraved hachure maps: strokes follow the fall of the ground, stand in rows, and
    their closeness shows the slope.
    """
    strokes = _drawn(grid, contours, step_m, CLOSEST)
    if len(strokes) > MOST_STROKES:
        strokes = _drawn(grid, contours, step_m, CLOSEST * len(strokes) / MOST_STROKES)
    return strokes


def _drawn(
    grid: MapGrid, contours: tuple[FloatArray, ...], step_m: float, closest: float
) -> tuple[Line, ...]:
    east, north = (np.nan_to_num(slope) for slope in slopes(grid))
    side = max(grid.elevation_m.shape)
    strokes: list[Line] = []
    for contour in contours:
        column, row = contour.T
        along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(column), np.diff(row)))))
        right, up = between(east, row, column), between(north, row, column)
        places = stroke_places(along, np.hypot(right, up) / SHARE, closest * side)
        x0, y0, rise_east, rise_north = (np.interp(places, along, each) for each in (column, row, right, up))
        steep = np.maximum(np.hypot(rise_east, rise_north), 1e-6)
        cell_m = np.interp(y0, np.arange(grid.cell_m.size), grid.cell_m)
        length = np.minimum(0.86 * step_m / steep / cell_m, LONGEST * side)
        x1, y1 = x0 - length * rise_east / steep, y0 + length * rise_north / steep
        strokes.extend(
            ((a, b), (c, d))
            for a, b, c, d in zip(x0.tolist(), y0.tolist(), x1.tolist(), y1.tolist(), strict=True)
        )
    return tuple(strokes)
