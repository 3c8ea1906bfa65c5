"""The route with no more points than a head unit needs to follow it and to see its climbs."""

from functools import lru_cache
from itertools import pairwise
from typing import Protocol

import numpy as np
import shapely
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

WITHIN_M = 0.5
"""No point that is left out lies farther from the line: half a lane's wear, less than receivers see [m]."""

HEIGHT_WITHIN_M = 1.0
"""... nor its height farther from the line's [m]."""

PIECE_M = 20_000.0
"""A plane is true to centimetres over so much of a road: its ends lie 8 m over the ground [m]."""


class Line(Protocol):
    """A road as columns: a track, or a profile."""

    @property
    def distance_m(self) -> FloatArray: ...  # noqa: D102
    @property
    def lat_deg(self) -> FloatArray: ...  # noqa: D102
    @property
    def lon_deg(self) -> FloatArray: ...  # noqa: D102
    @property
    def elevation_m(self) -> FloatArray: ...  # noqa: D102


@lru_cache(maxsize=2)
def points_to_write(track: Track, whole: bool = False) -> NDArray[np.intp]:
    """Return the indices of the points that are written, in order.

    Parameters
    ----------
    track : the route
    whole : True for all of them

    Notes
    -----
    One plan's files ask for the same points, so the last are kept; they cannot be written to.
    Points are left out as long as line and profile stay within their bounds (the way of Douglas and
    Peucker, once in plan and once in profile).
    """
    kept = np.arange(track.lat_deg.size) if whole else needed_on_road(track)
    kept.flags.writeable = False
    return kept


def needed_on_road(road: Line) -> NDArray[np.intp]:
    """Return the indices of the points without which line or profile would stray beyond their bounds."""
    in_plan = needed_on_ground(road, WITHIN_M)
    in_profile = needed_points(road.distance_m, road.elevation_m, HEIGHT_WITHIN_M)
    return np.union1d(in_plan, in_profile)


def needed_on_ground(road: Line, within_m: float) -> NDArray[np.intp]:
    """Return the indices of the points without which a line on the ground would stray further.

    Notes
    -----
    No chart is true over a whole road: a straight road is bent on most. So each `PIECE_M` of it is laid on
    the plane that touches the ground there.
    """
    places_m = earth_centred_m(road.lat_deg, road.lon_deg)
    piece = np.floor(road.distance_m / PIECE_M)
    bounds = [0, *(np.flatnonzero(np.diff(piece)) + 1).tolist(), piece.size - 1]
    needed = [np.array([0])]
    for first, last in pairwise(bounds):
        if last > first:
            flat_m = _laid_flat(places_m[first : last + 1])
            needed.append(first + needed_points(flat_m[:, 0], flat_m[:, 1], within_m))
    return np.unique(np.concatenate(needed))


def _laid_flat(places_m: FloatArray) -> FloatArray:
    """Return earth-centred places on the plane that touches the ground in their midst, shape (n, 2) [m]."""
    up = places_m.mean(axis=0)
    up /= np.linalg.norm(up)
    across = np.cross(up, np.eye(3)[np.argmin(np.abs(up))])
    across /= np.linalg.norm(across)
    return np.asarray(places_m @ np.column_stack([across, np.cross(up, across)]))


def needed_points(x_m: FloatArray, y_m: FloatArray, within_m: float) -> NDArray[np.intp]:
    """Return the indices of the points without which a line would stray further (Douglas and Peucker)."""
    number = np.arange(x_m.size, dtype=np.float64)
    line = shapely.linestrings(np.column_stack((x_m, y_m, number)))
    thin = shapely.simplify(line, within_m, preserve_topology=False)  # a road may cross itself
    kept = shapely.get_coordinates(thin, include_z=True)[:, 2]
    return np.rint(kept).astype(np.intp)
