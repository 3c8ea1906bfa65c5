"""An event's pictures: the road with its feeds, and each feed by the clock."""

from datetime import datetime

import numpy as np

from terrain_fuel.event.quantiles import Quantiles
from terrain_fuel.event.told import ArrangementTold, EventTold, FeedTold
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.chart import Chart, most_marks, steps_between
from terrain_fuel.outputs.drawing.shapes import Anchor, Drawing, Label, Line, Mark, Shape, Strokes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.event.naming import feed_letter
from terrain_fuel.outputs.map.contours import contour_lines
from terrain_fuel.outputs.map.mercator import mercator_y
from terrain_fuel.outputs.map.relief import map_grid
from terrain_fuel.outputs.words import Words

HEIGHT, TEXT = 190.0, 13.0
MAP_EDGE = 36.0
MAP_TALLEST = 640.0
"""No map is taller."""
ROAD_POINTS = 1500
CONTOURS = 12
ASIDE, LETTER_WIDE = 16.0, 0.6
"""Names stand so far from the middle of a feed's square; a letter is at most about so wide for its height."""
HATCH_M, HATCH_LONG = 130.0, 9.0
"""Strokes across a technical descent stand so far apart on the road, and are so long on the map."""


def event_map(told: EventTold, words: Words, width: float) -> str:
    """Return the road as a map with lettered feeds, as SVG."""
    profile = told.course.terrain.profile
    node = np.unique(np.linspace(0, profile.distance_m.size - 1, ROAD_POINTS).astype(np.intp))
    frame = _Frame(profile.lon_deg, profile.lat_deg, width)
    shapes: list[Shape] = []
    relief = told.course.terrain.relief
    if relief is not None:
        shapes.append(Strokes("ground", _ground(told, frame)))
    road = frame.line(profile.lon_deg[node], profile.lat_deg[node])
    shapes.append(Strokes("road", (road,)))
    shapes.append(Strokes("hatch", _across_descents(told, frame)))
    letters = []
    for number, feed in enumerate(told.meant.feeds):
        at = profile.node(1000.0 * feed.feed.at_km)
        x, y = frame.point(float(profile.lon_deg[at]), float(profile.lat_deg[at]))
        shapes.append(Mark("refill", number + 1, feed_letter(number), x, y, 11.0))
        shapes.append(_beside(x, y, feed.feed.name, road, frame))
        letters.append(f"{feed_letter(number)} {feed.feed.name}")
    spoken = words.label("event.map.spoken", feeds=tuple(letters))
    return svg_text(Drawing(frame.width, frame.height, tuple(shapes)), spoken)


def _beside(x: float, y: float, name: str, road: Line, frame: "_Frame") -> Label:
    """Return a feed's name on the side of its square where the road leaves it free, within the map."""
    wide, places = LETTER_WIDE * TEXT * len(name), np.array(road)
    sides: tuple[tuple[float, float, float, Anchor], ...] = (
        (x + ASIDE, y, 0.0, "start"),
        (x - ASIDE, y, -1.0, "end"),
        (x, y + ASIDE + 0.5 * TEXT, -0.5, "middle"),
        (x, y - ASIDE - 0.5 * TEXT, -0.5, "middle"),
    )

    def disturbed(side: tuple[float, float, float, Anchor]) -> tuple[bool, int]:
        at_x, at_y, before, _ = side
        low = np.array([at_x + before * wide, at_y - 0.7 * TEXT])
        high = low + np.array([wide, 1.4 * TEXT])
        outside = not (frame.holds(tuple(low.tolist())) and frame.holds(tuple(high.tolist())))
        return outside, int(np.count_nonzero(((places > low) & (places < high)).all(axis=1)))

    at_x, at_y, _, anchor = min(sides, key=disturbed)
    return Label("name", at_x, at_y + 0.35 * TEXT, name, TEXT, anchor)


class _Frame:
    """Where places stand on the map: Mercator, north up, the road within the edges."""

    def __init__(self, lon_deg: FloatArray, lat_deg: FloatArray, width: float) -> None:
        east, north = np.radians(lon_deg), mercator_y(lat_deg)
        self._west, self._north = float(east.min()), float(north.max())
        wide, tall = float(np.ptp(east)), float(np.ptp(north))
        self._scale = min(
            (width - 2 * MAP_EDGE) / max(wide, 1e-9), (MAP_TALLEST - 2 * MAP_EDGE) / max(tall, 1e-9)
        )
        self._left = 0.5 * (width - self._scale * wide)
        self.width, self.height = width, self._scale * tall + 2 * MAP_EDGE

    def line(self, lon_deg: FloatArray, lat_deg: FloatArray) -> Line:
        """Return a line through places."""
        x = self._left + self._scale * (np.radians(lon_deg) - self._west)
        y = MAP_EDGE + self._scale * (self._north - mercator_y(lat_deg))
        return tuple(zip(x.tolist(), y.tolist(), strict=True))

    def point(self, lon_deg: float, lat_deg: float) -> tuple[float, float]:
        """Return one place."""
        return self.line(np.array([lon_deg]), np.array([lat_deg]))[0]

    def holds(self, point: tuple[float, float]) -> bool:
        """Return whether a point lies on the map."""
        return 0.0 <= point[0] <= self.width and 0.0 <= point[1] <= self.height


def _ground(told: EventTold, frame: _Frame) -> tuple[Line, ...]:
    """Return contours of the ground that lies on the map."""
    relief = told.course.terrain.relief
    assert relief is not None
    grid = map_grid(relief)
    low, high = float(np.nanmin(grid.elevation_m)), float(np.nanmax(grid.elevation_m))
    levels = np.array(steps_between(low, high, CONTOURS))
    rows, columns = grid.elevation_m.shape
    lon = np.linspace(grid.west_deg, grid.east_deg, columns)
    lat_of_row = np.linspace(grid.north_deg, grid.south_deg, rows)
    kept: list[Line] = []
    for lines in contour_lines(grid.elevation_m, levels):
        for line in lines:
            column, row = np.array(line)[::2].T if len(line) > 8 else (np.empty(0), np.empty(0))
            drawn = frame.line(
                np.interp(column, np.arange(columns), lon), np.interp(row, np.arange(rows), lat_of_row)
            )
            inside = tuple(point for point in drawn if frame.holds(point))
            if len(inside) == len(drawn) > 4:
                kept.append(drawn)
    return tuple(kept)


def _across_descents(told: EventTold, frame: _Frame) -> tuple[Line, ...]:
    profile = told.course.terrain.profile
    strokes: list[Line] = []
    for part in told.course.parts:
        if part.kind != "technical":
            continue
        for at_m in np.arange(part.start_m, part.end_m, HATCH_M).tolist():
            at = profile.node(at_m)
            x, y = frame.point(float(profile.lon_deg[at]), float(profile.lat_deg[at]))
            across = np.radians(float(profile.heading_deg[at]) + 90.0)
            dx, dy = 0.5 * HATCH_LONG * float(np.sin(across)), -0.5 * HATCH_LONG * float(np.cos(across))
            strokes.append(((x - dx, y - dy), (x + dx, y + dy)))
    return tuple(strokes)


def feed_picture(
    told: EventTold, arranged: ArrangementTold, feed: FeedTold, words: Words, chart: str, width: float
) -> str:
    """Return one of a feed's three charts by the clock as SVG: "arrivals", "crowd" or "litres"."""
    shown, beside = {
        "arrivals": (feed.arrivals, feed.stopping),
        "crowd": (feed.standing, feed.waiting),
        "litres": (feed.litres, feed.pieces),
    }[chart]
    return _chart(told, arranged, feed, words, f"event.{chart}", shown, beside, width)


def _chart(
    told: EventTold,
    arranged: ArrangementTold,
    feed: FeedTold,
    words: Words,
    key: str,
    shown: Quantiles,
    beside: Quantiles,
    width: float,
) -> str:
    """Return one chart: a band, its middle, and the middle of something beside it in dashes."""
    busy = np.flatnonzero((feed.arrivals.high > 0) | (feed.standing.high > 0))
    first, last = int(busy[0]), min(int(busy[-1]) + 1, shown.middle.size)
    middle_s = 0.5 * (arranged.edges_s[1:] + arranged.edges_s[:-1])[first:last]
    most = max(float(shown.high.max()), float(beside.middle.max()), 1.0)
    chart = Chart(
        width, HEIGHT, TEXT, float(arranged.edges_s[first]), float(arranged.edges_s[last]), 0.0, 1.08 * most
    )
    title = words.label("event.litres.upward" if key == "event.litres" else key)
    shapes: list[Shape] = [
        chart.band("band", middle_s, shown.low[first:last], shown.high[first:last]),
        *chart.axes(
            title, _hours(told, float(arranged.edges_s[first]), float(arranged.edges_s[last]), width)
        ),
        Strokes("planned", (chart.line(middle_s, beside.middle[first:last]),)),
        Strokes("curve", (chart.line(middle_s, shown.middle[first:last]),)),
    ]
    fullest: datetime = told.course.clock(float(arranged.edges_s[int(np.argmax(shown.high))]))
    spoken = words.label(f"{key}.spoken", feed=feed.feed.name, most=float(shown.high.max()), clock=fullest)
    return svg_text(Drawing(width, HEIGHT, tuple(shapes)), spoken)


def _hours(told: EventTold, first_s: float, last_s: float, width: float) -> list[tuple[float, str]]:
    return [
        (3600.0 * hour, f"{told.course.clock(3600.0 * hour):%H:%M}")
        for hour in steps_between(first_s / 3600.0, last_s / 3600.0, most_marks(width))
    ]
