"""The marks as drawn paths for print: each kind has a shape of its own, black on white, no font needed."""

from typing import Any, Literal

from terrain_fuel.outputs.row import RowKind

Sign = RowKind | Literal["passed"]
"""What has a mark of its own: rows, and places with water that are passed."""


def draw_symbol(
    canvas: Any,
    kind: Sign,
    x: float,
    y: float,
    radius: float,
) -> None:
    """Draw the mark of a row around a centre [points].

    Parameters
    ----------
    canvas : a PDF canvas
    kind : eat is a disc, sip a ring, refill a square, hands_on the warning triangle [ISO7010]_;
        crest, summit, foot, place and finish are small line figures; passed is a halt's square struck out
    x, y, radius : centre and half the width of the mark
    """
    canvas.saveState()
    canvas.setLineWidth(0.26 * radius)
    canvas.setLineJoin(1)
    canvas.setLineCap(1)
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    canvas.translate(x, y)
    if kind == "eat":
        canvas.circle(0, 0, radius, stroke=0, fill=1)
    elif kind == "sip":
        canvas.circle(0, 0, 0.8 * radius, stroke=1, fill=0)
    elif kind == "refill":
        canvas.setLineWidth(0.18 * radius)
        canvas.rect(-0.9 * radius, -0.9 * radius, 1.8 * radius, 1.8 * radius, stroke=1, fill=0)
    elif kind == "passed":
        _struck_square(canvas, 0.72 * radius)
    elif kind == "finish":
        for height in (-0.3 * radius, 0.3 * radius):
            canvas.line(-0.9 * radius, height, 0.9 * radius, height)
    elif kind == "hands_on":
        _warning(canvas, radius)
    else:
        _landmark(canvas, kind, radius)
    canvas.restoreState()


def _warning(canvas: Any, radius: float) -> None:
    """Draw an upright triangle with an exclamation mark, white on black to be seen first."""
    path = canvas.beginPath()
    path.moveTo(0, 0.95 * radius)
    path.lineTo(1.02 * radius, -0.78 * radius)
    path.lineTo(-1.02 * radius, -0.78 * radius)
    path.close()
    canvas.setLineWidth(0.2 * radius)
    canvas.drawPath(path, stroke=1, fill=1)
    canvas.setStrokeGray(1)
    canvas.setLineWidth(0.24 * radius)
    canvas.line(0, 0.4 * radius, 0, -0.2 * radius)
    canvas.line(0, -0.53 * radius, 0, -0.54 * radius)


def _struck_square(canvas: Any, half: float) -> None:
    """Draw a square and its diagonal in one line."""
    path = canvas.beginPath()
    path.moveTo(-half, -half)
    for x, y in ((-half, half), (half, half), (half, -half), (-half, -half), (half, half)):
        path.lineTo(x, y)
    canvas.setLineWidth(0.3 * half)
    canvas.drawPath(path, stroke=1, fill=0)


def _landmark(canvas: Any, kind: RowKind, radius: float) -> None:
    r = 0.8 * radius
    path = canvas.beginPath()
    if kind in ("crest", "summit"):
        path.moveTo(-r, -0.6 * r)
        path.lineTo(0, 0.7 * r)
        path.lineTo(r, -0.6 * r)
    elif kind == "foot":
        path.moveTo(-r, -0.6 * r)
        path.lineTo(-0.1 * r, -0.6 * r)
        path.lineTo(r, 0.7 * r)
    else:
        path.moveTo(0, 0.8 * r)
        path.lineTo(0.8 * r, 0)
        path.lineTo(0, -0.8 * r)
        path.lineTo(-0.8 * r, 0)
        path.close()
    canvas.drawPath(path, stroke=1, fill=0)
