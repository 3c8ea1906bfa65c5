"""What a map says of a road kept in the user's cache folder: read once, found again by what decides it."""

import hashlib
import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

from terrain_fuel.kept_file import keep, read_kept
from terrain_fuel.mapped.model import Landmark, MappedPlace, MappedRoad, Section, Spot
from terrain_fuel.track import Track
from terrain_fuel.user_folders import user_cache_folder

VERSION = 2
"""Of how a road is tied to the map: what an older one kept is not used."""

SAMPLES, SAMPLE_BYTES = 256, 65_536
"""A file of gigabytes is told by its size, its age and so many pieces of it."""

MOST_KEPT = 50
"""The oldest beyond so many roads go."""

LISTS: Mapping[str, type] = {
    "places": MappedPlace, "spots": Spot, "sections": Section, "landmarks": Landmark
}  # fmt: skip


def place_of(extract: Path, track: Track) -> Path | None:
    """Return the file that keeps what an extract says of a road, None where the user has no such folder."""
    found = hashlib.sha256(f"terrain-fuel places {VERSION}\n".encode())
    status = extract.stat()
    found.update(
        f"{extract.name}\n{status.st_size} {status.st_mtime_ns}\n".encode("utf-8", "surrogateescape")
    )
    with extract.open("rb") as file:
        for number in range(SAMPLES):
            file.seek(status.st_size * number // SAMPLES)
            found.update(file.read(SAMPLE_BYTES))
    for column in (track.lat_deg, track.lon_deg, track.distance_m):
        found.update(column.tobytes())
    with suppress(RuntimeError):
        return user_cache_folder("places") / f"{found.hexdigest()[:32]}.road"
    return None


def kept_road(place: Path) -> MappedRoad | None:
    """Return what is kept, None if there is nothing or it is not whole."""
    held = read_kept(place)
    if held is None:
        return None
    try:
        return _road(json.loads(held))
    except (ValueError, TypeError, KeyError, RecursionError):
        return None


def keep_road(place: Path, road: MappedRoad) -> None:
    """Keep what a map says of a road; where that cannot be, it is read again next time."""
    plain = {**asdict(road), "dated": road.dated.isoformat() if road.dated else None}
    keep(place, json.dumps(plain, separators=(",", ":")).encode())
    with suppress(OSError):
        _sweep(place.parent)


def _sweep(folder: Path) -> None:
    kept = sorted(folder.glob("*.road"), key=lambda path: path.stat().st_mtime_ns, reverse=True)
    for path in kept[MOST_KEPT:]:
        path.unlink(missing_ok=True)


def _road(plain: Mapping[str, Any]) -> MappedRoad:
    lists = {name: tuple(_value(cls, each) for each in plain[name]) for name, cls in LISTS.items()}
    return MappedRoad(
        **lists,
        source=str(plain["source"]),
        dated=datetime.fromisoformat(plain["dated"]) if plain["dated"] else None,
        found_share=float(plain["found_share"]),
    )


def _value(cls: type, plain: Mapping[str, Any]) -> Any:
    """Return a value of a class from its kept form; the digest stands for the right types."""
    return cls(**plain)
