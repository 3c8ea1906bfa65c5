"""GPX files as bare columns: what the file says, before anything is measured."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from terrain_fuel.errors import TrackError
from terrain_fuel.frozen import FloatArray, freeze_columns
from terrain_fuel.inputs.gpx_names import RawWaypoint, names_and_waypoints
from terrain_fuel.inputs.gpx_points import degrees, heights, point_texts, powers, times
from terrain_fuel.inputs.xml_file import DEFAULT_MAX_BYTES, parse_xml, read_bytes
from terrain_fuel.text import plain_text


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

    def __post_init__(self) -> None:
        names = ["lat_deg", "lon_deg", "elevation_m"]
        names += [name for name in ("time_s", "power_w") if getattr(self, name) is not None]
        freeze_columns(self, dict.fromkeys(names, np.float64))


def read_gpx(path: Path, max_bytes: int = DEFAULT_MAX_BYTES) -> RawRoute:
    """Return the columns and waypoints of a GPX 1.0 or 1.1 file.

    Parameters
    ----------
    path : the file
    max_bytes : larger files are refused before they are read

    Returns
    -------
    RawRoute
        The points of all tracks in order; of the file's routes if no track has a point.

    Raises
    ------
    TrackError
        If the file is missing, too large, not GPX, has fewer than two points, or a point whose
        position or height is impossible.

    Notes
    -----
    lxml reads the bulk columns; gpxpy reads names and waypoints from what is left of the file
    once the points are taken out. Any encoding and namespace prefix [GPX11]_; extensions other
    than power are left aside.
    """
    source = plain_text(path.name)
    root = parse_xml(read_bytes(path, max_bytes), source)
    texts = point_texts(root)
    count = len(texts.lat)
    if count == 0 and (places := sum(1 for _ in root.iterfind("{*}wpt"))):
        raise TrackError(
            f"{source}: holds {places} waypoint{'s' * (places > 1)}, no track; a route is a line of points;"
            " export the track or the route itself"
        )
    if count < 2:
        has = "no points" if count == 0 else "only one point"
        raise TrackError(
            f"{source}: has {has} in its tracks and routes; a route needs at least 2; export the whole route"
        )
    lat = degrees(texts.lat, "latitude", 90.0, source)
    lon = degrees(texts.lon, "longitude", 180.0, source)
    name, waypoints = names_and_waypoints(root, source)
    return RawRoute(
        name=name or plain_text(path.stem),
        source=source,
        lat_deg=lat,
        lon_deg=lon,
        elevation_m=heights(texts.elevation, source),
        time_s=times(texts.time),
        power_w=powers(texts.power),
        waypoints=waypoints,
        piece_starts=tuple(texts.piece_starts),
        piece_tracks=tuple(texts.piece_tracks),
    )
