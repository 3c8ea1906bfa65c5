"""Where a profile stands on its sheet: margins, lanes for the marks, and the scales of road and height."""

import math
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray

RADIUS = 12.0 / 13.0
"""Half the width of a numbered mark, in heights of the lettering: at 13 px the 24 px of [WCAG22]_, 2.5.8."""

PITCH = 2.0 * RADIUS + 0.22
"""Distance between the middles of neighbouring marks, in heights of the lettering."""

LEAST_SPAN_M = 60.0
"""Heights are drawn to at least this scale, so that a plain does not look like mountains."""

LEFT, RIGHT = 4.0, 1.2
"""Margins beside the road, in heights of the lettering."""

GROUND = 12.5
"""Height left for the ground where the drawing may choose its own height, in heights of the lettering."""

FOOT = 2.7
CLOCK_FOOT = 2.0
"""Room under the ground for sips and distances, and so much more for the clock."""

NICE_STEPS = (1, 2, 5, 10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000)


@dataclass(frozen=True, slots=True)
class Frame:
    """Where the profile stands on its sheet, everything in the drawing's unit.

    ``text`` is the size of the lettering; marks and margins follow from it. ``start_m`` to ``end_m``
    is the road that is drawn, ``foot`` the room under the ground, in heights of the lettering.
    """

    width: float
    height: float
    text: float
    lanes: int
    start_m: float
    end_m: float
    low_m: float
    high_m: float
    foot: float = FOOT

    @property
    def length_m(self) -> float:
        """Length of the road that is drawn [m]."""
        return self.end_m - self.start_m

    @property
    def radius(self) -> float:
        """Half the width of a numbered mark."""
        return RADIUS * self.text

    @property
    def pitch(self) -> float:
        """Distance between the middles of neighbouring marks."""
        return PITCH * self.text

    @property
    def left(self) -> float:
        """Where the road begins."""
        return LEFT * self.text

    @property
    def right(self) -> float:
        """Where the road ends."""
        return self.width - RIGHT * self.text

    @property
    def top(self) -> float:
        """Highest place of the ground."""
        return self.lanes * self.pitch + 0.9 * self.text

    @property
    def base(self) -> float:
        """Foot of the ground."""
        return self.height - self.foot * self.text

    def x(self, distance_m: FloatArray | float) -> FloatArray:
        """Return the drawing's x of places along the road."""
        return self.left + (self.right - self.left) * (np.asarray(distance_m) - self.start_m) / self.length_m

    def y(self, elevation_m: FloatArray | float) -> FloatArray:
        """Return the drawing's y of heights; a tenth of the ground lies below the lowest."""
        share = (np.asarray(elevation_m) - self.low_m) / (self.high_m - self.low_m)
        return self.base - (self.base - self.top) * (0.1 + 0.9 * share)


def lanes_for(marks: int, width: float, text: float) -> int:
    """Return how many lanes of marks a drawing of some width needs, a tenth of each left free."""
    return math.ceil(marks * PITCH * text / (0.9 * (width - (LEFT + RIGHT) * text)))


def height_for(lanes: int, text: float) -> float:
    """Return the height of a drawing whose ground is `GROUND` high under its lanes of marks."""
    return (lanes * PITCH + GROUND + 3.6) * text


def nice_step(span: float, most: int) -> int:
    """Return the smallest handy step that divides a span into at most so many parts."""
    return next((step for step in NICE_STEPS if span / step <= most), NICE_STEPS[-1])
