"""Hachures over the relief: strokes down the slope, closer where it is steeper, as on old engraved maps."""

import numpy as np

from terrain_fuel.outputs.hachure import stroke_density
from terrain_fuel.outputs.relief import MapGrid, slopes
from terrain_fuel.outputs.shapes import Line

SHARE = 3.0
"""Hills off the road are steeper than roads: their slope counts as a road's that is so many times gentler."""

MOST_STROKES = 5200


def slope_strokes(grid: MapGrid) -> tuple[Line, ...]:
    """Return strokes of (column, row) points that run down the slope.

    Places come from a low-discrepancy sequence and one is drawn where its own threshold lies
    under the density there, so that the picture is even and the same each time.
    """
    east, north = slopes(grid)
    rows, columns = grid.elevation_m.shape
    count = np.arange(MOST_STROKES * 3)
    # Golden ratios of one to three dimensions spread points evenly in the square and in their threshold
    column, row, threshold = (
        np.mod(count * step, 1.0) for step in (0.8191725134, 0.6710436067, 0.5497004779)
    )
    c, r = (column * (columns - 3) + 1).astype(int), (row * (rows - 3) + 1).astype(int)
    steep = np.hypot(east[r, c], north[r, c])
    drawn = np.flatnonzero(np.nan_to_num(stroke_density(steep / SHARE)) > threshold)[:MOST_STROKES]
    unit = np.array([-east[r, c][drawn], north[r, c][drawn]]) / steep[drawn]
    length = (0.008 + 0.010 * np.minimum(1.0, steep[drawn] / SHARE / 0.12)) * max(rows, columns)
    x0, y0 = column[drawn] * (columns - 3) + 1, row[drawn] * (rows - 3) + 1
    x1, y1 = x0 + unit[0] * length, y0 + unit[1] * length
    return tuple(
        ((a, b), (c, d))
        for a, b, c, d in zip(x0.tolist(), y0.tolist(), x1.tolist(), y1.tolist(), strict=True)
    )
