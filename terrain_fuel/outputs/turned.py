"""The turned profile at the edge of the strip: the road upward, heights to the right."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.hachure import stroke_places
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.outputs.shapes import Area, Drawing, Line, Shape, Strokes
from terrain_fuel.plan import Plan

WIDTH, HEIGHT = 48.0, 1000.0
POINTS = 601


def turned_shapes(plan: Plan) -> Drawing:
    """Return the profile turned a quarter, the start at the foot; to be stretched to the strip's height."""
    profile = plan.terrain.profile
    length = plan.terrain.length_m
    road = np.linspace(0.0, length, POINTS)
    height = np.interp(road, profile.distance_m, profile.elevation_m)
    low, high = float(height.min()), max(float(height.max()), float(height.min()) + 60.0)
    x = WIDTH * (0.12 + 0.88 * (height - low) / (high - low))
    y = HEIGHT * (1 - road / length)
    shapes: list[Shape] = [Area("grade-1", ((0.0, HEIGHT), *_line(x, y), (0.0, 0.0)))]
    grade = np.gradient(height, road)
    places = stroke_places(HEIGHT - y, grade, 0.75)
    tips = np.interp(places, HEIGHT - y, x)
    roots = np.maximum(0.0, tips - 0.18 * WIDTH)
    shapes.append(
        Strokes(
            "hachure",
            tuple(
                ((a, HEIGHT - b), (c, HEIGHT - b))
                for a, b, c in zip(tips.tolist(), places.tolist(), roots.tolist(), strict=True)
            ),
        )
    )
    for start_m, end_m in hands_on_spans(plan):
        inside = (road >= start_m) & (road <= end_m)
        if not inside.any():
            continue
        foot, top = HEIGHT * (1 - start_m / length), HEIGHT * (1 - end_m / length)
        outline = ((0.0, foot), *_line(x[inside], y[inside]), (0.0, top))
        shapes.append(Area("hands", outline))
        bars = np.arange(top + 1.2, foot, 2.2)
        ends = np.interp(HEIGHT - bars, HEIGHT - y, x)
        lines = tuple(
            ((0.0, bar + 1.2), (end, bar - 1.2))
            for bar, end in zip(bars.tolist(), ends.tolist(), strict=True)
        )
        shapes.append(Strokes("hatch", lines))
    shapes.append(Strokes("ridge", (_line(x, y),)))
    return Drawing(WIDTH, HEIGHT, tuple(shapes), 13.0)


def _line(x: FloatArray, y: FloatArray) -> Line:
    return tuple(zip(x.tolist(), y.tolist(), strict=True))
