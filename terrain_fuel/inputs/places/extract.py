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
from terrain_fuel.file_kinds import EXTRACT, other_kind
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.places.chart import CELL_UNITS, COARSE_UNITS, UNITS_A_DEGREE, Cell, coarse_near
from terrain_fuel.inputs.places.outlined import Outlined, RawArea
from terrain_fuel.inputs.places.wanted import NODE_TAGS, PLACE_TAGS, WAY_TAGS, Tags, is_place, kept_tags
from terrain_fuel.text import PATH_LETTERS, plain_text

IN_MEMORY_BYTES = 100_000_000
"""Of a larger file the positions of nodes stand in a file of their own while it is read: 16 bytes each."""

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
    areas: list[RawArea] = field(default_factory=list)
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
    The file is read once from end to end, its ways once more if there are places of several lines. What is
    held is a position a node, what lies near the road, and which lines such places have.
    """
    import osmium

    nodes, ways = osmium.filter.TagFilter(*NODE_TAGS), osmium.filter.TagFilter(*WAY_TAGS)
    relations = osmium.filter.TagFilter(*PLACE_TAGS)
    nodes.enable_for(osmium.osm.NODE)
    ways.enable_for(osmium.osm.WAY)
    relations.enable_for(osmium.osm.RELATION)
    file = osmium.io.File(str(path.resolve()), "pbf")
    where = plain_text(path.name, PATH_LETTERS)
    try:
        with _positions_kept(path) as storage:
            processor = (
                osmium.FileProcessor(file, osmium.osm.NODE | osmium.osm.WAY | osmium.osm.RELATION)
                .with_locations(storage)
                .with_filter(nodes)
                .with_filter(ways)
                .with_filter(relations)
            )
            found, outlined = RawMap(dated=_header_date(processor.header)), Outlined(where)
            _take_near(processor, cells, found, outlined)
            told = {way.id for way in found.ways if is_place(way.tags)}
            found.areas.extend(outlined.near(file, processor.node_location_storage, cells, told))
    except PlacesError:
        raise
    except (RuntimeError, ValueError, OverflowError, MemoryError, OSError) as fault:
        kind = other_kind(path, EXTRACT)
        if kind is not None:
            raise PlacesError(
                f"{where}: is {kind.called}, not an extract of the map; name one as .osm.pbf"
            ) from None
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


def _take_near(processor: Any, cells: frozenset[Cell], found: RawMap, outlined: Outlined) -> None:
    """Add to what is found all that lies in the cells, and places of several lines wherever they are.

    Without a date in the header the newest object's counts.
    """
    roughly = coarse_near(cells)
    newest: datetime | None = None
    for each in processor:
        if each.is_node():
            place = each.location
            if not place.valid() or (place.y // CELL_UNITS, place.x // CELL_UNITS) not in cells:
                continue
            found.nodes.append(RawNode(each.id, place.lat, place.lon, kept_tags(each.tags)))
        elif each.is_relation():
            outlined.take(each)
            continue
        else:
            first = next((node.location for node in each.nodes if node.location.valid()), None)
            if first is None or (first.y // COARSE_UNITS, first.x // COARSE_UNITS) not in roughly:
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
    tags = kept_tags(way.tags)
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
