"""The map page: one file that needs no network, with the road, the strip by hour and the profile."""

import base64
import hashlib
from pathlib import Path

import folium
from branca.element import Figure
from folium.raster_layers import ImageOverlay, TileLayer
from folium.template import Template
from jinja2 import Environment, StrictUndefined
from xstatic.pkg import leaflet

from terrain_fuel.outputs.drawing.palette import DARK, LIGHT, PRINT, css_variables
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.map.backdrop import Backdrop, draw_backdrop
from terrain_fuel.outputs.map.page_data import embedded_json, page_data
from terrain_fuel.outputs.map.turned import turned_shapes
from terrain_fuel.outputs.resources import shipped_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.plan import Plan

STYLE_SHEETS = ("map.css", "road.css", "drawing.css", "print.css")
SCRIPTS = ("plan.js", "card.js", "strip.js", "profile.js", "road.js", "marks.js", "print.js")

PROFILE_WIDTHS = (358, 520, 720, 1000, 1320)
"""Widths [px] at which the profile is drawn; the page shows the one that fits."""

TILE_URL = "https://tile.openstreetmap.org/{z}/{x}/{y}.png"
TILE_HOST = "https://tile.openstreetmap.org"


class RoadMap(folium.Map):
    """A folium map that brings nothing from the network and leaves the page around it alone."""

    default_js: list[tuple[str, str]] = []  # noqa: RUF012
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        """
        {% macro html(this, kwargs) %}<div id="map"></div>{% endmacro %}
        {% macro script(this, kwargs) %}
        var {{ this.get_name() }} = window.roadMap = L.map("map", {{ this.options|tojavascript }});
        {% endmacro %}
        """
    )


def write_map(plan: Plan, path: Path, *, online_tiles: bool = False) -> None:
    """Write a plan as one web page that works without a network.

    Parameters
    ----------
    plan : the finished plan
    path : file to write; equal plans give equal bytes
    online_tiles : lay street map tiles under the road, fetched when the page is opened, with their credit

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, map_page(plan, online_tiles=online_tiles))


def map_page(plan: Plan, *, online_tiles: bool = False) -> str:
    """Return the page that `write_map` writes."""
    relief = plan.terrain.relief
    words = words_for(plan.rider)
    backdrop = draw_backdrop(relief, words.units) if relief is not None else None
    element, map_script = _folium_parts(backdrop, words.label("page.credit") if online_tiles else "")
    script = "\n".join([_leaflet("leaflet.js"), map_script, "(() => {", *map(_page_text, SCRIPTS), "})();"])
    style = "\n".join([_inks(), _leaflet("leaflet.css"), *map(_page_text, STYLE_SHEETS)])
    template = Environment(autoescape=True, undefined=StrictUndefined).from_string(_page_text("map.html.j2"))
    return template.render(
        language=words.language.code,
        label=words.label,
        name=plan.name,
        policy=_policy(style, script, online_tiles),
        style=style,
        script=script,
        map_element=element,
        data=embedded_json(page_data(plan, backdrop)),
        lines=_ground(backdrop),
        profiles=_profiles(plan, words),
        edge=svg_text(turned_shapes(plan), words.label("drawing.turned"), stretch=True),
    )


def _profiles(plan: Plan, words: Words) -> list[dict[str, object]]:
    label = words.label("page.profile.label")
    drawn = [
        (width, profile_shapes(plan.terrain, plan, width=width, with_stores=True)) for width in PROFILE_WIDTHS
    ]
    return [{"width": width, "svg": svg_text(drawing, label)} for width, drawing in drawn]


def _folium_parts(backdrop: Backdrop | None, credit: str) -> tuple[str, str]:
    """Return the map's element and the script that makes it, with names that are the same each time."""
    road_map = RoadMap(
        tiles=None, zoom_snap=0.25, zoom_delta=0.5, max_zoom=17, attribution_control=bool(credit)
    )
    if backdrop is not None:
        bounds = [[backdrop.south_deg, backdrop.west_deg], [backdrop.north_deg, backdrop.east_deg]]
        ImageOverlay(backdrop.image_url, bounds, pixelated=False, alt="").add_to(road_map)
    if credit:
        TileLayer(TILE_URL, attr=credit, max_zoom=19, opacity=0.6).add_to(road_map)
    for number, element in enumerate([road_map, *road_map._children.values()]):
        element._id = f"road{number}"
    figure = Figure()
    figure.add_child(road_map)
    road_map.render()  # type: ignore[no-untyped-call]
    return figure.html.render().strip(), figure.script.render().strip()


def _leaflet(name: str) -> str:
    text = Path(leaflet.BASE_DIR, name).read_text(encoding="utf-8")
    if name.endswith(".css"):
        # pictures of controls that the page does not use
        return "\n".join(line for line in text.splitlines() if "url(" not in line)
    return "\n".join(line for line in text.splitlines() if not line.startswith("//# sourceMappingURL"))


def _inks() -> str:
    return (
        f":root{{{css_variables(LIGHT)}}}"
        f"@media (prefers-color-scheme:dark){{:root{{{css_variables(DARK)}}}}}"
        f"@media print{{:root:root{{{css_variables(PRINT)}}}}}"
    )


def _ground(backdrop: Backdrop | None) -> str:
    if backdrop is None:
        return ""
    box = f"0 0 {backdrop.columns - 1} {backdrop.rows - 1}"
    return (
        f'<svg id="ground" class="ground" viewBox="{box}" preserveAspectRatio="none"'
        ' aria-hidden="true" hidden>'
        f'<path class="stroke" d="{backdrop.strokes}"/><path class="contour" d="{backdrop.contours}"/>'
        f'<path class="index" d="{backdrop.index_contours}"/></svg>'
    )


def _policy(style: str, script: str, online_tiles: bool) -> str:
    """Return the content-security policy: the page's own style and script, pictures inside it, no more."""
    pictures = f"data: {TILE_HOST}" if online_tiles else "data:"
    return (
        f"default-src 'none'; img-src {pictures}; style-src '{_digest(style)}';"
        f" script-src '{_digest(script)}'; base-uri 'none'; form-action 'none'"
    )


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _page_text(name: str) -> str:
    room = "drawing" if name == "drawing.css" else "map/page"
    return shipped_text(room, name)
