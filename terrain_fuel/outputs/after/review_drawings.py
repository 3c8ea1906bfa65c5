"""Pictures of a review: stores over the ridden clock with each bite, and how late along the road."""

from datetime import datetime, timedelta

import numpy as np

from terrain_fuel.outputs.drawing.chart import Chart, steps_between
from terrain_fuel.outputs.drawing.shapes import Drawing, Label, Shape, Strokes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import Words
from terrain_fuel.review.model import FuelLine, PointMet, Review

HEIGHT, TEXT = 240.0, 13.0
MARK_ROOM = 90.0
"""What a mark of the lower axis takes with its lettering."""


def stores_picture(review: Review, words: Words, start: datetime, width: float) -> str:
    """Return stores over the clock as SVG: the curve, its spread, each bite below it; "" without stores."""
    line = review.fuel
    if line is None or line.clock_s.size < 3:
        return ""
    top = float(line.glycogen_high_g.max()) * 1.05
    chart = Chart(width, HEIGHT, TEXT, float(line.clock_s[0]), float(line.clock_s[-1]), 0.0, top)
    marks = hour_marks(line, start, _most_marks(width))
    shapes: list[Shape] = [
        chart.band("band", line.clock_s, line.glycogen_low_g, line.glycogen_high_g),
        *chart.axes(words.label("review.stores.upward"), marks),
        Strokes("curve", (chart.line(line.clock_s, line.glycogen_g),)),
        *_bites(chart, line, review.points),
    ]
    return svg_text(Drawing(width, HEIGHT, tuple(shapes)), _spoken(line, words))


def _most_marks(width: float) -> int:
    """Return how many marks an axis has room for."""
    return int(width / MARK_ROOM)


def hour_marks(line: FuelLine, start: datetime, most: int) -> list[tuple[float, str]]:
    """Return at most so many whole hours of the ridden clock with the local time of each."""
    first, last = float(line.clock_s[0]), float(line.clock_s[-1])
    return [
        (3600.0 * hour, clock_text(start, 3600.0 * hour))
        for hour in steps_between(first / 3600.0, last / 3600.0, most)
    ]


def _bites(chart: Chart, line: FuelLine, points: tuple[PointMet, ...]) -> list[Shape]:
    """Return a dot on the curve for every bite taken, and a ring for every one that was not."""
    shapes: list[Shape] = []
    for point in points:
        if point.action != "eat":
            continue
        at_s = point.taken_s if point.taken_s is not None else point.ridden_s
        if at_s is None:
            continue
        height = np.interp([at_s], line.clock_s, line.glycogen_g)
        role = "planned" if point.taken_s is None else "bite"
        shapes += chart.dots(role, np.array([at_s]), height, 5.0)
        x, y = float(chart.x(at_s)), float(chart.y(float(height[0])))
        shapes.append(Label("quiet", x, y - 0.7 * TEXT, point.label, 0.85 * TEXT, "middle"))
    return shapes


def _spoken(line: FuelLine, words: Words) -> str:
    lowest = int(np.argmin(line.glycogen_g))
    return words.label(
        "review.stores.spoken",
        start_g=float(line.glycogen_g[0]),
        least_g=float(line.glycogen_g[lowest]),
        least_low_g=float(line.glycogen_low_g[lowest]),
        least_high_g=float(line.glycogen_high_g[lowest]),
        at_m=float(line.ridden_m[lowest]),
    )


def late_picture(review: Review, words: Words, width: float) -> str:
    """Return how late each point was reached, along the road, as SVG; "" without a plan that was ridden."""
    met = [(point.distance_m, point.late_s / 60.0) for point in review.points if point.late_s is not None]
    if len(met) < 3:
        return ""
    at_m, late_min = (np.array(column) for column in zip(*met, strict=True))
    low, high = min(float(late_min.min()), -2.0), max(float(late_min.max()), 2.0)
    road = words.units.road_m
    chart = Chart(width, 180.0, TEXT, 0.0, float(at_m[-1]) / road, 1.15 * low, 1.15 * high)
    marks = [
        (at, words.number(at, "g")) for at in steps_between(0.0, float(at_m[-1]) / road, _most_marks(width))
    ]
    shapes: list[Shape] = [
        *chart.axes(words.label("review.late.upward"), marks),
        Strokes("wanted", (chart.line(np.array([0.0, float(at_m[-1]) / road]), np.zeros(2)),)),
        Strokes("curve", (chart.line(at_m / road, late_min),)),
    ]
    spoken = words.label(
        "review.late.spoken", most_min=float(late_min.max()), least_min=float(late_min.min())
    )
    return svg_text(Drawing(width, 180.0, tuple(shapes)), spoken)


def local_start(review: Review, planned_start: datetime | None) -> datetime:
    """Return the recording's start in the plan's zone, or in universal time."""
    zone = planned_start.tzinfo if planned_start is not None else review.ride.start.tzinfo
    return review.ride.start.astimezone(zone)


def moment(start: datetime, at_s: float) -> datetime:
    """Return the local time of a moment of the recording."""
    return start + timedelta(seconds=at_s)
