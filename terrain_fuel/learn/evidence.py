"""What each ride of the log says of each unknown, and what is known of it beforehand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.demand.sweat import MODELLED_SPREAD
from terrain_fuel.learn.posterior import Belief, Evidence
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.rider import Bike, Habits

MILD_C, TEN_C = 20.0, 10.0

SWEAT_SLOPE_SD = 0.10
"""How far the model's answer to ten degrees is likely to be off, as a logarithm: an assumption."""

SWEAT_DAY_SD = 0.12
"""How much a rider's sweat differs from day to day for unseen reasons, as a logarithm: an assumption."""

LEAST_SWEAT_ML_PER_H = 1.0
"""Less, weighed or modelled, is none, of which no share can be taken."""

DRAG_SD = 0.15
"""As for `terrain_fuel.calibrate`: drag on the hoods 0.30 to 0.40 m2 [Wi04]_."""

DRAG_DAY_SD, DRAG_UNTOLD_SD = 0.05, 0.08
"""How much a rider's drag differs from day to day, clothes and place on the bars, as a logarithm, and the
doubt of a ride's fit that does not tell its own: common practice (no source)."""

LEVEL_SD, LEVEL_RIDE_SD = 0.30, 0.10
"""How far a rider's effort is likely to lie from the settings', and how much it differs from ride to
ride, as logarithms: common practice (no source)."""

HALTS_SD, HALTS_RIDE_SD = 0.7, 0.6
"""The same for halts: eleven recorded rides scatter so."""

HALTS_SHIFT_MIN = 1.0
"""Added to halts before the logarithm, so that none at all is a value too."""


@dataclass(frozen=True, slots=True, eq=False)
class Unknown:
    """An unknown with the rides that say something of it: the belief beforehand and the evidence."""

    before: Belief
    rides: Evidence
    of: tuple[LoggedRide, ...]


def sweat_unknown(log: Sequence[LoggedRide]) -> Unknown:
    """Return the logarithm of weighed over modelled sweat: at 20 degrees, and how it changes with ten."""
    seen = tuple(
        ride
        for ride in log
        if min(ride.sweat_ml_per_h or 0.0, ride.modelled_sweat_ml_per_h or 0.0) >= LEAST_SWEAT_ML_PER_H
    )
    values = [math.log((ride.sweat_ml_per_h or 1.0) / (ride.modelled_sweat_ml_per_h or 1.0)) for ride in seen]
    doubts = [
        math.hypot((ride.sweat_sd_ml_per_h or 0.0) / (ride.sweat_ml_per_h or 1.0), SWEAT_DAY_SD)
        for ride in seen
    ]
    rows = [sweat_row(ride.temperature_c if ride.temperature_c is not None else MILD_C) for ride in seen]
    before = Belief(np.zeros(2), np.diag((MODELLED_SPREAD**2, SWEAT_SLOPE_SD**2)))
    return Unknown(before, Evidence(np.array(values), np.array(doubts), np.reshape(rows, (-1, 2))), seen)


def sweat_row(temperature_c: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """Return how the two unknowns of sweat add up at a temperature."""
    return np.array([1.0, (temperature_c - MILD_C) / TEN_C])


def drag_unknown(log: Sequence[LoggedRide]) -> Unknown:
    """Return the logarithm of the drag area over the default's."""
    seen = tuple(ride for ride in log if ride.drag_m2)
    values = [math.log((ride.drag_m2 or 1.0) / Bike().cda_m2) for ride in seen]
    doubts = [math.hypot(ride.drag_sd or DRAG_UNTOLD_SD, DRAG_DAY_SD) for ride in seen]
    evidence = Evidence(np.array(values), np.array(doubts), np.ones((len(values), 1)))
    return Unknown(Belief(np.zeros(1), np.array([[DRAG_SD**2]])), evidence, seen)


def level_unknown(log: Sequence[LoggedRide]) -> Unknown:
    """Return the logarithm of the power given over that of the settings."""
    seen = tuple(ride for ride in log if ride.level)
    return _one([math.log(ride.level or 1.0) for ride in seen], 0.0, LEVEL_SD, LEVEL_RIDE_SD, seen)


def halts_unknown(log: Sequence[LoggedRide]) -> Unknown:
    """Return the logarithm of minutes halted in an hour in the saddle."""
    seen = tuple(ride for ride in log if ride.moving_s > 3600.0)
    minutes = [60.0 * ride.halts_s / ride.moving_s for ride in seen]
    usual = math.log(Habits().halting_min_per_h + HALTS_SHIFT_MIN)
    return _one([math.log(each + HALTS_SHIFT_MIN) for each in minutes], usual, HALTS_SD, HALTS_RIDE_SD, seen)


def _one(
    values: list[float], mean: float, sd: float, ride_sd: float, seen: tuple[LoggedRide, ...]
) -> Unknown:
    evidence = Evidence(np.array(values), np.full(len(values), ride_sd), np.ones((len(values), 1)))
    return Unknown(Belief(np.array([mean]), np.array([[sd**2]])), evidence, seen)
