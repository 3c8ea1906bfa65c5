"""The even axis along the road: where its nodes are on the ellipsoid and which way the road goes there."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.equations.geodesy import ECCENTRICITY_SQUARED, earth_centred_m
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.track import Track

STEP_M = 10.0
"""Aimed-for distance between nodes [m]; the steps of one route are equal and a little shorter."""


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """Nodes at equal steps along the road, with a second, twice as fine row of positions for bends.

    Parameters
    ----------
    step_m : distance between nodes [m]
    distance_m : shape (n,), from 0 to the route's length [m]
    fine_position_m : shape (2n - 1, 3), earth-centred position every half step [m]
    fine_gap_m : shape (2n - 1,), spacing of the route file's points there [m]
    """

    step_m: float
    distance_m: FloatArray
    fine_position_m: FloatArray
    fine_gap_m: FloatArray


def lay_axis(track: Track) -> Axis:
    """Return equal steps of at most 10 m along a track.

    Earth-centred coordinates have no seam at the date line and no pole where longitudes meet.
    """
    steps = max(int(np.ceil(track.length_m / STEP_M - 1e-9)), 1)
    fine_m = np.linspace(0.0, track.length_m, 2 * steps + 1)
    positions = earth_centred_m(track.lat_deg, track.lon_deg)
    columns = [np.interp(fine_m, track.distance_m, positions[:, axis]) for axis in range(3)]
    gaps = np.diff(track.distance_m)
    span = np.clip(np.searchsorted(track.distance_m, fine_m, side="right") - 1, 0, gaps.size - 1)
    return Axis(track.length_m / steps, fine_m[::2].copy(), np.column_stack(columns), gaps[span])


def cell_means(track: Track, axis: Axis) -> FloatArray:
    """Return the mean height of the road over one step around each node [m], shape (n,).

    The road between points is straight, so its integral is exact: no point is skipped where
    points are dense, and nothing is invented where they are sparse.
    """
    half = axis.step_m / 2
    low = np.maximum(axis.distance_m - half, 0.0)
    high = np.minimum(axis.distance_m + half, track.length_m)
    return np.asarray((_integral(track, high) - _integral(track, low)) / (high - low))


def _integral(track: Track, at_m: FloatArray) -> FloatArray:
    road, height = track.distance_m, track.elevation_m
    before = np.concatenate(([0.0], np.cumsum(np.diff(road) * (height[1:] + height[:-1]) / 2)))
    span = np.clip(np.searchsorted(road, at_m, side="right") - 1, 0, road.size - 2)
    along = at_m - road[span]
    slope = (height[span + 1] - height[span]) / (road[span + 1] - road[span])
    return np.asarray(before[span] + along * (height[span] + slope * along / 2))


def bridged(track: Track, axis: Axis) -> BoolArray:
    """Return True at nodes whose height the track had already bridged, shape (n,)."""
    return np.asarray(np.interp(axis.distance_m, track.distance_m, track.interpolated) > 0.0)


def geographic(position_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return latitude and longitude [degrees] of earth-centred positions near the ellipsoid."""
    x, y, z = position_m.T
    lat = np.arctan2(z, (1.0 - ECCENTRICITY_SQUARED) * np.hypot(x, y))
    return np.degrees(lat), np.degrees(np.arctan2(y, x))


def upward(position_m: FloatArray) -> FloatArray:
    """Return unit vectors that point up from the ellipsoid, shape (n, 3)."""
    scaled = position_m * np.array([1.0, 1.0, 1.0 / (1.0 - ECCENTRICITY_SQUARED)])
    return np.asarray(scaled / np.linalg.norm(scaled, axis=1, keepdims=True))
