"""Where on the planned road each recorded point may lie: every pass of the road near it."""

from dataclasses import dataclass

import numpy as np
import shapely

from terrain_fuel.equations.geodesy import SPHERE_DEGREE_M
from terrain_fuel.frozen import FloatArray, IntArray

REACH_M = 40.0
"""A recorded point lies on the road within this [m]: two receivers' errors, and the road's width."""

ONE_PASS_M = 60.0
"""Places of the road so near to one another along it are one pass of it [m]."""


@dataclass(frozen=True, slots=True, eq=False)
class RoadLine:
    """A road as a line on a plane: along it, to the east and to the north [m], shape (n,)."""

    along_m: FloatArray
    east_m: FloatArray
    north_m: FloatArray

    @property
    def length_m(self) -> float:
        """Length of the road [m]."""
        return float(self.along_m[-1])

    def reversed(self) -> "RoadLine":
        """Return the road as one who rides it the other way meets it."""
        return RoadLine(self.length_m - self.along_m[::-1], self.east_m[::-1], self.north_m[::-1])


@dataclass(frozen=True, slots=True, eq=False)
class Candidates:
    """Possible places, ordered by point: whose point, where along the road [m], how far beside it [m]."""

    point: IntArray
    along_m: FloatArray
    offset_m: FloatArray


def on_plane(
    lat_deg: FloatArray, lon_deg: FloatArray, about_deg: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Return positions to the east and north of a place [m], good to a few parts in a thousand near it."""
    lat0, lon0 = about_deg
    away = (np.asarray(lon_deg) - lon0 + 180.0) % 360.0 - 180.0
    return SPHERE_DEGREE_M * np.cos(np.radians(lat0)) * away, SPHERE_DEGREE_M * (np.asarray(lat_deg) - lat0)


def find_candidates(road: RoadLine, east_m: FloatArray, north_m: FloatArray) -> Candidates:
    """Return every place of the road within `REACH_M` of each point, one for each pass."""
    ends = np.stack((road.east_m, road.north_m), axis=1)
    segments = np.asarray(shapely.linestrings(np.stack((ends[:-1], ends[1:]), axis=1)))
    points = shapely.points(east_m, north_m)
    which, on = shapely.STRtree(segments).query(points, predicate="dwithin", distance=REACH_M)
    order = np.lexsort((on, which))
    which, on = which[order], on[order]
    step = ends[on + 1] - ends[on]
    to_point = np.stack((east_m, north_m), axis=1)[which] - ends[on]
    length2 = np.maximum((step**2).sum(axis=1), 1e-9)
    share = np.clip((step * to_point).sum(axis=1) / length2, 0.0, 1.0)
    offset_m = np.hypot(*(to_point - share[:, None] * step).T)
    along_m = road.along_m[on] + share * (road.along_m[on + 1] - road.along_m[on])
    return _one_a_pass(which, along_m, offset_m)


def _one_a_pass(which: IntArray, along_m: FloatArray, offset_m: FloatArray) -> Candidates:
    """Return the nearest place of every pass."""
    if not which.size:
        return Candidates(which, along_m, offset_m)
    new = np.concatenate(([True], (np.diff(which) > 0) | (np.diff(along_m) > ONE_PASS_M)))
    group = np.cumsum(new) - 1
    best = np.lexsort((offset_m, group))
    first = np.concatenate(([True], np.diff(group[best]) > 0))
    kept = best[first]
    return Candidates(which[kept], along_m[kept], offset_m[kept])
