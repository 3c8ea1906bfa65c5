"""A plain chart: two scales, bands, lines and points, drawn with the same shapes as the profile."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.shapes import Area, Dot, Label, Line, Shape, Strokes

LEFT, RIGHT, TOP, BOTTOM = 4.2, 1.2, 1.8, 2.6
"""Margins, in heights of the lettering."""

STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)

MARK_ROOM = 85.0
"""What a mark of the foot takes with its lettering."""


@dataclass(frozen=True, slots=True)
class Chart:
    """Where values stand on a sheet; sizes in the drawing's unit, values in their own."""

    width: float
    height: float
    text: float
    from_x: float
    to_x: float
    from_y: float
    to_y: float

    def x(self, values: FloatArray | float) -> FloatArray:
        """Return the drawing's x of values."""
        room = self.width - (LEFT + RIGHT) * self.text
        return LEFT * self.text + room * (np.asarray(values) - self.from_x) / (self.to_x - self.from_x)

    def y(self, values: FloatArray | float) -> FloatArray:
        """Return the drawing's y of values, held inside the chart."""
        foot, room = self.height - BOTTOM * self.text, self.height - (TOP + BOTTOM) * self.text
        share = np.clip((np.asarray(values) - self.from_y) / (self.to_y - self.from_y), 0.0, 1.0)
        return np.asarray(foot - room * share)

    def line(self, x: FloatArray, y: FloatArray) -> Line:
        """Return a line through values."""
        return tuple(zip(self.x(x).tolist(), self.y(y).tolist(), strict=True))

    def axes(self, title: str, marks: Sequence[tuple[float, str]]) -> list[Shape]:
        """Return the frame: what stands upward, with its steps, and given marks along the foot."""
        shapes: list[Shape] = [Label("quiet", 0.4 * self.text, 1.0 * self.text, title, 0.92 * self.text)]
        for value in steps_between(self.from_y, self.to_y, 5):
            y = float(self.y(value))
            edge = (float(self.x(self.from_x)), float(self.x(self.to_x)))
            shapes.append(Strokes("grid", (((edge[0], y), (edge[1], y)),)))
            at = (edge[0] - 0.4 * self.text, y + 0.35 * self.text)
            shapes.append(Label("quiet", *at, f"{value:g}", 0.85 * self.text, "end"))
        foot = float(self.y(self.from_y))
        shapes.append(
            Strokes("base", (((float(self.x(self.from_x)), foot), (float(self.x(self.to_x)), foot)),))
        )
        for value, said in marks:
            x = float(self.x(value))
            shapes.append(Strokes("tick", (((x, foot), (x, foot + 0.35 * self.text)),)))
            shapes.append(Label("quiet", x, self.height - 0.8 * self.text, said, 0.92 * self.text, "middle"))
        return shapes

    def band(self, role: str, x: FloatArray, low: FloatArray, high: FloatArray) -> Area:
        """Return the area between two curves."""
        return Area(role, (*self.line(x, low), *reversed(self.line(x, high))))

    def dots(self, role: str, x: FloatArray, y: FloatArray, radius: float) -> list[Shape]:
        """Return a dot at each value."""
        return [Dot(role, *place, radius) for place in self.line(x, y)]


def most_marks(width: float) -> int:
    """Return how many marks of the foot find room beside each other, with their lettering."""
    return int(width / MARK_ROOM)


def steps_between(low: float, high: float, most: int) -> list[float]:
    """Return round values between two, at most so many and one.

    >>> steps_between(0.0, 450.0, 5)
    [0.0, 100.0, 200.0, 300.0, 400.0]
    """
    span = max(high - low, 1e-9)
    power = 10.0 ** math.floor(math.log10(span / most))
    step = next(power * each for each in STEPS if power * each * most >= span)
    first = math.ceil(low / step - 1e-9)
    return [float(round(step * number, 10)) for number in range(first, math.floor(high / step + 1e-9) + 1)]
