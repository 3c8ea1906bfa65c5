"""Hatching at 45 degrees, cut to a shape."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.shapes import Line


def hatch_under(x: FloatArray, ridge: FloatArray, base: float, spacing: float) -> tuple[Line, ...]:
    """Return rising strokes at 45 degrees inside the ground between a ridge and its base.

    Parameters
    ----------
    x : rising positions, shape (n,)
    ridge : y of the ridge there, above ``base`` (y runs down)
    base : y of the foot
    spacing : horizontal distance between strokes
    """
    lines: list[Line] = []
    highest = float(ridge.min())
    fine = np.linspace(x[0], x[-1], 4 * x.size)
    roof = np.interp(fine, x, ridge)
    for foot in np.arange(x[0] - (base - highest) + 0.5 * spacing, x[-1], spacing):
        y = base - (fine - foot)
        inside = (y >= roof) & (y <= base)
        edges = np.flatnonzero(np.diff(np.concatenate(([False], inside, [False])).astype(int)))
        for first, last in zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True):
            if last > first:
                lines.append(((float(fine[first]), float(y[first])), (float(fine[last]), float(y[last]))))
    return tuple(lines)
