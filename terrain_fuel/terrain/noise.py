"""How wrong the heights are: by where they came from, and as the heights themselves show."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.terrain.roughness import explain_roughness
from terrain_fuel.terrain.steps import without_steps
from terrain_fuel.track import Track


@dataclass(frozen=True, slots=True)
class HeightNoise:
    """Errors of heights, and how the road bends beside them.

    An error that all heights of a neighbourhood share, such as the drift of a barometer over an
    hour, is not in it: it bends no grade.

    Parameters
    ----------
    sd_m : standard deviation [m]
    reach_m : distance over which errors fade to 1/e [m]
    kinks_per_m : squares of the changes of the road's grade, summed over a metre of road [1/m]
    """

    sd_m: float
    reach_m: float
    kinks_per_m: float = 1e-6

    @property
    def strength_m3(self) -> float:
        """Power of the errors over distances beyond their reach: variance times twice the reach [m3]."""
        return 2.0 * self.sd_m**2 * self.reach_m


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

UNKNOWN = HeightNoise(1.0, 60.0)
"""Taken of a road too short to show its noise."""

SAMPLE_M = 10.0
LEAST_SD_M, LARGEST_SD_M = 0.1, 8.0

ROUNDINGS_M = (1.0, 0.5, 0.2, 0.1)
"""Steps in which files write heights [m]."""


def height_noise(track: Track) -> HeightNoise:
    """Return the noise of a track's heights: as its kind lets expect and the heights show."""
    shown = estimate_noise(track)
    expected = EXPECTED_BY_KIND.get(track.height_kind)
    if expected is None:
        return shown
    usual = expected.noise
    sd = np.clip(shown.sd_m, expected.least_share * usual.sd_m, expected.most_share * usual.sd_m)
    return HeightNoise(float(sd), usual.reach_m, shown.kinks_per_m)


def estimate_noise(track: Track) -> HeightNoise:
    """Return the noise that a track's heights show."""
    at_m = np.arange(0.0, track.length_m, SAMPLE_M)
    height = np.interp(at_m, track.distance_m, without_steps(track.distance_m, track.elevation_m))
    found = explain_roughness(height, SAMPLE_M, rounding(track))
    if found is None:
        return UNKNOWN
    return HeightNoise(float(np.clip(found.sd_m, LEAST_SD_M, LARGEST_SD_M)), found.reach_m, found.kinks_per_m)


def rounding(track: Track) -> float:
    """Return the step of which all heights are multiples [m], 0 if there is none."""
    for step_m in ROUNDINGS_M:
        steps = track.elevation_m / step_m
        if float(np.abs(steps - np.rint(steps)).max()) < 1e-3:
            return step_m
    return 0.0
