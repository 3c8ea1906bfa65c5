"""One strip drawn in true size: the strip map's ribbon, and beside each of its places a line."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.ribbon import Ribbon, ribbon_edge
from terrain_fuel.outputs.printed.faces import STRIP_NARROW
from terrain_fuel.outputs.printed.paper import Page, text_width
from terrain_fuel.outputs.printed.pdf_shapes import draw_shapes
from terrain_fuel.outputs.printed.sticker_columns import FLOOR_PT, StripLayout
from terrain_fuel.outputs.printed.sticker_layout import Strip
from terrain_fuel.outputs.printed.sticker_lines import StickerLine
from terrain_fuel.outputs.printed.symbols import draw_symbol
from terrain_fuel.plan import Plan

CAP_HALF = 0.357
"""Half the height of a capital or a digit over the size of its type."""

RIBBON_PT, NARROW_RIBBON_PT = 6.0, 4.0
"""What the ribbon is measured by: its bar is six tenths of it wide."""


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

    @property
    def knots(self) -> tuple[list[float], list[float]]:
        """Places of the road [m] and the share of the strip at which each stands: that of its line."""
        at_m, share = [self.strip.start_m], [0.0]
        for index, line in enumerate(self.strip.lines):
            if line.distance_text and line.distance_m > at_m[-1]:
                at_m.append(line.distance_m)
                share.append((index + 0.5) / len(self.strip.lines))
        if self.strip.end_m > at_m[-1]:
            at_m.append(self.strip.end_m)
            share.append(1.0)
        return at_m, share

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
    _draw_ribbon(drawing)
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
        bar = drawing.x + layout.margin + layout.profile_width
        page.line(bar, y, drawing.x + layout.text_start - 0.5, y, 0.5)
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


def _draw_ribbon(drawing: StripDrawing) -> None:
    """Draw the strip map's ribbon at the strip's left edge, the lines' leaders from its bar."""
    layout = drawing.layout
    at_m, share = drawing.knots
    down = drawing.rise * (1.0 - np.array(share))
    text = RIBBON_PT if layout.wide else NARROW_RIBBON_PT
    ribbon = Ribbon(drawing.plan, layout.profile_width, drawing.rise, text, np.array(at_m), down)
    shapes = ribbon_edge(ribbon, upward=drawing.upward)
    draw_shapes(drawing.page, shapes, drawing.x + layout.margin, drawing.foot + drawing.rise)
