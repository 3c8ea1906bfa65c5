"""A route file as bare columns: what the file says, before anything is measured."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray, freeze_columns


@dataclass(frozen=True, slots=True)
class RawWaypoint:
    """A waypoint as the file gives it."""

    name: str
    lat_deg: float
    lon_deg: float
    symbol: str = ""
    type: str = ""
    comment: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class RawRoute:
    """The points in the order of the file, all segments and tracks one after the other.

    Parameters
    ----------
    name : str
        What the file calls the route; its file name if it says nothing.
    source : str
        File name, for messages.
    lat_deg, lon_deg : array, shape (n,)
        WGS 84 position [degrees]; lat in [-90, 90], lon in [-180, 180].
    elevation_m : array, shape (n,)
        Height [m], NaN where the file gives none.
    time_s : array, shape (n,), or None
        Seconds since the first time [s], NaN where a point has none; None without any.
    power_w : array, shape (n,), or None
        Measured power [W], NaN where a point has none; None without any.
    waypoints : tuple of RawWaypoint, in the order of the file
    piece_starts, piece_tracks : tuple of int
        Index of the first point of each segment (or route), and its track's number from 1.
    track_names : tuple of str
        What the file calls its tracks, in the order of their numbers; empty texts where it says nothing.
    areas : int
        How many rings and polygons the file holds, which are no road.
    """

    name: str
    source: str
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    time_s: FloatArray | None = None
    power_w: FloatArray | None = None
    waypoints: tuple[RawWaypoint, ...] = ()
    piece_starts: tuple[int, ...] = (0,)
    piece_tracks: tuple[int, ...] = (1,)
    track_names: tuple[str, ...] = ("",)
    areas: int = 0

    def __post_init__(self) -> None:
        names = ["lat_deg", "lon_deg", "elevation_m"]
        names += [name for name in ("time_s", "power_w") if getattr(self, name) is not None]
        freeze_columns(self, dict.fromkeys(names, np.float64))
