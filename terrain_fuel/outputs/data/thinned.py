"""The route with no more points than a head unit needs to follow it and to see its climbs."""

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import SPHERE_DEGREE_M
from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

WITHIN_M = 0.5
"""No point that is left out lies farther from the line: half a lane's wear, less than receivers see [m]."""

HEIGHT_WITHIN_M = 1.0
"""... nor its height farther from the line's [m]."""


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
    kept = np.arange(track.lat_deg.size) if whole else _thinned(track)
    kept.flags.writeable = False
    return kept


def _thinned(track: Track) -> NDArray[np.intp]:
    lon_deg = np.unwrap(track.lon_deg, period=360.0)
    east_m = SPHERE_DEGREE_M * np.cos(np.radians(track.lat_deg)) * (lon_deg - lon_deg.mean())
    in_plan = needed_points(east_m, SPHERE_DEGREE_M * track.lat_deg, WITHIN_M)
    in_profile = needed_points(track.distance_m, track.elevation_m, HEIGHT_WITHIN_M)
    return np.union1d(in_plan, in_profile)


def needed_points(x_m: FloatArray, y_m: FloatArray, within_m: float) -> NDArray[np.intp]:
    """Return the indices of the points without which a line would stray further (Douglas and Peucker)."""
    number = np.arange(x_m.size, dtype=np.float64)
    line = shapely.linestrings(np.column_stack((x_m, y_m, number)))
    thin = shapely.simplify(line, within_m, preserve_topology=False)  # a road may cross itself
    kept = shapely.get_coordinates(thin, include_z=True)[:, 2]
    return np.rint(kept).astype(np.intp)
