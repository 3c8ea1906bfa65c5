"""A height for every point of a route: from the file, from tiles, or bridged."""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.errors import ElevationError
from terrain_fuel.facts import fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.inputs.tiles import tile_corners, tile_name
from terrain_fuel.track import Track

HeightChoice = Literal["auto", "file", "tiles"]
"""Where heights come from: "auto" is the file, and tiles where it has none."""

LONGEST_BRIDGE_M = 2000.0


def join_heights(file_m: FloatArray, tile_m: FloatArray, distance_m: FloatArray) -> FloatArray:
    """Return the file's heights, filled from tiles that are levelled to them, shape (n,) [m].

    Parameters
    ----------
    file_m, tile_m : heights of the file and of tiles, NaN where unknown, shape (n,) [m]
    distance_m : along the road, shape (n,) [m]

    Notes
    -----
    File and tiles may differ by tens of metres in datum. What they differ by at the edges of a
    gap is spread linearly over it, so that no step, and no climb, arises at the seam.
    """
    gap = np.isnan(file_m)
    both = ~gap & ~np.isnan(tile_m)
    offset = np.interp(distance_m, distance_m[both], (file_m - tile_m)[both]) if both.any() else 0.0
    return np.where(gap, tile_m + offset, file_m)


def bridge_gaps(
    heights_m: FloatArray, track: Track, point_numbers: NDArray[np.intp]
) -> tuple[FloatArray, BoolArray]:
    """Return heights with short gaps bridged in a straight line, and where they were.

    Parameters
    ----------
    heights_m : NaN in gaps, shape (n,) [m]
    track : the road
    point_numbers : which point of the file each one is, from 1, for messages, shape (n,)

    Returns
    -------
    heights_m : shape (n,) [m]
        A gap at an end of the road takes the nearest known height.
    interpolated : bool, shape (n,)

    Raises
    ------
    ElevationError
        If a gap is longer than `LONGEST_BRIDGE_M`, naming the tile that would fill it.
    """
    distance_m = track.distance_m
    gap = np.isnan(heights_m)
    if not gap.any():
        return heights_m, gap
    if gap.all():
        raise ElevationError(
            f"{track.source}: no point has a height and no tile covers the road;"
            f" {_tile_advice(track, 0)}, or export the route with elevation",
            fact("refused_no_heights"),
        )
    edges = np.flatnonzero(np.diff(np.concatenate([[False], gap, [False]]).astype(np.int8)))
    for first, after in edges.reshape(-1, 2).tolist():
        length_m = float(distance_m[min(after, gap.size - 1)] - distance_m[max(first - 1, 0)])
        if length_m > LONGEST_BRIDGE_M:
            where = f"point {point_numbers[first]} ({distance_m[first] / 1000.0:.1f} km)"
            raise ElevationError(
                f"{track.source}: {where} has no elevation and no tile covers it; {after - first} points in a"
                f" row ({length_m / 1000.0:.1f} km) are missing, at most {LONGEST_BRIDGE_M / 1000.0:g} km can"
                f" be bridged; {_tile_advice(track, first)}, or export the route with elevation",
                fact("refused_gap_in_heights", at_m=float(distance_m[first]), gap_m=length_m),
            )
    known = ~gap
    return np.interp(distance_m, distance_m[known], heights_m[known]), gap


def _tile_advice(track: Track, i: int) -> str:
    """Return how to come by the tile that holds a point."""
    corner = tile_corners(track.lat_deg[[i]], track.lon_deg[[i]])[0].tolist()
    return (
        f"put the tile {tile_name(*corner)} in a folder and name it with --elevation, let it be fetched"
        " with --online"
    )
