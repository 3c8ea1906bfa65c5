"""How wrong the heights are: by where they came from, or estimated from the heights themselves."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track


@dataclass(frozen=True, slots=True)
class HeightNoise:
    """Errors of neighbouring heights: standard deviation [m] and the distance over which they fade to 1/e [m].

    An error that all heights of a neighbourhood share, such as the drift of a barometer over an
    hour, is not in it: it bends no grade.
    """

    sd_m: float
    reach_m: float


NOISE_BY_KIND = {
    "barometer": HeightNoise(0.4, 10.0),
    "lidar": HeightNoise(0.2, 10.0),
    "surface_30m": HeightNoise(3.0, 60.0),
    "surface_90m": HeightNoise(4.0, 120.0),
}
"""Typical errors of planned and recorded heights, from memory."""

REACHES_M = np.array([10.0, 20.0, 40.0, 60.0, 90.0, 130.0])
"""Reaches that the estimate can tell apart [m]."""

SMALLER_MEAN = 0.5148
"""Mean size of the smaller three quarters of a unit normal sample: 2 (phi(0) - phi(1.1503)) / 0.75."""

LEAST_SD_M = 0.1
LARGEST_SD_M = 6.0
NEAR_LAG_M = 10.0
FAR_LAG_M = 40.0
"""Second differences over these lags show the noise and hardly the road."""

USUAL_REACH_M = 60.0
"""Reach taken where the points are too far apart to show it."""


def height_noise(track: Track) -> HeightNoise:
    """Return the noise of a track's heights: known for the kind, else estimated."""
    return NOISE_BY_KIND.get(track.height_kind) or estimate_noise(track)


def estimate_noise(track: Track) -> HeightNoise:
    """Return the noise that explains the second differences of a track's heights.

    Notes
    -----
    For errors of variance s^2 whose correlation is r(h) = exp(-h / L), the second difference over a
    lag h has the variance s^2 (6 - 8 r(h) + 2 r(2h)). A straight grade adds nothing, a vertical
    curve little; the smaller three quarters leave aside the places where it does. L comes from the ratio of two
    lags. No lag is shorter than the usual gap between points: between them there is no noise to see.
    """
    near_m = max(NEAR_LAG_M, float(np.median(np.diff(track.distance_m))))
    far_m = near_m * max(round(FAR_LAG_M / near_m), 1)
    if track.length_m < 10.0 * far_m:
        return HeightNoise(1.0, USUAL_REACH_M)
    at_m = np.arange(0.0, track.length_m, near_m)
    height = np.interp(at_m, track.distance_m, track.elevation_m)
    near, far = _typical(height, 1), _typical(height, int(round(far_m / near_m)))
    reach = USUAL_REACH_M
    if far_m > near_m:
        expected = np.sqrt(_share(far_m, REACHES_M) / _share(near_m, REACHES_M))
        reach = float(np.interp(far / max(near, 1e-9), expected, REACHES_M))
    sd = near / float(np.sqrt(_share(near_m, np.array([reach])))[0])
    return HeightNoise(float(np.clip(sd, LEAST_SD_M, LARGEST_SD_M)), reach)


def _typical(height_m: FloatArray, lag: int) -> float:
    second = height_m[2 * lag :] - 2.0 * height_m[lag:-lag] + height_m[: -2 * lag]
    count = max(int(0.75 * second.size), 1)
    smaller = np.partition(np.abs(second), count - 1)[:count]
    return float(smaller.mean()) / SMALLER_MEAN


def _share(lag_m: float, reach_m: FloatArray) -> FloatArray:
    return np.asarray(6.0 - 8.0 * np.exp(-lag_m / reach_m) + 2.0 * np.exp(-2.0 * lag_m / reach_m))
