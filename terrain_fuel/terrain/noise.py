"""How wrong the heights are: by where they came from, or estimated from the heights themselves."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track


@dataclass(frozen=True, slots=True)
class HeightNoise:
    """Errors of heights: standard deviation [m] and the distance over which they fade to 1/e [m].

    An error that all heights of a neighbourhood share, such as the drift of a barometer over an
    hour, is not in it: it bends no grade.
    """

    sd_m: float
    reach_m: float


@dataclass(frozen=True, slots=True)
class Expected:
    """Noise to expect of a kind of heights, and the range of shares of it that heights may show."""

    noise: HeightNoise
    least_share: float
    most_share: float


EXPECTED_BY_KIND = {
    "barometer": Expected(HeightNoise(0.4, 10.0), 0.5, 3.0),
    "lidar": Expected(HeightNoise(0.2, 10.0), 0.5, 3.0),
    "surface_30m": Expected(HeightNoise(3.0, 60.0), 0.2, 1.0),
    "surface_90m": Expected(HeightNoise(4.0, 120.0), 0.2, 1.0),
}
"""Typical errors of planned and recorded heights, from memory. On smooth ground surface models do better."""

NEAR_LAG_M = 10.0
FAR_LAG_M = 40.0
"""Second differences over these lags show the noise and hardly the road."""

USUAL_REACH_M = 60.0
"""Reach taken where the points are too far apart to show it."""

REACHES_M = np.array([10.0, 20.0, 40.0, 60.0, 90.0, 130.0])
"""Reaches that the estimate can tell apart [m]."""

SMALLER_MEAN = 0.5148
"""Mean size of the smaller three quarters of a unit normal sample: 2 (phi(0) - phi(1.1503)) / 0.75."""

FEWEST_HEIGHTS = 10

LEAST_SD_M = 0.1
LARGEST_SD_M = 6.0
NEAR_LAG_M = 10.0
FAR_LAG_M = 40.0
"""Second differences over these lags show the noise and hardly the road."""

USUAL_REACH_M = 60.0
"""Reach taken where the points are too far apart to show it."""


def height_noise(track: Track) -> HeightNoise:
    """Return the noise of a track's heights: as its kind lets expect and the heights show."""
    expected = EXPECTED_BY_KIND.get(track.height_kind)
    if expected is None:
        return estimate_noise(track)
    usual = expected.noise
    shown = _shown_sd(track, max(NEAR_LAG_M, usual.reach_m / 2.0), usual.reach_m)
    sd = np.clip(shown, expected.least_share * usual.sd_m, expected.most_share * usual.sd_m)
    return HeightNoise(float(sd), usual.reach_m)


def _shown_sd(track: Track, lag_m: float, reach_m: float) -> float:
    """Return the noise of known reach that second differences over one lag show [m]."""
    lag_m = max(lag_m, _usual_gap(track))
    height = _sampled(track, lag_m)
    if height.size < FEWEST_HEIGHTS:
        return float("inf")
    return _typical(height, 1) / float(np.sqrt(_share(lag_m, np.array([reach_m])))[0])


def estimate_noise(track: Track) -> HeightNoise:
    """Return the noise that explains the second differences of a track's heights.

    Notes
    -----
    For errors of variance s^2 whose correlation is r(h) = exp(-h / L), the second difference over a
    lag h has the variance s^2 (6 - 8 r(h) + 2 r(2h)). A straight grade adds nothing, a vertical
    curve little; the smaller three quarters leave aside the places where it does. L comes from the
    ratio of two lags. No lag is shorter than the usual gap between points: none would show between them.
    """
    near_m = max(NEAR_LAG_M, _usual_gap(track))
    far_m = near_m * max(round(FAR_LAG_M / near_m), 1)
    if track.length_m < FEWEST_HEIGHTS * far_m:
        return HeightNoise(1.0, USUAL_REACH_M)
    height = _sampled(track, near_m)
    near, far = _typical(height, 1), _typical(height, round(far_m / near_m))
    reach = USUAL_REACH_M
    if far_m > near_m:
        expected = np.sqrt(_share(far_m, REACHES_M) / _share(near_m, REACHES_M))
        reach = float(np.interp(far / max(near, 1e-9), expected, REACHES_M))
    sd = near / float(np.sqrt(_share(near_m, np.array([reach])))[0])
    return HeightNoise(float(np.clip(sd, LEAST_SD_M, LARGEST_SD_M)), reach)


def _usual_gap(track: Track) -> float:
    return float(np.median(np.diff(track.distance_m)))


def _sampled(track: Track, every_m: float) -> FloatArray:
    return np.asarray(np.interp(np.arange(0.0, track.length_m, every_m), track.distance_m, track.elevation_m))


def _typical(height_m: FloatArray, lag: int) -> float:
    second = height_m[2 * lag :] - 2.0 * height_m[lag:-lag] + height_m[: -2 * lag]
    count = max(int(0.75 * second.size), 1)
    smaller = np.partition(np.abs(second), count - 1)[:count]
    return float(smaller.mean()) / SMALLER_MEAN


def _share(lag_m: float, reach_m: FloatArray) -> FloatArray:
    return np.asarray(6.0 - 8.0 * np.exp(-lag_m / reach_m) + 2.0 * np.exp(-2.0 * lag_m / reach_m))
