"""Places that a map has as several lines, such as a market around a yard: read after all else of a file."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from terrain_fuel.errors import PlacesError
from terrain_fuel.inputs.places.chart import CELL_UNITS, COARSE_UNITS, UNITS_A_DEGREE, Cell, coarse_near
from terrain_fuel.inputs.places.wanted import Tags, kept_tags

OUTER = ("outer", "")
"""How a line around a place is told from one around a hole in it [OSM]_."""

MOST_LINES = 1_000_000
"""Far more than such places have on the whole globe; what holds more is no map of it."""

AROUND = 360 * UNITS_A_DEGREE

Units = tuple[int, int]
"""A position as the file has it: east and north."""


@dataclass(frozen=True, slots=True)
class RawArea:
    """A place of several lines as a point, the middle of what they span [degrees], and its tags."""

    lat_deg: float
    lon_deg: float
    tags: Tags


class Outlined:
    """The places of several lines that come past, wherever they are: their tags and outer lines' numbers."""

    def __init__(self, where: str) -> None:
        self._where = where
        self._places: list[tuple[Tags, tuple[int, ...]]] = []
        self._lines: set[int] = set()

    def take(self, relation: Any) -> None:
        """Remember a relation if it is a place.

        Raises
        ------
        PlacesError
            If the file holds more of them than could be.
        """
        if relation.tags.get("type") != "multipolygon":
            return
        lines = tuple(each.ref for each in relation.members if each.type == "w" and each.role in OUTER)
        self._lines.update(lines)
        if len(self._lines) > MOST_LINES:
            raise PlacesError(
                f"{self._where}: its places have more than {MOST_LINES} lines, as no map has; name another"
                " extract"
            )
        if lines:
            self._places.append((kept_tags(relation.tags), lines))

    def near(self, file: Any, positions: Any, cells: frozenset[Cell], told: set[int]) -> Iterator[RawArea]:
        """Yield the places that come near the road.

        Parameters
        ----------
        file : whose ways are read once more
        positions : of its nodes, by their numbers
        cells : those near the road
        told : numbers of ways that are a place already: it is not told twice
        """
        if not self._lines:
            return
        lines = dict(_lines_near(file, self._lines, positions, cells))
        for tags, numbers in self._places:
            places = [place for number in numbers for place in lines.get(number, ())]
            is_near = any((north // CELL_UNITS, east // CELL_UNITS) in cells for east, north in places)
            if is_near and told.isdisjoint(numbers):
                yield RawArea(*_middle_deg(places), tags)


def _lines_near(
    file: Any, numbers: set[int], positions: Any, cells: frozenset[Cell]
) -> Iterator[tuple[int, list[Units]]]:
    """Yield those of some ways that begin not far off the road, and the positions of their nodes."""
    import osmium

    wanted = osmium.filter.IdFilter(numbers)
    wanted.enable_for(osmium.osm.WAY)
    roughly = coarse_near(cells)
    ways: Iterable[Any] = osmium.FileProcessor(file, osmium.osm.WAY).with_filter(wanted)
    for way in ways:
        places: list[Units] = []
        for node in way.nodes:
            with suppress(KeyError):  # a node that the file lacks
                place = positions.get(node.ref)
                places.append((place.x, place.y))
                if (place.y // COARSE_UNITS, place.x // COARSE_UNITS) not in roughly:
                    break
        else:
            yield way.id, places


def _middle_deg(places: list[Units]) -> tuple[float, float]:
    """Return the middle of what positions span [degrees]; the date line is no border."""
    first, _ = places[0]
    aside = [(east - first + AROUND // 2) % AROUND - AROUND // 2 for east, _ in places]
    north = [north for _, north in places]
    lon_deg = (first + 0.5 * (min(aside) + max(aside))) / UNITS_A_DEGREE
    return 0.5 * (min(north) + max(north)) / UNITS_A_DEGREE, (lon_deg + 180.0) % 360.0 - 180.0
