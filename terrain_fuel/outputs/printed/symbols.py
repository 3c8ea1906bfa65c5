"""The marks as drawn paths for print: each kind has a shape of its own, black on white, no font needed."""

from typing import Any

from terrain_fuel.outputs.rows import RowKind


def draw_symbol(
    canvas: Any,
    kind: RowKind,
    x: float,
    y: float,
    radius: float,
    *,
    ringed: bool = False,
    on_crest: bool = False,
) -> None:
    """Draw the mark of a row around a centre [points].

    Parameters
    ----------
    canvas : a PDF canvas
    kind : eat is a disc, sip a ring, refill a square, hands_on the warning triangle [ISO7010]_;
        crest, summit, foot and place are small line figures
    x, y, radius : centre and half the width of the mark
    ringed : an eat with its mouthful of drink: the disc stands in a ring
    on_crest : the mark wears a crest
    """
    canvas.saveState()
    canvas.setLineWidth(0.26 * radius)
    canvas.setLineJoin(1)
    canvas.setLineCap(1)
    canvas.setStrokeGray(0)
    canvas.setFillGray(0)
    canvas.translate(x, y)
    if kind == "eat":
        _disc(canvas, radius, ringed)
    elif kind == "sip":
        canvas.circle(0, 0, 0.8 * radius, stroke=1, fill=0)
    elif kind == "refill":
        canvas.rect(-0.8 * radius, -0.8 * radius, 1.6 * radius, 1.6 * radius, stroke=1, fill=0)
    elif kind == "hands_on":
        _warning(canvas, radius)
    else:
        _landmark(canvas, kind, radius)
    if on_crest:
        _crest_over(canvas, radius)
    canvas.restoreState()


def _disc(canvas: Any, radius: float, ringed: bool) -> None:
    canvas.setLineWidth(0.2 * radius)
    if ringed:
        canvas.circle(0, 0, 0.9 * radius, stroke=1, fill=0)
        canvas.circle(0, 0, 0.56 * radius, stroke=0, fill=1)
    else:
        canvas.circle(0, 0, 0.86 * radius, stroke=0, fill=1)


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


def _crest_over(canvas: Any, radius: float) -> None:
    """Draw a low crest over a mark."""
    path = canvas.beginPath()
    path.moveTo(-0.85 * radius, 1.05 * radius)
    path.lineTo(0, 1.5 * radius)
    path.lineTo(0.85 * radius, 1.05 * radius)
    canvas.setLineWidth(0.24 * radius)
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
