"""A route file as a track: a height at every point, waypoints tied to the road, relief around it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.errors import ModelRangeError, TrackError
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.inputs.download import SILENCE_S, Progress
from terrain_fuel.inputs.elevation import heights_at, relief_around
from terrain_fuel.inputs.gpx import RawRoute, read_gpx
from terrain_fuel.inputs.heights import HeightChoice, bridge_gaps, join_heights
from terrain_fuel.inputs.standing import fall_together
from terrain_fuel.inputs.tile_source import TileSource
from terrain_fuel.inputs.waypoints import tie_waypoints
from terrain_fuel.inputs.xml_file import DEFAULT_MAX_BYTES
from terrain_fuel.track import Relief, Track

SAME_POINT_M = 0.001
LONGEST_LEG_M = 100_000.0
"""Neighbours farther apart are a mistake in the file, such as a point at 0, 0."""

SURFACE_KINDS = {0: "unknown", 1201: "surface_90m", 3601: "surface_30m"}


def read_route(
    path: Path,
    elevation: Path | None = None,
    online: bool = False,
    *,
    heights: HeightChoice = "auto",
    max_bytes: int = DEFAULT_MAX_BYTES,
    cache: Path | None = None,
    mirror: str | None = None,
    silence_s: float = SILENCE_S,
    progress: Progress | None = None,
) -> tuple[Track, Relief | None]:
    """Return the route of a GPX file, and the relief around it if tiles cover it.

    Parameters
    ----------
    path : the GPX file, 1.0 or 1.1
    elevation : folder of ``.hgt`` or ``.hgt.zip`` tiles, or None
    online : True lets missing tiles be fetched, at most one attempt for each
    heights : "file", "tiles", or "auto": the file's, and tiles' where it has none
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
    raw = read_gpx(path, max_bytes)
    kept, lat, lon, distance_m = _road(raw)
    source = TileSource(
        None if elevation is None else Path(elevation), online, cache, mirror, silence_s, progress
    )
    track = Track(
        name=raw.name,
        source=raw.source,
        lat_deg=lat,
        lon_deg=lon,
        distance_m=distance_m,
        elevation_m=np.zeros(lat.size),
        interpolated=np.zeros(lat.size, dtype=bool),
        time_s=None if raw.time_s is None else raw.time_s[kept],
        power_w=None if raw.power_w is None else raw.power_w[kept],
        waypoints=tie_waypoints(raw.waypoints, lat, lon, distance_m),
    )
    track = _with_heights(track, raw.elevation_m[kept], np.flatnonzero(kept) + 1, heights, source)
    if source.is_empty:
        return track, None
    source.gather(lat, lon)
    return track, relief_around(lat, lon, source.tile_at_hand)


def _road(raw: RawRoute) -> tuple[BoolArray, FloatArray, FloatArray, FloatArray]:
    """Return which points are kept, and of those latitude, longitude [degrees] and distance [m].

    Points recorded while standing fall together, and points at the place of the one before are dropped.
    """
    _refuse_strays(raw)
    kept, lat, lon = fall_together(raw.lat_deg, raw.lon_deg, raw.time_s)
    number = np.flatnonzero(kept)
    legs, _ = geodesic_m(lat[number[:-1]], lon[number[:-1]], lat[number[1:]], lon[number[1:]])
    apart = np.concatenate([[True], legs >= SAME_POINT_M])
    if apart.sum() < 2:
        raise TrackError(
            f"{raw.source}: all {kept.size} points are one and the same place; a route needs at least 2;"
            " export the whole route"
        )
    kept[number[~apart]] = False
    return kept, lat[kept], lon[kept], np.concatenate([[0.0], np.cumsum(legs)])[apart]


def _refuse_strays(raw: RawRoute) -> None:
    """Raise TrackError where neighbours lie too far apart for a road."""
    try:
        legs, _ = geodesic_m(raw.lat_deg[:-1], raw.lon_deg[:-1], raw.lat_deg[1:], raw.lon_deg[1:])
    except ModelRangeError as error:
        raise TrackError(f"{raw.source}: {error}") from None
    stray = np.flatnonzero(legs > LONGEST_LEG_M)
    if stray.size:
        i = int(stray[0])
        raise TrackError(
            f"{raw.source}: point {i + 2} lies {legs[i] / 1000.0:.0f} km from the one before; allowed"
            f" are {LONGEST_LEG_M / 1000.0:g} km; delete the stray point, or keep one ride a file"
        )


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
    from_file, from_tiles = ~np.isnan(file_m), np.isnan(file_m) & ~np.isnan(joined)
    names = [name for name, used in (("file", from_file), ("tiles", from_tiles)) if used.any()]
    return replace(
        track,
        elevation_m=elevation_m,
        interpolated=interpolated,
        elevation_source=" and ".join(names),
        height_kind=SURFACE_KINDS[side] if from_tiles.any() else "unknown",
    )
