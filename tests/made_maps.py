"""Maps made for a check: nodes and ways with tags on a chart in metres, written by pyosmium's own writer."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import osmium
from osmium.osm.mutable import Node, Relation, Way

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track
from tests.real_maps import track_of

SOUTH_DEG, WEST_DEG = 46.0, 9.0
"""Where a made map lies."""

DEGREE_M = 111_195.0
DATED = datetime(2027, 3, 1, tzinfo=UTC)

Tags = Mapping[str, str]
Metres = tuple[float, float]


class MadeMap:
    """A map that grows node by node; positions are metres east and north of its corner."""

    def __init__(self, lat_deg: float = SOUTH_DEG, lon_deg: float = WEST_DEG) -> None:
        self.lat_deg, self.lon_deg = lat_deg, lon_deg
        self._nodes: list[tuple[int, float, float, Tags]] = []
        self._ways: list[tuple[int, Sequence[int], Tags]] = []
        self._areas: list[tuple[int, Sequence[tuple[int, str]], Tags]] = []

    def node(self, place: Metres, /, **tags: str) -> int:
        """Add a node and return its number; in keys ``__`` stands for a colon."""
        number = len(self._nodes) + 1
        lat, lon = self.degrees(*place)
        self._nodes.append((number, float(lat), float(lon), _keys(tags)))
        return number

    def way(self, nodes: Sequence[int], **tags: str) -> int:
        """Add a way along nodes and return its number."""
        number = len(self._ways) + 1
        self._ways.append((number, nodes, _keys(tags)))
        return number

    def outline(self, middle: Metres, half_m: float) -> int:
        """Add a square about a place, a way without tags, and return its number."""
        east, north = middle
        corners = ((-half_m, -half_m), (half_m, -half_m), (half_m, half_m), (-half_m, half_m))
        nodes = [self.node((east + x, north + y)) for x, y in corners]
        return self.way([*nodes, nodes[0]])

    def area(self, lines: Sequence[tuple[int, str]], **tags: str) -> int:
        """Add a relation of ways and what each is in it, and return its number."""
        number = len(self._areas) + 1
        self._areas.append((number, lines, {"type": "multipolygon", **_keys(tags)}))
        return number

    def road(self, places: Sequence[Metres], **tags: str) -> list[int]:
        """Add a road along new nodes and return their numbers."""
        nodes = [self.node(place) for place in places]
        self.way(nodes, **{"highway": "tertiary", **tags})
        return nodes

    def degrees(
        self, east_m: FloatArray | float, north_m: FloatArray | float
    ) -> tuple[FloatArray, FloatArray]:
        """Return latitude and longitude of places [degrees]."""
        lat = self.lat_deg + np.asarray(north_m) / DEGREE_M
        lon = self.lon_deg + np.asarray(east_m) / DEGREE_M / np.cos(np.radians(lat))
        return lat, (lon + 180.0) % 360.0 - 180.0

    def track(
        self, places: Sequence[Metres], every_m: float = 15.0, jitter_m: float = 0.0, seed: int = 0
    ) -> Track:
        """Return a ride along places, a point in so many metres, each a little off."""
        corners = np.array(places, dtype=np.float64)
        along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))))
        even = np.unique(np.concatenate((np.arange(0.0, along[-1], every_m), along)))
        line = np.column_stack([np.interp(even, along, column) for column in corners.T])
        line += np.random.default_rng(seed).normal(0.0, jitter_m, line.shape)
        lat, lon = self.degrees(*line.T)
        return track_of(lat, lon)

    def write(self, path: Path, dated: datetime | None = DATED) -> Path:
        """Write the map and return its path."""
        header = osmium.io.Header()
        if dated is not None:
            header.set("osmosis_replication_timestamp", f"{dated:%Y-%m-%dT%H:%M:%SZ}")
        writer = osmium.SimpleWriter(str(path), header=header, overwrite=True)
        for number, lat, lon, tags in self._nodes:
            writer.add_node(Node(id=number, location=(lon, lat), tags=tags))
        for number, nodes, tags in self._ways:
            writer.add_way(Way(id=number, nodes=nodes, tags=tags))
        for number, lines, tags in self._areas:
            members = [("w", way, role) for way, role in lines]
            writer.add_relation(Relation(id=number, members=members, tags=tags))
        for number in range(len(self._areas) + 1, len(self._areas) + 4):  # what the reader leaves aside
            members = [("w", way, "outer") for way, _, _ in self._ways[:200]]
            writer.add_relation(Relation(id=number, members=members, tags={"type": "multipolygon"}))
        writer.close()
        return path


def _keys(tags: Tags) -> dict[str, str]:
    return {key.replace("__", ":"): value for key, value in tags.items()}
