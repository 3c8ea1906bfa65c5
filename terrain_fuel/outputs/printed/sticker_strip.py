"""One strip drawn in true size: turned profile, leaders, distance, mark and words."""

import math
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.hachure import stroke_places
from terrain_fuel.outputs.printed.faces import STRIP_NARROW
from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.sticker_layout import Strip, StripLayout
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
    """A strip with its place on the page: lower left corner ``x``, ``y`` [points]."""

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
        """Return the height on the page of a distance, to scale."""
        length_m = max(self.strip.end_m - self.strip.start_m, 1.0)
        share = (np.asarray(distance_m, dtype=float) - self.strip.start_m) / length_m
        return self.along(np.clip(share, 0.0, 1.0))

    def line_y(self, index: float) -> float:
        """Return the middle of a line, evenly spaced."""
        return float(self.along((index + 0.5) / len(self.strip.lines)))


def draw_strip(drawing: StripDrawing) -> None:
    """Draw a strip with its outline."""
    page, layout = drawing.page, drawing.layout
    canvas = page.canvas
    canvas.saveState()
    canvas.setStrokeGray(0.6)
    canvas.setLineWidth(0.3)
    canvas.rect(drawing.x, drawing.y, layout.width, layout.height, stroke=1, fill=0)
    canvas.setStrokeGray(0)
    _draw_turned_profile(drawing)
    for index, line in enumerate(drawing.strip.lines):
        _draw_leader(drawing, line, index)
        _draw_line(drawing, line, index)
    canvas.restoreState()


def _draw_line(drawing: StripDrawing, line: StickerLine, index: int) -> None:
    page, layout = drawing.page, drawing.layout
    y = drawing.line_y(index)
    page.text(
        drawing.x + layout.distance_end,
        y - CAP_HALF * layout.distance_pt,
        str(line.whole_distance),
        layout.distance_pt,
        layout.face,
        "end",
    )
    centre = drawing.x + layout.mark_centre
    draw_symbol(
        page.canvas, line.kind, centre, y, layout.mark_radius, ringed=line.with_sip, on_crest=line.on_crest
    )
    baseline = y - CAP_HALF * layout.name_pt
    start = drawing.x + layout.name_start
    page.text(start, baseline, line.text, layout.name_pt, STRIP_NARROW if line.narrow else layout.face)
    if layout.times != "none":
        when = line.likely if layout.times == "window" else line.clock
        centre = drawing.x + layout.times_centre
        page.text(centre, baseline, when, layout.name_pt, layout.times_face, "middle")
    if line.kind == "refill" and index + 1 < len(drawing.strip.lines):
        fold = float(drawing.along((index + 1) / len(drawing.strip.lines)))
        left = drawing.x + layout.leader_end
        page.line(left, fold, drawing.x + layout.width - layout.margin, fold, 1.6)


def _draw_leader(drawing: StripDrawing, line: StickerLine, index: int) -> None:
    """Draw the thin line from a place on the profile to its row."""
    layout = drawing.layout
    left = float(_ridge_x(drawing, np.array([line.distance_m]))[0])
    right = drawing.x + layout.leader_end - 0.4 * MM
    drawing.page.line(left, float(drawing.road_y(line.distance_m)), right, drawing.line_y(index), 0.4)


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
