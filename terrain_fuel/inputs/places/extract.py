"""An extract of the map (a .osm.pbf file) streamed through: only what lies near the road is kept."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

from terrain_fuel.errors import PlacesError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.places.chart import CELL_DEG, Cell, coarser
from terrain_fuel.inputs.places.wanted import KEPT_KEYS, NODE_TAGS, WAY_TAGS, Tags
from terrain_fuel.text import PATH_LETTERS, plain_text

IN_MEMORY_BYTES = 300_000_000
"""Of a larger file the positions of nodes stand in a file of their own while it is read: 16 bytes each."""

MOST_LETTERS = 255
"""What a value of the map may hold [OSM]_."""

UNITS_A_DEGREE = 10_000_000
"""Positions are whole numbers of these parts of a degree [OSM]_."""

CELL_UNITS = round(CELL_DEG * UNITS_A_DEGREE)

COARSE, COARSE_MARGIN = 20, 1
"""A way is looked at more closely if its first node lies within a coarse cell, 20 km or so, of the road:
no way between two junctions is longer there (common practice, no source)."""


DATED = ("osmosis_replication_timestamp", "timestamp")
"""Where a file's header says how new its data is."""

MISSING_EXTRA = (
    'places: reading a map needs two more packages; install them with pip install "terrain-fuel[places]",'
    " or leave --places out"
)


@dataclass(frozen=True, slots=True)
class RawNode:
    """A node of the map with the tags that matter."""

    id: int
    lat_deg: float
    lon_deg: float
    tags: Tags


@dataclass(frozen=True, slots=True, eq=False)
class RawWay:
    """A way of the map, or as much of it as has positions: node numbers and positions, shape (n,)."""

    id: int
    nodes: tuple[int, ...]
    lat_deg: FloatArray
    lon_deg: FloatArray
    tags: Tags


@dataclass(slots=True)
class RawMap:
    """What an extract holds near a road; ``dated`` is None where the file does not say."""

    nodes: list[RawNode] = field(default_factory=list)
    ways: list[RawWay] = field(default_factory=list)
    dated: datetime | None = None


def refuse_without_extra() -> None:
    """Refuse to read a map where what reads it is not installed.

    Raises
    ------
    PlacesError
        With the line that installs it.
    """
    if find_spec("osmium") is None or find_spec("opening_hours") is None:
        raise PlacesError(MISSING_EXTRA)


def read_extract(path: Path, cells: frozenset[Cell]) -> RawMap:
    """Return what an extract holds in some cells of the globe.

    Parameters
    ----------
    path : a .osm.pbf file
    cells : those near the road

    Raises
    ------
    PlacesError
        If it is no such file, damaged or cut off.

    Notes
    -----
    The file is read once from end to end; relations are left aside. What is held is a position a node
    and what lies near the road.
    """
    import osmium

    nodes, ways = osmium.filter.TagFilter(*NODE_TAGS), osmium.filter.TagFilter(*WAY_TAGS)
    nodes.enable_for(osmium.osm.NODE)
    ways.enable_for(osmium.osm.WAY)
    where = plain_text(path.name, PATH_LETTERS)
    try:
        with _positions_kept(path) as storage:
            processor = (
                osmium.FileProcessor(
                    osmium.io.File(str(path.resolve()), "pbf"), osmium.osm.NODE | osmium.osm.WAY
                )
                .with_locations(storage)
                .with_filter(nodes)
                .with_filter(ways)
            )
            found = RawMap(dated=_header_date(processor.header))
            _take_near(processor, cells, found)
    except (RuntimeError, ValueError, OverflowError, MemoryError, OSError) as fault:
        raise PlacesError(
            f"{where}: cannot be read as an extract of the map ({plain_text(str(fault))}); it is damaged, cut"
            " off or another kind of file; get it again as .osm.pbf, whole"
        ) from None
    return found


@contextmanager
def _positions_kept(path: Path) -> Iterator[str]:
    """Yield where the positions of nodes are kept while a file is read."""
    if path.stat().st_size <= IN_MEMORY_BYTES:
        yield "sparse_mmap_array"
        return
    with tempfile.TemporaryDirectory(prefix="terrain-fuel-") as folder:
        yield f"sparse_file_array,{folder}/nodes"


def _header_date(header: Any) -> datetime | None:
    for key in DATED:
        try:
            return datetime.fromisoformat(header.get(key, ""))
        except ValueError:
            continue
    return None


def _take_near(processor: Any, cells: frozenset[Cell], found: RawMap) -> None:
    """Add to what is found all that lies in the cells; without a date in the header the newest object's."""
    roughly, coarse_units = coarser(cells, COARSE, COARSE_MARGIN), COARSE * CELL_UNITS
    newest: datetime | None = None
    for each in processor:
        if each.is_node():
            place = each.location
            if not place.valid() or (place.y // CELL_UNITS, place.x // CELL_UNITS) not in cells:
                continue
            found.nodes.append(RawNode(each.id, place.lat, place.lon, _kept_tags(each.tags)))
        else:
            first = next((node.location for node in each.nodes if node.location.valid()), None)
            if first is None or (first.y // coarse_units, first.x // coarse_units) not in roughly:
                continue
            pieces = _pieces(each, cells)
            if not pieces:
                continue
            found.ways.extend(pieces)
        if found.dated is None and each.timestamp.year > 1970:
            newest = each.timestamp if newest is None else max(newest, each.timestamp)
    found.dated = found.dated or newest


def _pieces(way: Any, cells: frozenset[Cell]) -> list[RawWay]:
    """Return the parts of a way whose nodes have positions, none if it never comes near the road."""
    runs: list[list[tuple[int, int, int]]] = [[]]
    near = False
    for node in way.nodes:
        place = node.location
        if place.valid():
            runs[-1].append((node.ref, place.x, place.y))
            near = near or (place.y // CELL_UNITS, place.x // CELL_UNITS) in cells
        elif runs[-1]:
            runs.append([])
    if not near:
        return []
    tags = _kept_tags(way.tags)
    return [
        RawWay(
            way.id,
            tuple(ref for ref, _, _ in run),
            np.array([y for _, _, y in run]) / UNITS_A_DEGREE,
            np.array([x for _, x, _ in run]) / UNITS_A_DEGREE,
            tags,
        )
        for run in runs
        if len(run) > 1
    ]


def _kept_tags(tags: Any) -> dict[str, str]:
    """Return the tags that matter, their values harmless text."""
    return {tag.k: plain_text(tag.v, MOST_LETTERS) for tag in tags if tag.k in KEPT_KEYS}
