"""Make the demo's map: an extract of the invented district, its roads under the demo routes.

Run from the project's folder: ``python -m routes.make_map``, after the routes are made. Nothing in it exists.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import gpxpy
import numpy as np
import osmium
from osmium.osm.mutable import Node, Way

from terrain_fuel.equations.geodesy import geodesic_m

FOLDER = Path(__file__).resolve().parent
FILE = FOLDER / "places.osm.pbf"
DATED = "2027-04-01T00:00:00Z"
DEGREE_M = 111_195.0

Tags = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Mapped:
    """What the map says of one route.

    Parameters
    ----------
    parts : from km to km, and what the road is like there
    spots : km, and what stands on the road
    places : km, metres to the left, and what stands beside it
    """

    file: str
    parts: tuple[tuple[float, float, Tags], ...] = ()
    spots: tuple[tuple[float, Tags], ...] = ()
    places: tuple[tuple[float, float, Tags], ...] = field(default=())


def _tap(**more: str) -> Tags:
    return {"amenity": "drinking_water", **more}


def _named(kind: str, value: str, name: str, hours: str = "") -> Tags:
    return {kind: value, "name": name, **({"opening_hours": hours} if hours else {})}


LOOP = Mapped(
    "loop-120.gpx",
    (
        (12.9, 13.4, {"surface": "sett"}),
        (30.2, 30.5, {"tunnel": "yes", "lit": "no", "layer": "-1"}),
        (66.4, 66.6, {"bridge": "yes", "layer": "1", "bridge:name": "Quarry Bridge"}),
        (93.0, 93.8, {"width": "3"}),
        (96.0, 96.7, {"surface": "compacted"}),
    ),
    (
        (13.6, {"highway": "traffic_signals"}),
        (75.5, {"highway": "traffic_signals"}),
        (75.9, {"highway": "stop", "direction": "forward"}),
        (79.0, {"railway": "level_crossing"}),
        (99.6, {"traffic_calming": "hump"}),
        (99.9, {"traffic_calming": "hump"}),
    ),
    (
        (22.5, 40.0, _named("natural", "peak", "Ostrel Crag")),
        (37.5, -15.0, _named("amenity", "cafe", "Thessel tea room")),
        (55.3, 130.0, _tap(name="Larch spring tap")),
        (75.6, 20.0, _named("shop", "convenience", "Calloway stores", "Mo-Sa 08:00-18:00")),
        (76.2, 60.0, _named("shop", "bakery", "Calloway bakery", "Mo-Fr 06:00-10:00")),
        (92.0, -80.0, _tap(seasonal="summer", name="Herders' trough")),
        (109.0, 25.0, _tap()),
        (110.5, 10.0, {"amenity": "drinking_water", "drinking_water": "no", "name": "Mill pump"}),
    ),
)
ROLLING = Mapped(
    "rolling-60.gpx",
    ((29.9, 30.4, {"surface": "cobblestone"}), (46.2, 46.6, {"surface": "gravel"})),
    ((45.8, {"highway": "traffic_signals"}),),
    ((16.0, 70.0, _tap(name="Windle tap")), (46.1, 12.0, _named("amenity", "cafe", "Brackenfold cafe"))),
)
LONG = Mapped(
    "long-200.gpx",
    ((64.2, 64.7, {"surface": "sett"}), (139.0, 139.6, {"smoothness": "bad"})),
    ((64.5, {"highway": "traffic_signals"}), (120.0, {"railway": "level_crossing"})),
    ((52.0, 60.0, _tap()), (119.0, 110.0, _tap(name="Lindle Halt tap")), (185.0, -20.0, _tap())),
)


def write_map(path: Path) -> Path:
    """Write the extract of all demo routes and return its path."""
    header = osmium.io.Header()
    header.set("osmosis_replication_timestamp", DATED)
    header.set("generator", "terrain-fuel demo")
    writer = osmium.SimpleWriter(str(path), header=header, overwrite=True)
    nodes: list[Node] = []
    ways: list[Way] = []
    for mapped in (LOOP, ROLLING, LONG):
        _lay(mapped, nodes, ways)
    for node in nodes:
        writer.add_node(node)
    for way in ways:
        writer.add_way(way)
    writer.close()
    return path


def _lay(mapped: Mapped, nodes: list[Node], ways: list[Way]) -> None:
    """Add the road under a route and what stands on it and beside it."""
    with (FOLDER / mapped.file).open(encoding="utf-8") as file:
        points = gpxpy.parse(file).tracks[0].segments[0].points
    lat, lon = np.array([(point.latitude, point.longitude) for point in points]).T
    steps_m, _ = geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    km = np.concatenate(([0.0], np.cumsum(steps_m))) / 1000.0
    first = len(nodes) + 1
    on_road = {int(np.abs(km - at).argmin()): tags for at, tags in mapped.spots}
    for index in range(lat.size):
        place = (float(lon[index]), float(lat[index]))
        nodes.append(Node(id=len(nodes) + 1, location=place, tags=on_road.get(index, {})))
    ends = {0, lat.size - 1} | set(range(0, lat.size, 200))
    likes: dict[int, Tags] = {}
    for start_km, end_km, tags in mapped.parts:
        start, end = (int(np.abs(km - at).argmin()) for at in (start_km, end_km))
        ends = {end_ for end_ in ends if not start < end_ < end} | {start, end}
        likes[start] = tags
    bounds = sorted(ends)
    for start, end in pairwise(bounds):
        tags = {"highway": "tertiary", "surface": "asphalt", **likes.get(start, {})}
        ways.append(Way(id=len(ways) + 1, nodes=list(range(first + start, first + end + 1)), tags=tags))
    for at_km, left_m, tags in mapped.places:
        index = min(int(np.abs(km - at_km).argmin()), lat.size - 2)
        across = np.cos(np.radians(lat[index]))
        ahead = np.array([(lon[index + 1] - lon[index]) * across, lat[index + 1] - lat[index]])
        left = np.array([-ahead[1], ahead[0]]) / np.hypot(*ahead) * left_m / DEGREE_M
        place = (float(lon[index] + left[0] / across), float(lat[index] + left[1]))
        nodes.append(Node(id=len(nodes) + 1, location=place, tags=tags))


if __name__ == "__main__":
    write_map(FILE)
