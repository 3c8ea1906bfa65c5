"""The route as read: read-only columns of position, height and distance, and its waypoints."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns, frozen_array
from terrain_fuel.mapped.model import MappedRoad

WaypointKind = Literal["refill", "feed", "no_stop", "caution", "tunnel", "summit", "place"]
"""What a waypoint means to the plan; everything not understood is a "place"."""


@dataclass(frozen=True, slots=True)
class Waypoint:
    """A named place of the route file, tied to the road by distance.

    ``distance_m`` is the place on the route nearest to it [m]; a waypoint the route passes
    twice appears twice. ``offset_m`` is how far from the road it lies [m].
    """

    name: str
    kind: WaypointKind
    lat_deg: float
    lon_deg: float
    distance_m: float
    offset_m: float = 0.0
    symbol: str = ""
    type: str = ""
    comment: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Points of the file, counted from 1, that are not part of the road.

    ``repeats`` is the number of the track that they repeat, 0 for points far off the road.
    """

    first_point: int
    last_point: int
    repeats: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Relief:
    """A rectangular grid of heights around the route, for shading and for exposure.

    ``lat_deg`` (rows) and ``lon_deg`` (columns) rise [degrees]; a grid that crosses the date
    line goes on past 180. ``elevation_m`` has shape (rows, columns) [m], NaN in voids. ``around`` is
    the same of a wider land, coarser, only to be looked at.
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    around: "Relief | None" = None

    def __post_init__(self) -> None:
        for name in ("lat_deg", "lon_deg", "elevation_m"):
            object.__setattr__(self, name, frozen_array(getattr(self, name)))
        if self.elevation_m.shape != (self.lat_deg.size, self.lon_deg.size):
            raise ValueError("Relief: elevation_m must have one row a latitude, one column a longitude")


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Track:
    """The route as it will be ridden, with a height at every point.

    Parameters
    ----------
    name : str
        Name of the route, as the rider knows it.
    source : str
        File name, for messages.
    lat_deg, lon_deg : array, shape (n,)
        WGS 84 position [degrees], lon in [-180, 180].
    distance_m : array, shape (n,)
        Geodesic distance along the road [m], strictly rising from 0.
    elevation_m : array, shape (n,)
        Height [m], finite.
    interpolated : bool array, shape (n,)
        True where the height was bridged from its neighbours.
    elevation_source : str
        "file", "tiles" or "file and tiles".
    height_kind : str
        "barometer", "lidar", "surface_30m", "surface_90m" or "unknown": what smoothing it wants.
    time_s : array, shape (n,), or None
        Seconds since the first point, for recordings [s].
    power_w : array, shape (n,), or None
        Measured power, for recordings [W].
    waypoints : tuple of Waypoint, by distance
    notes : tuple of Fact
        What was mended in the file or is doubtful about it.
    left_out : tuple of LeftOut
    mapped : MappedRoad, or None
        What a map says of the road.
    """

    name: str
    source: str
    lat_deg: FloatArray
    lon_deg: FloatArray
    distance_m: FloatArray
    elevation_m: FloatArray
    interpolated: BoolArray
    elevation_source: str = "file"
    height_kind: str = "unknown"
    time_s: FloatArray | None = None
    power_w: FloatArray | None = None
    waypoints: tuple[Waypoint, ...] = ()
    notes: tuple[Fact, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    mapped: MappedRoad | None = None

    def __post_init__(self) -> None:
        columns = {
            "lat_deg": np.float64,
            "lon_deg": np.float64,
            "distance_m": np.float64,
            "elevation_m": np.float64,
            "interpolated": np.bool_,
        }
        for name in ("time_s", "power_w"):
            if getattr(self, name) is not None:
                columns[name] = np.float64
        count = freeze_columns(self, dict(columns))
        if count < 2:
            raise ValueError("Track needs two points")
        if not np.all(np.diff(self.distance_m) > 0):
            raise ValueError("Track.distance_m must rise")
        if not np.all(np.isfinite(self.elevation_m)):
            raise ValueError("Track.elevation_m must be finite")

    def __repr__(self) -> str:
        """Return the road in one line: its columns would fill a screen."""
        return f"Track({self.name!r}: {self.length_m / 1000.0:.1f} km, {self.distance_m.size} points)"

    @property
    def length_m(self) -> float:
        """Length of the road [m]."""
        return float(self.distance_m[-1])

    @property
    def interpolated_m(self) -> float:
        """Length of road whose height was bridged [m]: the spans that touch a bridged point."""
        spans = np.diff(self.distance_m)
        touched = self.interpolated[1:] | self.interpolated[:-1]
        return float(spans[touched].sum())
