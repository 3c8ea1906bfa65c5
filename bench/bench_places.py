"""A 200 km route against a made extract of about 200 MB: the first read, and the same from the cache.

`--mb 4000` makes a country's size of it (in the folder of temporary files), `--worlds 200` tries so many made
worlds of the tests instead.
"""

import argparse
import os
import struct
import subprocess
import sys
import tempfile
import threading
import time
import zlib
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import osmium
from osmium.osm.mutable import Node, Way

if TYPE_CHECKING:
    from tests.made_maps import MadeMap

ROAD_KM = 200
NEAR_WAYS, FAR_WAYS, NODES_A_WAY = 40_000, 150_000, 9
"""Ways near the road, and of a district far off that fills the file many times over."""

KINDS = (
    {"highway": "residential", "surface": "asphalt"}, {"building": "yes"}, {"highway": "track"},
    {"building": "house"}, {"landuse": "forest"}, {"highway": "service"}, {"building": "yes"},
    {"waterway": "stream"},
)  # fmt: skip


def edited(rng: np.random.Generator) -> dict[str, Any]:
    """Return what public extracts tell of every object beside its place."""
    when = datetime(2010, 1, 1, tzinfo=UTC) + timedelta(minutes=int(rng.integers(9_000_000)))
    changeset = int(rng.integers(1, 170_000_000))
    return {"version": int(rng.integers(1, 9)), "timestamp": when, "changeset": changeset}


def made_road() -> "MadeMap":
    """Return the map that lays the road's own chart."""
    from tests.made_maps import MadeMap

    return MadeMap(46.0, 8.0)


def road_places() -> list[tuple[float, float]]:
    """Return the road, bends and all, a node in 100 m."""
    east = np.arange(0.0, ROAD_KM * 1000.0 + 1.0, 100.0)
    return list(zip(east.tolist(), (3000.0 * np.sin(east / 9000.0)).tolist(), strict=True))


def write_extract(path: Path, size_mb: int) -> None:
    """Write an extract of about so many megabytes: the road and its ways once, a far district many times."""
    folder = path.parent
    rng = np.random.default_rng(1)
    near, far = folder / "near.osm.pbf", folder / "far.osm.pbf"
    _write_ways(near, 1, NEAR_WAYS, rng, near_road=True)
    _write_ways(far, 10**9, FAR_WAYS, rng, near_road=False)
    head, *near_blobs = blobs(near)
    _, *far_blobs = blobs(far)
    near_nodes, near_ways = _split(near_blobs, NEAR_WAYS * NODES_A_WAY + len(road_places()) + 1000)
    far_nodes, far_ways = _split(far_blobs, FAR_WAYS * NODES_A_WAY)
    copies = max(1, round(size_mb * 1e6 / sum(map(len, far_blobs))))
    with path.open("wb") as file:
        for part in (head, *near_nodes):
            file.write(part)
        for copy in range(copies):
            for part in far_nodes:
                file.write(shifted(part, copy * FAR_WAYS * NODES_A_WAY) if copy else part)
        for part in (*near_ways, *far_ways * copies):
            file.write(part)


def shifted(part: bytes, more: int) -> bytes:
    """Return a blob of nodes with so much added to their numbers: only the first is told whole [OSM]_."""
    (head,) = struct.unpack_from(">i", part)
    header, blob = part[4 : 4 + head], part[4 + head :]
    data = bytearray(zlib.decompress(blob[slice(*_field(blob, 3))]))
    at = 0
    for number in (2, 2, 1):  # its group, the group's nodes, their numbers
        at += _field(data[at:], number)[0]
    old, size = _varint(data, at)
    new = old + 2 * more
    data[at : at + size] = _varint_bytes(new, size)
    again = zlib.compress(bytes(data), 1)  # quickly: a country of nodes is packed again
    body = b"\x10" + _varint_bytes(len(data)) + b"\x1a" + _varint_bytes(len(again)) + again
    kind = header[: 2 + header[1]]  # the blob's type, then its new size
    header = kind + b"\x18" + _varint_bytes(len(body))
    return struct.pack(">i", len(header)) + header + body


def _field(data: bytes | bytearray, wanted: int) -> tuple[int, int]:
    """Return where the first field of a number lies in a message: its content's start and end."""
    at = 0
    while True:
        key, size = _varint(data, at)
        at += size
        length, size = _varint(data, at)
        at += size
        if key & 7 == 0:
            continue
        if key >> 3 == wanted:
            return at, at + length
        at += length


def _varint(data: bytes | bytearray, at: int) -> tuple[int, int]:
    """Return a number of variable length, and its length."""
    value = shift = 0
    for size, byte in enumerate(data[at : at + 10], start=1):
        value |= (byte & 0x7F) << shift
        shift += 7
        if byte < 0x80:
            return value, size
    raise ValueError(f"no number at {at}")


def _varint_bytes(value: int, size: int = 0) -> bytes:
    """Return a number of variable length, of as many bytes as asked or as few as can be."""
    found = bytearray()
    while value > 0x7F or len(found) + 1 < size:
        found.append(value & 0x7F | 0x80)
        value >>= 7
    found.append(value)
    if size and len(found) != size:
        raise ValueError(f"{value} does not fit into {size} bytes")
    return bytes(found)


def _write_ways(path: Path, first: int, count: int, rng: np.random.Generator, near_road: bool) -> None:
    world, writer = made_road(), osmium.SimpleWriter(str(path), overwrite=True)
    ways: list[tuple[list[int], dict[str, str]]] = []
    number = first
    line = np.array(road_places())
    if near_road:
        for lat, lon in zip(*world.degrees(*line.T), strict=True):
            writer.add_node(Node(id=number, location=(float(lon), float(lat))))
            number += 1
        for start in range(0, len(line) - 1, 10):
            nodes = list(range(first + start, first + min(start + 11, len(line))))
            ways.append((nodes, {"highway": "secondary", "surface": "asphalt"}))
        for index in range(1000):
            east, north = line[int(rng.integers(len(line)))] + rng.normal(0.0, 150.0, 2)
            lat, lon = world.degrees(east, north)
            tags = ({"amenity": "drinking_water"}, {"shop": "convenience"}, {"highway": "crossing"})[
                index % 3
            ]
            writer.add_node(Node(id=number, location=(float(lon), float(lat)), tags=tags))
            number += 1
    for index in range(count):
        middle = line[int(rng.integers(len(line)))] + rng.normal(0.0, 3000.0, 2)
        places = middle + np.cumsum(rng.normal(0.0, 40.0, (NODES_A_WAY, 2)), axis=0)
        lat, lon = world.degrees(*places.T)
        lat = lat if near_road else lat + 2.0
        about = edited(rng)
        for one_lat, one_lon in zip(lat.tolist(), lon.tolist(), strict=True):
            writer.add_node(Node(id=number, location=(one_lon, one_lat), **about))
            number += 1
        ways.append((list(range(number - NODES_A_WAY, number)), KINDS[index % len(KINDS)]))
    for index, (nodes, tags) in enumerate(ways):
        writer.add_way(Way(id=first + index, nodes=nodes, tags=tags, **edited(rng)))
    writer.close()


def blobs(path: Path) -> Iterator[bytes]:
    """Yield the blobs of a file, each with its header, the file's own header first [OSM]_."""
    data = path.read_bytes()
    at = 0
    while at < len(data):
        (head,) = struct.unpack_from(">i", data, at)
        size = _data_size(data[at + 4 : at + 4 + head])
        yield data[at : at + 4 + head + size]
        at += 4 + head + size


def _data_size(header: bytes) -> int:
    """Return field 3 of a blob's header, which is its last."""
    at = 2 + header[1]  # field 1 is the blob's type: a byte of length, then its letters
    value = shift = 0
    for byte in header[at + 1 :]:
        value |= (byte & 0x7F) << shift
        shift += 7
    return value


def _split(parts: list[bytes], nodes: int) -> tuple[list[bytes], list[bytes]]:
    """Return the blobs that hold nodes and those that hold ways: the writer puts 8000 objects into each."""
    count = -(-nodes // 8000)
    return parts[:count], parts[count:]


def measure(extract: Path, on_disk: bool) -> None:
    """Print what reading takes in this process."""
    from terrain_fuel.inputs.places import extract as reading
    from terrain_fuel.inputs.places import with_places
    from terrain_fuel.track import Track

    large = extract.stat().st_size > reading.IN_MEMORY_BYTES
    if on_disk:
        reading.IN_MEMORY_BYTES = 0
    lat, lon, distance = np.load(extract.with_name("road.npy"))
    track = Track("made", "made.gpx", lat, lon, distance, np.zeros(lat.size), np.zeros(lat.size, dtype=bool))
    watch = Watch()
    watch.start()
    clock, cpu = time.perf_counter(), time.process_time()
    road = with_places(track, extract).mapped
    taken, worked = time.perf_counter() - clock, time.process_time() - cpu
    assert road is not None
    print(
        f"  {'on disk' if on_disk or large else 'in memory':9} {taken:6.2f} s ({worked:.2f} s of CPU),"
        f" {status_mb('VmHWM'):.0f} MB at most, {watch.most_mb:.0f} of them the process's own;"
        f" {len(road.places)} places, {100 * road.found_share:.1f} % of {track.length_m / 1000:.0f} km found"
    )


def try_worlds(count: int) -> None:
    """Print of how many made worlds, a seed each, all is found as it was made."""
    from tests.places.test_made_worlds import check_world

    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = folder
        for seed in range(count):
            try:
                check_world(seed, Path(folder))
            except AssertionError as fault:
                wrong.append(f"{seed}: {str(fault).strip().splitlines()[0]}")
    print(f"{count - len(wrong)} of {count} made worlds are found as they were made", *wrong, sep="\n  ")


def status_mb(name: str) -> float:
    """Return what the system counts of this process [MB]."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) / 1024.0 for line in lines if line.startswith(name))


class Watch(threading.Thread):
    """Looks at the memory that is the process's own, not a file's that the system may drop, as it goes."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.most_mb = 0.0

    def run(self) -> None:
        while True:
            self.most_mb = max(self.most_mb, status_mb("RssAnon"))
            time.sleep(0.05)


def main() -> None:
    """Write the extract and read it, each time in a process of its own."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--mb", type=int, default=200)
    parser.add_argument("--read", type=Path)
    parser.add_argument("--on-disk", action="store_true")
    parser.add_argument("--worlds", type=int)
    chosen = parser.parse_args()
    if chosen.worlds:
        try_worlds(chosen.worlds)
        return
    if chosen.read:
        measure(chosen.read, chosen.on_disk)
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "made.osm.pbf"
        write_extract(path, chosen.mb)
        track = made_road().track(road_places(), 25.0)
        np.save(path.with_name("road.npy"), np.stack([track.lat_deg, track.lon_deg, track.distance_m]))
        print(
            f"an extract of {path.stat().st_size / 1e6:.0f} MB: first, from the cache, positions on disk",
            flush=True,
        )
        for number, more in enumerate(((), (), ("--on-disk",))):
            cache = str(Path(folder) / f"cache-{number // 2}")
            words = [sys.executable, "-m", "bench.bench_places", "--read", str(path), *more]
            subprocess.run(words, check=True, env={**os.environ, "XDG_CACHE_HOME": cache})


if __name__ == "__main__":
    main()
