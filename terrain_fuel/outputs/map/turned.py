"""The turned profile at the edge of the strip: the road upward, heights to the right."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.drawing.profile_frame import LEAST_SPAN_M
from terrain_fuel.outputs.drawing.shapes import Area, Drawing, Line, Shape, Strokes
from terrain_fuel.outputs.rows import joined_spans
from terrain_fuel.plan import Plan

WIDTH, HEIGHT = 48.0, 1000.0
POINTS = 601
CLOSEST, HATCH = 0.75, 2.2
"""Distance between hachures on the steepest road, and between strokes of the hatch."""

HACHURE = 0.18
"""Length of a hachure, over the width."""


def turned_shapes(plan: Plan) -> Drawing:
    """Return the profile turned a quarter, the start at the foot; to be stretched to the strip's height."""
    profile = plan.terrain.profile
    length = plan.terrain.length_m
    road = np.linspace(0.0, length, POINTS)
    height = np.interp(road, profile.distance_m, profile.elevation_m)
    low, high = float(height.min()), max(float(height.max()), float(height.min()) + LEAST_SPAN_M)
    x = WIDTH * (0.12 + 0.88 * (height - low) / (high - low))
    up = HEIGHT * road / length
    ridge = _line(x, HEIGHT - up)
    places = stroke_places(up, np.gradient(height, road), CLOSEST)
    tips = np.interp(places, up, x)
    shapes: list[Shape] = [
        Area("grade-1", ((0.0, HEIGHT), *ridge, (0.0, 0.0))),
        Strokes("hachure", _bars(np.maximum(0.0, tips - HACHURE * WIDTH), tips, places)),
    ]
    for start_m, end_m in joined_spans(plan.cautions):
        edge = np.linspace(start_m, end_m, 20) * HEIGHT / length
        outline = _line(np.interp(edge, up, x), HEIGHT - edge)
        shapes.append(Area("hands", ((0.0, outline[0][1]), *outline, (0.0, outline[-1][1]))))
        places = np.arange(edge[0] + 0.5 * HATCH, edge[-1], HATCH)
        tips = np.interp(places, up, x)
        shapes.append(Strokes("hatch", _bars(np.zeros(tips.size), tips, places, 0.5 * HATCH)))
    shapes.append(Strokes("ridge", (ridge,)))
    return Drawing(WIDTH, HEIGHT, tuple(shapes))


def _bars(left: FloatArray, right: FloatArray, up: FloatArray, slant: float = 0.0) -> tuple[Line, ...]:
    """Return strokes across the road, their right ends higher by twice the slant."""
    return tuple(
        ((x0, HEIGHT - y + slant), (x1, HEIGHT - y - slant))
        for x0, x1, y in zip(left.tolist(), right.tolist(), up.tolist(), strict=True)
    )


def _line(x: FloatArray, y: FloatArray) -> Line:
    return tuple(zip(x.tolist(), y.tolist(), strict=True))
