"""The map itself, as folium makes it: the script that lays it into the page."""

import folium
from branca.element import Figure
from folium.raster_layers import TileLayer
from folium.template import Template

TILE_URL = "https://tile.openstreetmap.org/{z}/{x}/{y}.png"


class RoadMap(folium.Map):
    """A folium map that brings nothing from the network and leaves the page around it alone."""

    default_js: list[tuple[str, str]] = []  # noqa: RUF012
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        """
        {% macro script(this, kwargs) %}
        var {{ this.get_name() }} = window.roadMap = L.map("map", {{ this.options|tojavascript }});
        {% endmacro %}
        """
    )


def map_script(credit: str) -> str:
    """Return the script that makes the map, with names that are the same each time.

    Parameters
    ----------
    credit : credit of the street map tiles to lay under the road; none are laid without one
    """
    road_map = RoadMap(
        tiles=None, zoom_snap=0.25, zoom_delta=0.5, max_zoom=17, attribution_control=bool(credit)
    )
    if credit:
        TileLayer(TILE_URL, attr=credit, max_zoom=19, opacity=0.6).add_to(road_map)
    for number, element in enumerate([road_map, *road_map._children.values()]):
        element._id = f"road{number}"
    figure = Figure()
    figure.add_child(road_map)
    road_map.render()  # type: ignore[no-untyped-call]
    return str(figure.script.render().strip())
