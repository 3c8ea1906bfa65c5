"""What both pages share: inks, style, and a policy by which the browser itself refuses any request."""

import base64
import hashlib
from collections.abc import Callable, Mapping

from jinja2 import Environment, FunctionLoader, StrictUndefined

from terrain_fuel.outputs.drawing.palette import DARK, LIGHT, PRINT, css_variables
from terrain_fuel.outputs.resources import shipped_text
from terrain_fuel.outputs.words import Words

ROOM = "after/page"

WIDE, NARROW = 720.0, 358.0
"""Widths that pictures are drawn at: on a desk, and on a phone with its lettering as large."""


def render_page(
    template: str, words: Words, script: str, values: Mapping[str, object], room: str = ROOM
) -> str:
    """Return a page in the look of this room.

    Parameters
    ----------
    template : name of its template
    words : the rider's
    script : name of its script, "" for none
    values : what the template shows
    room : where the template lies
    """
    style = "\n".join((_inks(), shipped_text("drawing", "drawing.css"), shipped_text(ROOM, "after.css")))
    code = shipped_text(ROOM, script) if script else ""
    page = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        loader=FunctionLoader(lambda name: shipped_text(ROOM, name)),
    )  # fmt: skip
    return page.from_string(shipped_text(room, template)).render(
        language=words.language.code, label=words.label, say=words.say, style=style, script=code,
        policy=_policy(style, code), **values,
    )  # fmt: skip


def at_both_widths(draw: Callable[[float], str]) -> str:
    """Return a picture drawn for a desk and for a phone, of which the page shows one; "" for none."""
    wide = draw(WIDE)
    return f'<div class="on-desk">{wide}</div><div class="on-phone">{draw(NARROW)}</div>' if wide else ""


def _inks() -> str:
    return (
        f":root{{{css_variables(LIGHT)}}}"
        f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
        f"@media print{{:root:root{{{css_variables(PRINT)}}}}}"
    )


def _policy(style: str, script: str) -> str:
    allowed = f"'{_digest(script)}'" if script else "'none'"
    return (
        f"default-src 'none'; style-src '{_digest(style)}'; script-src {allowed};"
        " base-uri 'none'; form-action 'none'"
    )


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
