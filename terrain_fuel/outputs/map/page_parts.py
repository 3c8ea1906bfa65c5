"""The parts of a page that shows a ride: style, script and rooms, for whatever page stands around them."""

import hashlib
from pathlib import Path

from xstatic.pkg import leaflet

from terrain_fuel.kept_bytes import kept_bytes
from terrain_fuel.outputs.drawing.palette import DARK, LIGHT, PRINT, css_variables
from terrain_fuel.outputs.resources import shipped_text
from terrain_fuel.outputs.words import Words

STYLE_SHEETS = ("page.css", "now.css", "strip.css", "road.css", "drawing.css", "print.css")
SCRIPTS = (
    "legible.js", "numbers.js", "plan.js", "clock.js", "rooms.js", "card.js", "now.js", "profile.js",
    "road.js", "meeting.js", "lines.js", "sheet.js", "strip.js", "marks.js", "map_view.js", "print.js",
    "start.js",
)  # fmt: skip
"""In the order in which the parts draw themselves when a ride is shown."""


def page_style() -> str:
    """Return the inks for light, dark and print, and every rule of the rooms."""
    inks = (
        f":root{{{css_variables(LIGHT)}}}"
        f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
        f"@media print{{:root:root{{{css_variables(PRINT)}}}}}"
    )
    return "\n".join([inks, _leaflet("leaflet.css"), *map(page_text, STYLE_SHEETS)])


def page_script(credit: str = "") -> str:
    """Return the script that draws into the rooms.

    It shows the ride that stands as JSON in the element ``#ride``, where there is one, and leaves
    ``window.ridePage``: ``show(data)`` shows another ride's `page_data` without a reload.

    Parameters
    ----------
    credit : credit of the street map tiles to lay under the road; none are laid without one
    """
    parts = [_leaflet_with_licence(), _map_script(credit), "(() => {", *map(page_text, SCRIPTS), "})();"]
    return "\n".join(parts)


def fill_template(template: str, words: Words, /, **values: object) -> str:
    """Return a page's template filled in; ``rooms.html.j2`` holds the rooms alone."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    engine = Environment(autoescape=True, undefined=StrictUndefined, loader=FunctionLoader(page_text))
    return engine.get_template(template).render(language=words.language.code, label=words.label, **values)


def _map_script(credit: str) -> str:
    """Return the script that makes the map; it is drawn once and kept, it is the same for every ride."""
    source = Path(__file__).with_name("road_map.py")
    name = f"script-{hashlib.sha256(credit.encode()).hexdigest()[:8]}"
    return kept_bytes("map", name, ("folium", "branca"), source, lambda: _drawn_script(credit)).decode()


def _drawn_script(credit: str) -> bytes:
    from terrain_fuel.outputs.map.road_map import map_script

    return map_script(credit).encode()


def _leaflet_with_licence() -> str:
    """Return Leaflet under its own notice, with the licence's text that must go with it."""
    notice, _, code = _leaflet("leaflet.js").partition("*/")
    licence = "".join(f" * {line}".rstrip() + "\n" for line in page_text("leaflet-licence.txt").splitlines())
    return f"{notice}*\n{licence} */{code}"


def _leaflet(name: str) -> str:
    text = Path(leaflet.BASE_DIR, name).read_text(encoding="utf-8")
    if name.endswith(".css"):
        # pictures of controls that the page does not use
        return "\n".join(line for line in text.splitlines() if "url(" not in line)
    return "\n".join(line for line in text.splitlines() if not line.startswith("//# sourceMappingURL"))


def page_text(name: str) -> str:
    """Return a style sheet, a script or a template of the page."""
    room = "drawing" if name == "drawing.css" else "map/page"
    return shipped_text(room, name)
