"""One strip drawn in true size: the road's profile turned upright, and beside each of its places a line."""

import math
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.printed.faces import STRIP_NARROW
from terrain_fuel.outputs.printed.paper import MM, Page, text_width
from terrain_fuel.outputs.printed.sticker_layout import FLOOR_PT, Strip, StripLayout
from terrain_fuel.outputs.printed.sticker_lines import StickerLine
from terrain_fuel.outputs.printed.symbols import draw_symbol
from terrain_fuel.outputs.rows import hands_on_spans
from terrain_fuel.plan import Plan

CAP_HALF = 0.357
"""Half the height of a capital or a digit over the size of its type."""

HACHURE_MM = 0.55
"""Distance between hachures on the steepest road."""

HATCH_MM = 1.15
"""Distance between the strokes of the hands-on hatch."""

LEAST_RELIEF_M = 120.0
"""A flat road is not drawn as if it were mountains."""


@dataclass(frozen=True, slots=True)
class StripDrawing:
    """A strip with its place on the page: lower left corner ``x``, ``y`` [points].

    The road is drawn longer where lines are close and shorter where they are far apart, so that every line
    stands beside its place.
    """

    page: Page
    plan: Plan
    layout: StripLayout
    strip: Strip
    x: float
    y: float
    upward: bool

    @property
    def foot(self) -> float:
        """Lower end of the road and of the lines."""
        return self.y + self.layout.margin

    @property
    def rise(self) -> float:
        """Height of the road and of the lines together."""
        return self.layout.height - 2 * self.layout.margin

    def along(self, share: FloatArray | float) -> FloatArray:
        """Return the height on the page of a share of the strip, 0 where its road begins."""
        share = np.asarray(share, dtype=float)
        return self.foot + self.rise * (share if self.upward else 1.0 - share)

    def road_y(self, distance_m: FloatArray | float) -> FloatArray:
        """Return the height on the page of a distance: that of its line, in between by the distance."""
        at_m, share = [self.strip.start_m], [0.0]
        for index, line in enumerate(self.strip.lines):
            if line.distance_text and line.distance_m > at_m[-1]:
                at_m.append(line.distance_m)
                share.append((index + 0.5) / len(self.strip.lines))
        if self.strip.end_m > at_m[-1]:
            at_m.append(self.strip.end_m)
            share.append(1.0)
        return self.along(np.interp(np.asarray(distance_m, dtype=float), at_m, share))

    def line_y(self, index: float) -> float:
        """Return the middle of a line, evenly spaced."""
        return float(self.along((index + 0.5) / len(self.strip.lines)))


def draw_strip(drawing: StripDrawing) -> None:
    """Draw a strip with its outline."""
    drawing = replace(drawing, layout=replace(drawing.layout, distance_digits=drawing.strip.digits))
    page, layout = drawing.page, drawing.layout
    canvas = page.canvas
    canvas.saveState()
    canvas.setStrokeGray(0.6)
    canvas.setLineWidth(0.3)
    canvas.rect(drawing.x, drawing.y, layout.width, layout.height, stroke=1, fill=0)
    canvas.setStrokeGray(0)
    _draw_turned_profile(drawing)
    for index, line in enumerate(drawing.strip.lines):
        _draw_line(drawing, line, index)
    canvas.restoreState()


def _draw_line(drawing: StripDrawing, line: StickerLine, index: int) -> None:
    page, layout = drawing.page, drawing.layout
    y = drawing.line_y(index)
    if line.distance_text:
        page.text(
            drawing.x + layout.distance_end,
            y - CAP_HALF * layout.distance_pt,
            line.distance_text,
            layout.distance_pt,
            layout.face,
            "end",
        )
        ridge = float(_ridge_x(drawing, np.array([line.distance_m]))[0])
        page.line(ridge, y, drawing.x + layout.text_start - 0.5, y, 0.5)
    _draw_mark(drawing, line, y)
    size, face = layout.type_of(line)
    start = drawing.x + layout.start_of(line.kind)
    width = page.text(start, y - CAP_HALF * size, line.text, size, face)
    if line.with_disc:
        draw_symbol(page.canvas, "eat", start + width + 1.0 + 0.36 * size, y, 0.36 * size)
    if layout.times != "none" and line.likely:
        centre = drawing.x + layout.times_centre
        page.text(centre, y - CAP_HALF * FLOOR_PT, line.likely, FLOOR_PT, STRIP_NARROW, "middle")
    if line.kind in ("rhythm", "turn"):
        away = -0.5 if line.kind == "turn" else 0.5
        rule = float(drawing.along((index + 0.5 + away) / len(drawing.strip.lines)))
        right = drawing.x + layout.width - layout.margin
        page.line(drawing.x + layout.text_start, rule, right, rule, 1.2)


def _draw_mark(drawing: StripDrawing, line: StickerLine, y: float) -> None:
    """Draw a line's mark: its label white in a bite's disc, black in a halt's square."""
    page, layout = drawing.page, drawing.layout
    centre = drawing.x + layout.mark_centre
    match line.kind:
        case "rhythm" | "pour" | "turn":
            return
        case _:
            draw_symbol(page.canvas, line.kind, centre, y, layout.mark_radius)
    if line.label:
        page.canvas.setFillGray(1.0 if line.kind == "eat" else 0.0)
        size = FLOOR_PT
        most = 1.75 * layout.mark_radius
        wide = text_width(line.label, size, STRIP_NARROW)
        page.narrowed(centre, y - CAP_HALF * size, line.label, size, STRIP_NARROW, min(1.0, most / wide))
        page.canvas.setFillGray(0.0)


def _draw_turned_profile(drawing: StripDrawing) -> None:
    """Draw the road's heights turned upright: the ground grows to the right from the strip's left edge."""
    strip = drawing.strip
    road_m = np.linspace(strip.start_m, strip.end_m, max(2, round(drawing.rise)))
    base = drawing.x + drawing.layout.margin
    ridge = _ridge_x(drawing, road_m)
    y = drawing.road_y(road_m)
    spans = hands_on_spans(drawing.plan)
    _draw_hachures(drawing, road_m, ridge, base, spans)
    for start_m, end_m in spans:
        inside = (road_m >= start_m) & (road_m <= end_m)
        if inside.any():
            _draw_hatch(drawing, ridge[inside], y[inside], base)
    _draw_path(drawing, ridge, y, 1.0)
    drawing.page.line(base, drawing.foot, base, drawing.foot + drawing.rise, 0.5)


def _ridge_x(drawing: StripDrawing, road_m: FloatArray) -> FloatArray:
    """Return where the heights stand on the page, to one scale on all strips of the plan."""
    profile = drawing.plan.terrain.profile
    low_m = float(profile.elevation_m.min())
    relief_m = max(float(profile.elevation_m.max()) - low_m, LEAST_RELIEF_M)
    share = (np.interp(road_m, profile.distance_m, profile.elevation_m) - low_m) / relief_m
    layout = drawing.layout
    return np.asarray(drawing.x + layout.margin + layout.profile_width * (0.12 + 0.88 * share))


def _draw_hachures(
    drawing: StripDrawing,
    road_m: FloatArray,
    ridge: FloatArray,
    base: float,
    spans: tuple[tuple[float, float], ...],
) -> None:
    """Draw strokes from the ridge inward, leaning downhill, none where the hatch will stand."""
    profile = drawing.plan.terrain.profile
    slope = np.interp(road_m, profile.distance_m, profile.grade)
    position = np.linspace(0.0, drawing.rise, road_m.size)
    for place in stroke_places(position, slope, HACHURE_MM * MM).tolist():
        here_m = float(np.interp(place, position, road_m))
        if any(start_m <= here_m <= end_m for start_m, end_m in spans):
            continue
        x = float(np.interp(here_m, road_m, ridge))
        grade = float(np.interp(here_m, road_m, slope))
        y = float(drawing.road_y(here_m))
        length = min(0.75 * (x - base), 5.5)
        lean = -math.copysign(0.25 * length, grade) * (1.0 if drawing.upward else -1.0)
        tip = min(max(y + lean, drawing.foot), drawing.foot + drawing.rise)
        drawing.page.line(x, y, x - length, tip, 0.45)


def _draw_hatch(drawing: StripDrawing, ridge: FloatArray, y: FloatArray, base: float) -> None:
    """Draw 45 degree strokes over the ground of a hands-on span, and a bar along its foot."""
    canvas = drawing.page.canvas
    canvas.saveState()
    path = canvas.beginPath()
    path.moveTo(base, float(y[0]))
    for x, height in zip(ridge.tolist(), y.tolist(), strict=True):
        path.lineTo(x, height)
    path.lineTo(base, float(y[-1]))
    path.close()
    canvas.clipPath(path, stroke=0, fill=0)
    low, high, reach = float(y.min()), float(y.max()), float(ridge.max()) - base
    canvas.setLineWidth(0.8)
    for start in np.arange(low - reach, high, HATCH_MM * MM).tolist():
        canvas.line(base, start, base + reach, start + reach)
    canvas.restoreState()
    drawing.page.line(base, low, base, high, 2.2)


def _draw_path(drawing: StripDrawing, x: FloatArray, y: FloatArray, width: float) -> None:
    canvas = drawing.page.canvas
    path = canvas.beginPath()
    path.moveTo(float(x[0]), float(y[0]))
    for right, height in zip(x[1:].tolist(), y[1:].tolist(), strict=True):
        path.lineTo(right, height)
    canvas.setLineWidth(width)
    canvas.setLineJoin(1)
    canvas.drawPath(path, stroke=1, fill=0)
