"""How wrong the heights are: by where they came from, and as the heights themselves show."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.terrain.growths import road_roughness_m2, rolling_roughness_m2
from terrain_fuel.terrain.roughness import LAGS_M, explain_roughness
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
    leg_m : from one turn to the next of a road that goes up and down by turns [m]; inf for other roads
    may_climb : ascent over distance of such roads as would explain the heights too, by how well they do
    rolls_m : distance over which grades of rolling ground are forgotten [m]; inf for other roads
    """

    sd_m: float
    reach_m: float
    kinks_per_m: float = 1e-6
    leg_m: float = np.inf
    may_climb: float = 0.0
    rolls_m: float = np.inf

    @property
    def strength_m3(self) -> float:
        """Power of the errors over distances beyond their reach: variance times twice the reach [m3]."""
        return 2.0 * self.sd_m**2 * self.reach_m

    @property
    def swing_m(self) -> float:
        """Height between the turns of a road that goes up and down by turns [m]; inf for other roads."""
        return float(self.leg_m**1.5 * np.sqrt(self.kinks_per_m) / 2.0)

    @property
    def road_share(self) -> float:
        """How rough the road is beside the errors, over the longest lag at which both were looked at."""
        return float(road_roughness_m2(self.kinks_per_m, LAGS_M[-1:])[0]) / (6.0 * self.sd_m**2)

    @property
    def rolling_share(self) -> float:
        """How rough rolling ground is beside the errors, over a lag of 1 km."""
        if not np.isfinite(self.rolls_m):
            return 0.0
        ground = float(rolling_roughness_m2(self.rolls_m, np.array([1000.0]))[0])
        return self.kinks_per_m * ground / (6.0 * self.sd_m**2)

    def waves_sd_m(self, ascent_m: float, length_m: float) -> float:
        """Return how unsure an ascent is because the road may go up and down by turns [m].

        Parameters
        ----------
        ascent_m, length_m : of the whole road [m]

        Notes
        -----
        The swing of waves of known shape and place is known to sqrt(N / E), N the power of the errors at
        their length and E the square of the road's waves, summed over their length: a twelfth of the swing
        squared a metre. No estimate does better. Where nothing tells such a road from errors, what it would
        climb beyond the ascent may be there or not.
        """
        if not np.isfinite(self.leg_m):
            return max(self.may_climb * length_m - ascent_m, 0.0)
        power_m3 = self.strength_m3 / (1.0 + (np.pi * self.reach_m / self.leg_m) ** 2)
        waving_m = min(2.0 * self.leg_m * ascent_m / self.swing_m, length_m)
        return ascent_m * float(np.sqrt(12.0 * power_m3 / (self.swing_m**2 * max(waving_m, self.leg_m))))


@dataclass(frozen=True, slots=True)
class Expected:
    """What to expect of a kind of heights: least and largest standard deviation, longest reach [m]."""

    least_sd_m: float
    largest_sd_m: float
    longest_reach_m: float


EXPECTED_BY_KIND = {
    "barometer": Expected(0.2, 1.2, 45.0),
    "lidar": Expected(0.1, 0.6, 45.0),
    "surface_30m": Expected(0.6, 3.0, 180.0),
    "surface_90m": Expected(0.8, 4.0, 180.0),
    "unknown": Expected(0.1, 8.0, 180.0),
}
"""Usual errors of planned and recorded heights, from memory. On smooth ground surface models do better."""

HIDDEN = HeightNoise(1.0, 60.0)
"""Taken of a road too short to show its noise."""

ROUNDINGS_M = (1.0, 0.5, 0.2, 0.1)
"""Steps in which files write heights [m]."""

BAROMETER_STEPS_M = (0.1, 0.2)
"""Steps in which devices with a barometer record [m], from memory."""

NO_BAROMETER_SD_M = 2.0
"""Heights that show more noise were not taken by a barometer: satellites give heights in such steps too."""


def recognised(track: Track) -> Track:
    """Return the track, heights of unknown kind called a barometer's if they look recorded by one."""
    if track.height_kind != "unknown" or track.time_s is None or rounding(track) not in BAROMETER_STEPS_M:
        return track
    timed = np.isfinite(track.time_s)
    if timed.mean() < 0.5 or estimate_noise(track).sd_m > NO_BAROMETER_SD_M:
        return track
    return replace(track, height_kind="barometer")


def estimate_noise(track: Track) -> HeightNoise:
    """Return the noise that a track's heights show, within what their kind lets expect."""
    expected = EXPECTED_BY_KIND[track.height_kind]
    height_m = without_steps(track.distance_m, track.elevation_m)
    found = explain_roughness(track.distance_m, height_m, rounding(track), expected.longest_reach_m)
    if found is None:
        return HIDDEN
    sd_m = float(np.clip(found.sd_m, expected.least_sd_m, expected.largest_sd_m))
    return HeightNoise(sd_m, found.reach_m, found.kinks_per_m, found.leg_m, found.may_climb, found.rolls_m)


def rounding(track: Track) -> float:
    """Return the step of which all heights are multiples [m], 0 if there is none."""
    for step_m in ROUNDINGS_M:
        steps = track.elevation_m / step_m
        if float(np.abs(steps - np.rint(steps)).max()) < 1e-3:
            return step_m
    return 0.0
