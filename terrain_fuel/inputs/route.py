"""A route file as a track: a height at every point, waypoints tied to the road, relief around it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.inputs.download import SILENCE_S, Progress
from terrain_fuel.inputs.elevation import heights_at, relief_around
from terrain_fuel.inputs.heights import HeightChoice, bridge_gaps, join_heights
from terrain_fuel.inputs.mending import mend_line
from terrain_fuel.inputs.route_file import read_route_file
from terrain_fuel.inputs.tile_source import TileSource
from terrain_fuel.inputs.waypoints import thin_crowd, tie_waypoints
from terrain_fuel.inputs.xml_file import DEFAULT_MAX_BYTES
from terrain_fuel.track import Relief, Track

SURFACE_KINDS = {0: "unknown", 1201: "surface_90m", 3601: "surface_30m"}


def read_route(
    path: Path | str,
    elevation: Path | str | None = None,
    online: bool = False,
    *,
    track: str | None = None,
    heights: HeightChoice = "auto",
    straight_legs: bool = False,
    max_bytes: int = DEFAULT_MAX_BYTES,
    cache: Path | None = None,
    mirror: str | None = None,
    silence_s: float = SILENCE_S,
    progress: Progress | None = None,
) -> tuple[Track, Relief | None]:
    """Return the route of a file, and the relief around it if tiles cover it.

    Parameters
    ----------
    path : a GPX, TCX, FIT, KML or GeoJSON file, as it is, gzipped or in a zip archive
    elevation : folder of ``.hgt`` or ``.hgt.zip`` tiles, or None
    online : True lets missing tiles be fetched, at most one attempt for each
    track : which track of a file that holds several: its number, its name, or "all" in a row
    heights : "file", "tiles", or "auto": the file's, and tiles' where it has none
    straight_legs : True when legs over 5 km without a point are as the rider wants them
    max_bytes : a larger file is refused before it is read
    cache : where fetched tiles are kept; None is the user's cache folder
    mirror : address of the mirror; None is the environment variable TERRAIN_FUEL_TILE_MIRROR, then
        the addresses that SRTM.py knows
    silence_s : longest wait for the mirror's answer [s]
    progress : told of every piece of a tile that arrives

    Raises
    ------
    TrackError
        If the file is no route.
    ElevationError
        If heights are missing over more than 2 km, or a tile is damaged.
    TileFetchError
        If a tile that heights need cannot be fetched.

    Notes
    -----
    Points recorded while standing fall together at their mean; points less than 1 mm after the one
    before are dropped. Segments and tracks follow one another
    in the order of the file, joined by straight lines. A file whose every height is 0 has
    none, if tiles cover it. Relief takes the tiles under the route if they can be had, and those
    beside it that are at hand.
    """
    path = Path(path)
    raw = read_route_file(path, max_bytes, track)
    mended = mend_line(raw, straight_legs)
    kept, distance_m = mended.kept, mended.distance_m
    lat, lon = mended.lat_deg, mended.lon_deg
    tied = tie_waypoints(raw.waypoints, lat, lon, distance_m)
    waypoints = thin_crowd(tied)
    source = TileSource(
        None if elevation is None else Path(elevation), online, cache, mirror, silence_s, progress
    )
    road = Track(
        name=raw.name,
        source=raw.source,
        lat_deg=lat,
        lon_deg=lon,
        distance_m=distance_m,
        elevation_m=np.zeros(lat.size),
        interpolated=np.zeros(lat.size, dtype=bool),
        time_s=None if raw.time_s is None else raw.time_s[kept],
        power_w=None if raw.power_w is None else raw.power_w[kept],
        waypoints=waypoints,
        notes=(*mended.notes, *_crowd_note(raw.source, len(tied), len(waypoints))),
        left_out=mended.left_out,
    )
    road = _with_heights(road, raw.elevation_m[kept], np.flatnonzero(kept) + 1, heights, source)
    if source.is_empty:
        return road, None
    source.gather(lat, lon)
    return road, relief_around(lat, lon, source.tile_at_hand)


def _crowd_note(source: str, given: int, kept: int) -> tuple[Fact, ...]:
    """Return that of a crowd of waypoints some are left out."""
    return (fact("waypoints_thinned", source=source, given=given, kept=kept),) if kept < given else ()


def _with_heights(
    track: Track,
    file_m: FloatArray,
    point_numbers: NDArray[np.intp],
    choice: HeightChoice,
    source: TileSource,
) -> Track:
    """Return the track with heights from where the rider wants them."""
    unknown = np.full(file_m.size, np.nan)
    tile_m, side = unknown, 0
    flat_zero = choice == "auto" and not source.is_empty and not np.any(file_m)
    if choice == "tiles" or (choice == "auto" and (flat_zero or np.isnan(file_m).any())):
        tile_m, side = heights_at(track.lat_deg, track.lon_deg, source.tile)
    if choice == "tiles" or (flat_zero and not np.isnan(tile_m).all()):
        file_m = unknown
    joined = join_heights(file_m, tile_m, track.distance_m)
    elevation_m, interpolated = bridge_gaps(joined, track, point_numbers)
    notes = _height_notes(track, interpolated, point_numbers)
    if flat_zero and tile_m is not unknown and not np.isnan(tile_m).all():
        notes = (fact("heights_all_zero", source=track.source), *notes)
    if not np.any(elevation_m):
        notes = (fact("heights_zero_throughout", source=track.source), *notes)
    from_file, from_tiles = ~np.isnan(file_m), np.isnan(file_m) & ~np.isnan(joined)
    names = [name for name, used in (("file", from_file), ("tiles", from_tiles)) if used.any()]
    return replace(
        track,
        elevation_m=elevation_m,
        interpolated=interpolated,
        notes=(*track.notes, *notes),
        elevation_source=" and ".join(names),
        height_kind=SURFACE_KINDS[side] if from_tiles.any() else "unknown",
    )


def _height_notes(track: Track, interpolated: BoolArray, point_numbers: NDArray[np.intp]) -> tuple[Fact, ...]:
    """Return what is to be said of heights that were bridged."""
    missing = np.flatnonzero(interpolated)
    if not missing.size:
        return ()
    first = int(missing[0])
    return (
        fact(
            "heights_bridged",
            count=int(missing.size),
            first=int(point_numbers[first]),
            source=track.source,
            at_m=float(track.distance_m[first]),
        ),
    )
