"""How far a reversal of the heights must go before it is road: by what errors may have made of them."""

import numpy as np

from terrain_fuel.equations.around import running_mean
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.terrain.noise import HeightNoise
from terrain_fuel.terrain.rolling import balanced_reversal, rolls
from terrain_fuel.terrain.smoothing import stiffness, whittaker

LEAST_REVERSAL_M, LARGEST_REVERSAL_M = 1.0, 9.0
REVERSAL_SPREADS, FEWER_SPREADS, SPREADS_A_DOUBLING = 4.3, 3.1, 0.7
CLEAR_SHARE, HIDING_M = 0.25, 4.0
"""A reversal counts as ascent from here on, or from so many standard deviations of a smoothed height [m]:
where that would hide small hills, fewer if the heights show that the road itself goes up and down, by so many
for each doubling of its share above that, for then more of the reversals are road; tried on roads of known
errors."""

SWING_SHARE, FEWEST_SPREADS = 0.25, 1.0
"""Where a road goes up and down by turns, a reversal counts from this share of the usual swing on, or from so
many standard deviations; tried on roads of known errors."""

LEGS_LONG, LEGS_ABOUT = 3.0, 6.0
"""What goes up and down is what waves of so many legs leave, and it does so over so many legs about."""

WAVED_SHARE, WAVIEST_SHARE = 0.3, 0.2
"""The road goes up and down where heights wave by so much of what they do along the waviest share of it."""


def least_reversals(
    elevation_m: FloatArray, step_m: float, noise: HeightNoise, elevation_sd_m: float, barometer: bool
) -> FloatArray:
    """Return the least reversal that counts at every place [m].

    Parameters
    ----------
    elevation_m : shape (n,), smoothed heights at equal steps [m]
    step_m : the step [m]
    noise : of the heights before they were smoothed
    elevation_sd_m : standard deviation of a smoothed height [m]
    barometer : what a barometer wanders is no road
    """
    if not barometer and np.isfinite(noise.leg_m):
        # what goes up and down there tells nothing of the rest of the road
        usual_m = REVERSAL_SPREADS * elevation_sd_m
        by_turns_m = max(SWING_SHARE * noise.swing_m, FEWEST_SPREADS * elevation_sd_m)
        waving = _goes_up_and_down(elevation_m, step_m, noise.leg_m)
        least_m = np.where(waving, min(usual_m, by_turns_m), usual_m)
    else:
        least_m = np.full(elevation_m.shape, _least_m(noise, elevation_sd_m, barometer))
    return np.clip(least_m, LEAST_REVERSAL_M, LARGEST_REVERSAL_M)


def doubtful_reversals(
    reversal_m: FloatArray, noise: HeightNoise, elevation_sd_m: float, barometer: bool
) -> FloatArray:
    """Return up to where a reversal may be road or error at every place [m], whether or not it counts."""
    if barometer or not rolls(noise):
        return reversal_m
    return np.maximum(reversal_m, min(_usual_m(noise, elevation_sd_m, barometer), LARGEST_REVERSAL_M))


def _least_m(noise: HeightNoise, elevation_sd_m: float, barometer: bool) -> float:
    usual_m = _usual_m(noise, elevation_sd_m, barometer)
    return balanced_reversal(noise, usual_m) if rolls(noise) and not barometer else usual_m


def _usual_m(noise: HeightNoise, elevation_sd_m: float, barometer: bool) -> float:
    clear = 0.0 if barometer else np.log2(max(noise.road_share / CLEAR_SHARE, 1.0))
    fewer_m = max(REVERSAL_SPREADS - SPREADS_A_DOUBLING * clear, FEWER_SPREADS) * elevation_sd_m
    return float(max(fewer_m, min(REVERSAL_SPREADS * elevation_sd_m, HIDING_M)))


def _goes_up_and_down(elevation_m: FloatArray, step_m: float, leg_m: float) -> BoolArray:
    """Return where heights wave about as much as they do at all, shape (n,): long level parts do not."""
    waves = elevation_m - whittaker(elevation_m, stiffness(LEGS_LONG * leg_m, step_m))
    about = max(round(LEGS_ABOUT * leg_m / step_m), 1)
    shown = running_mean(waves**2, about)
    return np.asarray(shown > WAVED_SHARE * np.quantile(shown, 1.0 - WAVIEST_SHARE))
