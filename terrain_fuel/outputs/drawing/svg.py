"""Shapes as SVG text: to stand inside a page that gives the inks, or as a file of its own."""

from collections.abc import Iterable
from functools import lru_cache
from html import escape

from terrain_fuel.outputs.drawing.palette import DARK, LIGHT, css_variables
from terrain_fuel.outputs.drawing.shapes import (
    Area,
    Dot,
    Drawing,
    Label,
    Line,
    Mark,
    Shape,
    Strokes,
    Triangle,
)
from terrain_fuel.outputs.resources import shipped_text

LABEL_SIZE = 1.02
LONG_LABEL = 0.78
"""Height of a mark's label over the mark's radius, and so much of it for three letters and more."""


def svg_text(drawing: Drawing, label: str, *, own_file: bool = False, stretch: bool = False) -> str:
    """Return a drawing as an ``<svg>`` element.

    Parameters
    ----------
    drawing : shapes to draw, one unit a pixel
    label : what the drawing shows, for those who cannot see it
    own_file : with inks for light and dark, to be read without a page
    stretch : fill whatever box the page gives it
    """
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawing.width:g} {drawing.height:g}"'
    head += f' role="img" aria-label="{_quoted(label)}"'
    if own_file:
        head += f' width="{drawing.width:g}" height="{drawing.height:g}"'
    if stretch:
        head += ' preserveAspectRatio="none"'
    parts = [head + ' class="drawing">']
    if own_file:
        parts.append(f"<style>{_own_style()}</style>")
        parts.append('<rect width="100%" height="100%" fill="var(--paper)"/>')
    parts.extend(_element(shape) for shape in drawing.shapes)
    parts.append("</svg>")
    return "".join(parts)


def _own_style() -> str:
    return (
        f":root{{{css_variables(LIGHT)}}}"
        f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
        f"{shipped_text('drawing', 'drawing.css')}"
    )


def _element(shape: Shape) -> str:
    match shape:
        case Strokes():
            return f'<path class="s-{shape.role}" d="{_kept_path(shape.lines)}"/>'
        case Area():
            return f'<path class="a-{shape.role}" d="{_kept_path((shape.outline,))}Z"/>'
        case Label():
            return (
                f'<text class="t-{shape.role}" x="{shape.x:.1f}" y="{shape.y:.1f}"'
                f' font-size="{shape.size:g}" text-anchor="{shape.anchor}">'
                f"{escape(shape.text, quote=False)}</text>"
            )
        case Triangle():
            return _triangle(shape)
        case Mark():
            return _mark(shape)
        case Dot():
            return (
                f'<circle class="d-{shape.role}" cx="{shape.x:.1f}" cy="{shape.y:.1f}" r="{shape.radius:g}"/>'
            )


def _mark(mark: Mark) -> str:
    r = mark.radius
    if mark.action == "refill":
        body = f'<rect x="{-r:.1f}" y="{-r:.1f}" width="{2 * r:.1f}" height="{2 * r:.1f}"/>'
    else:
        body = f'<circle r="{r if mark.action == "eat" else 0.8 * r:.1f}"/>'
    if mark.label:
        size = LABEL_SIZE * r * (1.0 if len(mark.label) < 3 else LONG_LABEL)
        body += f'<text y="{0.36 * size:.1f}" font-size="{size:.1f}">{mark.label}</text>'
    return (
        f'<g class="mark {mark.action}" data-number="{mark.number}"'
        f' transform="translate({mark.x:.1f} {mark.y:.1f})">{body}</g>'
    )


def _triangle(shape: Triangle) -> str:
    r = shape.radius
    outline = f"M0 {-r:.1f}L{0.95 * r:.1f} {0.7 * r:.1f}H{-0.95 * r:.1f}Z"
    sign = f"M0 {-0.42 * r:.1f}V{0.2 * r:.1f}M0 {0.4 * r:.1f}V{0.48 * r:.1f}"
    return (
        f'<g class="warning" transform="translate({shape.x:.1f} {shape.y:.1f})">'
        f'<path d="{outline}"/><path class="bang" d="{sign}"/></g>'
    )


@lru_cache(maxsize=1024)
def _kept_path(lines: tuple[Line, ...]) -> str:
    """Return path data, written once for lines that are drawn again: a road's under plan after plan."""
    return path_data(lines)


def path_data(lines: Iterable[Line]) -> str:
    """Return path data, in steps from point to point to keep it short."""
    parts = []
    for line in lines:
        x, y = round(10 * line[0][0]), round(10 * line[0][1])
        parts.append(f"M{_tenths(x)} {_tenths(y)}")
        for next_x, next_y in line[1:]:
            nx, ny = round(10 * next_x), round(10 * next_y)
            parts.append(f"l{_tenths(nx - x)} {_tenths(ny - y)}")
            x, y = nx, ny
    return "".join(parts)


@lru_cache(maxsize=16384)
def _tenths(value: int) -> str:
    return f"{value / 10:g}"


def _quoted(text: str) -> str:
    return escape(text, quote=False).replace('"', "&quot;")
