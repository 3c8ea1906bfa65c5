"""Hatching at 45 degrees, cut to a shape."""

import numpy as np
import shapely

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
    rise = base - float(ridge.min())
    feet = np.arange(x[0] - rise + 0.5 * spacing, x[-1], spacing)
    strokes = [((foot, base), (foot + rise, base - rise)) for foot in feet.tolist()]
    ground = shapely.Polygon([(x[0], base), *zip(x, ridge, strict=True), (x[-1], base)])
    cut = shapely.get_parts(shapely.intersection(shapely.linestrings(strokes), ground))
    return tuple(tuple(line.coords) for line in cut if line.length > 0.0)
