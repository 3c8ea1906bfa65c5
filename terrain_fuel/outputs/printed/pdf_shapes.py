"""Backend-neutral shapes drawn on a printed page, black on white."""

from typing import Any

from terrain_fuel.outputs.drawing.shapes import Area, Dot, Drawing, Label, Mark, Strokes, Triangle
from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.symbols import draw_symbol

STROKE_WIDTHS = {
    "hachure": 0.35, "ridge": 1.1, "base": 0.6, "hatch": 0.7, "grid": 0.25, "tick": 0.5, "leader": 0.35,
    "glycogen": 0.9, "bottle": 0.9, "likely": 0.8,
}  # fmt: skip
"""Line widths by role [points]."""

STROKE_GRAYS = {"grid": 0.7, "leader": 0.35}
AREA_GRAYS = {"grade-0": 1.0, "grade-1": 0.96, "grade-2": 0.92, "grade-3": 0.87, "grade-4": 0.8, "hands": 1.0}
"""Grey of the ramp by grade, 0 black to 1 white: 20 % at most."""


def draw_shapes(page: Page, drawing: Drawing, x: float, top: float) -> None:
    """Draw a drawing with its upper left corner at a place of the page, one unit a point."""
    canvas = page.canvas
    canvas.saveState()
    for shape in drawing.shapes:
        match shape:
            case Strokes():
                canvas.setLineWidth(STROKE_WIDTHS.get(shape.role, 0.5))
                canvas.setStrokeGray(STROKE_GRAYS.get(shape.role, 0.0))
                for line in shape.lines:
                    canvas.drawPath(_path(canvas, line, x, top), stroke=1, fill=0)
            case Area():
                canvas.setFillGray(AREA_GRAYS.get(shape.role, 1.0))
                path = _path(canvas, shape.outline, x, top)
                path.close()
                canvas.drawPath(path, stroke=0, fill=1)
            case Label():
                canvas.setFillGray(0.0)
                page.text(x + shape.x, top - shape.y, shape.text, shape.size, anchor=shape.anchor)
            case Mark():
                draw_mark(page, shape, x + shape.x, top - shape.y)
            case Triangle():
                draw_symbol(canvas, "hands_on", x + shape.x, top - shape.y, shape.radius)
            case Dot():
                canvas.setFillGray(0.0)
                canvas.circle(x + shape.x, top - shape.y, shape.radius, 0, 1)
    canvas.restoreState()


def draw_mark(page: Page, mark: Mark, x: float, y: float) -> None:
    """Draw a fuel point with its label: white on an eat's disc, black in a refill's square."""
    canvas = page.canvas
    canvas.setFillGray(1.0)
    if mark.action == "refill":
        canvas.rect(x - 0.8 * mark.radius, y - 0.8 * mark.radius, 1.6 * mark.radius, 1.6 * mark.radius, 0, 1)
    elif mark.action == "sip":
        canvas.circle(x, y, 0.8 * mark.radius, 0, 1)
    canvas.setFillGray(0.0)
    draw_symbol(canvas, mark.action, x, y, mark.radius)
    if mark.label:
        size = 1.02 * mark.radius
        canvas.setFillGray(1.0 if mark.action == "eat" else 0.0)
        page.strong(x, y - 0.36 * size, mark.label, size, "middle")
        canvas.setFillGray(0.0)


def _path(canvas: Any, line: tuple[tuple[float, float], ...], x: float, top: float) -> Any:
    path = canvas.beginPath()
    path.moveTo(x + line[0][0], top - line[0][1])
    for across, down in line[1:]:
        path.lineTo(x + across, top - down)
    return path
