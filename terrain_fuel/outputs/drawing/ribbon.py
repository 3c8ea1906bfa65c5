"""The strip map's ribbon: the road straightened to a bar that runs upward, its hills hachured beside it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.drawing.shapes import Area, Drawing, Label, Line, Mark, Shape, Strokes
from terrain_fuel.outputs.drawing.turns import turns_of_the_way
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan

LEAST_RELIEF_M = 120.0
"""A flat road is not drawn as if it were mountains."""

GRADE_OVER_M = 100.0
"""A grade is that between so far back and so far on."""

NUMBERED = 5
"""Every so manieth kilometre or mile is numbered where there is room."""


COMPASS, BESIDE = 0.75, 1.75
"""Radius of a compass, and the width that the hills leave to those, in heights of the lettering."""

Taken = tuple[float, float]
"""A place down the drawing that is taken, and how much around it."""


@dataclass(frozen=True, slots=True)
class Ribbon:
    """Where the ribbon stands on its sheet, everything in the drawing's unit.

    Parameters
    ----------
    plan : the finished plan
    width, height, text : size of the drawing and of its lettering; the bar stands at its right edge
    at_m : places of the road, rising; the first and the last are the ends of what is drawn [m]
    y : how far down each of them stands, falling: the road runs upward
    beside : width at its left edge that the hills leave to compasses, laps and distances
    """

    plan: Plan
    width: float
    height: float
    text: float
    at_m: FloatArray
    y: FloatArray
    beside: float = 0.0

    @property
    def half(self) -> float:
        """Half the width of the bar."""
        return 0.3 * self.text

    @property
    def bar_x(self) -> float:
        """Middle of the bar."""
        return self.width - self.half

    @property
    def edge(self) -> float:
        """Left edge of the bar, the foot of the hills."""
        return self.width - 2.0 * self.half

    @property
    def top(self) -> float:
        """Where the drawn road ends."""
        return float(self.y[-1])

    @property
    def start_m(self) -> float:
        """Where the drawn road begins [m]."""
        return float(self.at_m[0])

    @property
    def end_m(self) -> float:
        """Where it ends [m]."""
        return float(self.at_m[-1])

    def y_at(self, distance_m: FloatArray | float) -> FloatArray:
        """Return how far down places of the road stand."""
        return np.asarray(np.interp(distance_m, self.at_m, self.y))

    def has(self, distance_m: float) -> bool:
        """Return whether a place is on the drawn road."""
        return self.start_m <= distance_m < self.end_m


def ribbon_shapes(ribbon: Ribbon) -> Drawing:
    """Return the ribbon as shapes: hills, hands-on hatch, bar, compasses and distances, sips."""
    ribbon = replace(ribbon, beside=BESIDE * ribbon.text)
    shapes = [*_hills(ribbon), *_hands_on(ribbon), *_bar(ribbon), *_roadside(ribbon), *_sips(ribbon)]
    return Drawing(ribbon.width, ribbon.height, tuple(shapes))


def ribbon_edge(ribbon: Ribbon, *, upward: bool = True) -> Drawing:
    """Return the ribbon as a sticker's edge has it: hills, hatch and bar, with no room for more.

    ``upward`` is False for a road that runs down the drawing.
    """
    shapes: tuple[Shape, ...] = (*_hills(ribbon), *_hands_on(ribbon), *_bar(ribbon))
    if not upward:
        shapes = tuple(_mirrored(shape, ribbon.height) for shape in shapes)
    return Drawing(ribbon.width, ribbon.height, shapes)


def _mirrored(shape: Shape, height: float) -> Shape:
    """Return an area or strokes upside down, the left on the left."""
    match shape:
        case Area():
            return Area(shape.role, tuple((x, height - y) for x, y in shape.outline))
        case Strokes():
            lines = tuple(tuple((x, height - y) for x, y in line) for line in shape.lines)
            return Strokes(shape.role, lines)
        case _:
            return shape


def _hills(ribbon: Ribbon) -> list[Shape]:
    """Return the hills: the higher the road, the farther they reach from the bar; strokes run downhill."""
    profile = ribbon.plan.terrain.profile
    down = np.linspace(ribbon.top, ribbon.height, max(2, round(2.0 * ribbon.height)))
    road_m = np.interp(down, ribbon.y[::-1], ribbon.at_m[::-1])

    def height_m(at_m: FloatArray) -> FloatArray:
        return np.asarray(np.interp(at_m, profile.distance_m, profile.elevation_m))

    low_m = float(profile.elevation_m.min())
    relief_m = max(float(profile.elevation_m.max()) - low_m, LEAST_RELIEF_M)
    share = 0.08 + 0.92 * (height_m(road_m) - low_m) / relief_m
    ridge = ribbon.edge - (ribbon.edge - ribbon.beside) * share
    rise_m = height_m(road_m + GRADE_OVER_M) - height_m(road_m - GRADE_OVER_M)
    grade = rise_m / (2.0 * GRADE_OVER_M)
    outline: Line = tuple(zip(ridge.tolist(), down.tolist(), strict=True))
    strokes: list[Line] = []
    for y in stroke_places(down, grade, 0.3 * ribbon.text).tolist():
        x, steep = float(np.interp(y, down, ridge)), float(np.interp(y, down, grade))
        length = (ribbon.edge - x) * (0.25 + 4.5 * min(0.12, abs(steep)))
        lean = math.copysign(0.22 * length, steep)
        strokes.append(((x, y), (x + length, min(max(y + lean, ribbon.top), ribbon.height))))
    return [
        Area("grade-1", (*outline, (ribbon.edge, ribbon.height), (ribbon.edge, ribbon.top))),
        Strokes("hachure", tuple(strokes)),
        Strokes("ridge", (outline,)),
    ]


def _hatched(ribbon: Ribbon) -> Iterator[tuple[float, float]]:
    """Yield foot and top of the road on which no hand leaves the bars, a short one as long as can be seen."""
    for start_m, end_m in hands_on_spans(ribbon.plan):
        if end_m <= ribbon.start_m or start_m >= ribbon.end_m:
            continue
        low, high = float(ribbon.y_at(start_m)), float(ribbon.y_at(end_m))
        more = max(0.0, 0.5 * (0.9 * ribbon.text - (low - high)))
        yield min(low + more, ribbon.height), max(high - more, ribbon.top)


def _hands_on(ribbon: Ribbon) -> Iterator[Shape]:
    """Yield the hatch over the road on which no hand leaves the bars."""
    for low, high in _hatched(ribbon):
        yield Area("hands", ((0.0, low), (ribbon.edge, low), (ribbon.edge, high), (0.0, high)))
        drop = 0.8 * ribbon.text
        lines: list[Line] = []
        for y in np.arange(low, high, -0.4 * ribbon.text).tolist():
            share = min(1.0, (y - high) / drop)
            lines.append(((0.0, y), (share * ribbon.edge, y - share * drop)))
        yield Strokes("hatch", tuple(lines))


def _bar(ribbon: Ribbon) -> Iterator[Shape]:
    """Yield the bar of whole kilometres or miles, dark and light in turn."""
    left, right, top, foot = ribbon.edge, ribbon.width, ribbon.top, ribbon.height
    unit = words_for(ribbon.plan.rider).units.road_m
    yield Area("bar-light", ((left, top), (right, top), (right, foot), (left, foot)))
    for number in range(int(ribbon.start_m // unit), math.ceil(ribbon.end_m / unit)):
        if number % 2 == 0:
            ends_m = np.clip([number * unit, (number + 1) * unit], ribbon.start_m, ribbon.end_m)
            low, high = ribbon.y_at(ends_m).tolist()
            yield Area("bar-dark", ((left, low), (right, low), (right, high), (left, high)))
    yield Strokes("bar-edge", tuple(((x, top), (x, foot)) for x in (left, right)))


def _roadside(ribbon: Ribbon) -> Iterator[Shape]:
    """Yield laps, compasses where the way turns and distances, each where there is still room."""
    words = words_for(ribbon.plan.rider)
    taken: list[Taken] = [(0.5 * (low + high), 0.5 * (low - high)) for low, high in _hatched(ribbon)]
    yield from _numbers(ribbon, taken, _laps(ribbon.plan, words))
    yield from _compasses(ribbon, taken)
    yield from _numbers(ribbon, taken, _distances(ribbon, words))


def _numbers(ribbon: Ribbon, taken: list[Taken], places: list[tuple[float, str]]) -> Iterator[Shape]:
    """Yield small lettering beside the road where there is room for it."""
    for at_m, name in places:
        if _takes(ribbon, taken, at_m, 0.5 * ribbon.text):
            y = float(ribbon.y_at(at_m)) + 0.3 * ribbon.text
            yield Label("quiet", 0.0, y, name, 0.8 * ribbon.text)


def _takes(ribbon: Ribbon, taken: list[Taken], at_m: float, room: float) -> bool:
    """Return whether there is room around a place of the drawn road, and take it."""
    y = float(ribbon.y_at(at_m))
    free = ribbon.has(at_m) and ribbon.top + room <= y <= ribbon.height - room
    free = free and all(abs(y - other) > room + size for other, size in taken)
    if free:
        taken.append((y, room))
    return free


def _compasses(ribbon: Ribbon, taken: list[Taken]) -> Iterator[Shape]:
    """Yield a compass where the way turns."""
    size = COMPASS * ribbon.text
    # the first compass stands above the foot, not across it
    first_m = float(np.interp(ribbon.height - 1.2 * size, ribbon.y[::-1], ribbon.at_m[::-1]))
    for turn_m, degrees in turns_of_the_way(ribbon.plan):
        middle_m = max(float(turn_m), first_m) if ribbon.has(turn_m) else float(turn_m)
        if _takes(ribbon, taken, middle_m, 1.1 * size):
            y = float(ribbon.y_at(middle_m))
            yield from _compass(1.05 * size, y, degrees, size)


def _laps(plan: Plan, words: Words) -> list[tuple[float, str]]:
    laps = plan.terrain.laps
    begins_m = laps.bounds_m[:-1] if laps else ()
    return [(at_m, words.label("page.script.lap", number=lap)) for lap, at_m in enumerate(begins_m, 1)]


def _distances(ribbon: Ribbon, words: Words) -> list[tuple[float, str]]:
    step_m = NUMBERED * words.units.road_m
    first = max(1, math.ceil(ribbon.start_m / step_m))
    numbers = range(first, math.ceil(ribbon.end_m / step_m))
    return [(number * step_m, str(number * NUMBERED)) for number in numbers]


def _compass(x: float, y: float, degrees: int, size: float) -> Iterator[Shape]:
    """Yield a compass: the road runs up, the needle points north."""
    turn = math.radians(-degrees)

    def placed(*points: tuple[float, float]) -> Line:
        return tuple(
            (
                x + size * (right * math.cos(turn) - down * math.sin(turn)),
                y + size * (right * math.sin(turn) + down * math.cos(turn)),
            )
            for right, down in points
        )

    round_ = placed(*((math.cos(a), math.sin(a)) for a in np.linspace(0.0, 2.0 * math.pi, 37).tolist()))
    yield Area("paper", round_)
    yield Area("needle", placed((0.0, -1.0), (0.36, 0.3), (0.0, 0.0)))
    yield Strokes(
        "compass",
        (
            round_,
            placed((0.0, -1.0), (0.36, 0.3), (0.0, 0.0), (-0.36, 0.3), (0.0, -1.0)),
            *(placed((r, d), (0.6 * r, 0.6 * d)) for r, d in ((0.0, 1.0), (1.0, 0.0), (-1.0, 0.0))),
        ),
    )


def _sips(ribbon: Ribbon) -> Iterator[Shape]:
    for point in ribbon.plan.fuel_points:
        if point.action == "sip" and ribbon.has(point.distance_m):
            y = float(ribbon.y_at(point.distance_m))
            yield Mark("sip", point.number, "", ribbon.bar_x, y, 0.3 * ribbon.text)
