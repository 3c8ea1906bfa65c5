"""How a rider rode beside the settings: drag, level of effort, how time answers to both, the way downhill."""

import math
from dataclasses import replace

import numpy as np

from terrain_fuel.calibrate.fitting import DRAG_BOUNDS_M2, DRAG_SD, fit_ride
from terrain_fuel.calibrate.recording import Recording
from terrain_fuel.day import Day
from terrain_fuel.descending import DESCENDING
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.review.fuel import at_level, fitted_level
from terrain_fuel.review.model import RideHabits
from terrain_fuel.review.ridden import Ridden
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

SHORTEST_M = 5000.0
"""A shorter ride says too little [m]."""

SLOWEST_M_S, FASTEST_M_S = 8.0 / 3.6, 60.0 / 3.6
"""Mean moving speeds that a road ride may have."""

STEP = 0.1
"""How far drag and level are changed to see how the time answers, as logarithms."""

APART, MOST_LEANING = 0.2, 0.8
"""Two fits begin so far apart, as logarithms; one that leans more than so on its beginning says nothing."""

STEEP_DOWN, LEAST_DOWN_S = -0.035, 240.0
"""The way downhill is seen where the road falls steeper, if that was ridden for so long."""


def measure_habits(ridden: Ridden, rider: Rider, day: Day) -> RideHabits | None:
    """Return how a ride went beside its settings; None where it is too short or no ride on the road."""
    terrain = ridden.terrain
    if terrain is None or ridden.distance_m < SHORTEST_M:
        return None
    if not SLOWEST_M_S <= ridden.distance_m / ridden.moving_time_s <= FASTEST_M_S:
        return None
    assert ridden.track is not None
    moving_s = np.interp(terrain.profile.distance_m, ridden.track.distance_m, ridden.moving_s)
    power_w = _span_power_w(ridden, terrain, moving_s)
    meant = set_pace(terrain, rider, day)
    drag_m2, drag_sd = None, None
    if power_w is not None:
        drag_m2, drag_sd = _drag(Recording(terrain, moving_s, 0.0, power_w), rider, day)
        meant_w = float(np.average(meant.power_w[:-1], weights=np.diff(meant.moving_s)))
        level = float(np.average(power_w, weights=np.diff(moving_s))) / meant_w
    else:
        level = fitted_level(terrain, rider, day, ridden.moving_time_s)
    thicker = replace(rider, bike=replace(rider.bike, cda_m2=min(rider.bike.cda_m2 * math.exp(STEP), 1.2)))
    stepped_s = (
        set_pace(terrain, thicker, day).moving_time_s,
        at_level(terrain, rider, day, math.exp(STEP)).moving_time_s,
    )
    per_drag, per_level = (math.log(each / meant.moving_time_s) / STEP for each in stepped_s)
    downhill = _descending(terrain, moving_s, rider, day)
    return RideHabits(meant.moving_time_s, drag_m2, drag_sd, level, per_drag, per_level, downhill)


def _drag(recording: Recording, rider: Rider, day: Day) -> tuple[float, float]:
    """Return the drag area that the ride alone says [m2], and its doubt as a logarithm.

    Notes
    -----
    A fit leans by a share ``r`` to where it begins, ``f = (1 - r) t + r c``, with ``r`` the ride's
    variance over its sum with the variance of riders at large. Two fits from two beginnings tell
    ``r``, what the ride says without leaning, ``t``, and how well it says it. Rides learned from together
    must not each lean on what is known beforehand.
    """
    begin = math.log(rider.bike.cda_m2)
    first, second = (_fitted(recording, rider, day, begin + step) for step in (0.0, APART))
    share = float(np.clip((second - first) / APART, 0.0, MOST_LEANING))
    alone = (first - share * begin) / (1.0 - share)
    sd = DRAG_SD * math.sqrt(share / (1.0 - share))
    return float(np.clip(math.exp(alone), *DRAG_BOUNDS_M2)), sd


def _fitted(recording: Recording, rider: Rider, day: Day, begin: float) -> float:
    there = replace(rider, bike=replace(rider.bike, cda_m2=float(np.clip(math.exp(begin), 0.10, 1.20))))
    return math.log(fit_ride(recording, there, day, (0.0, recording.terrain.length_m)).rider.bike.cda_m2)


def _span_power_w(ridden: Ridden, terrain: Terrain, moving_s: FloatArray) -> FloatArray | None:
    assert ridden.track is not None
    if ridden.track.power_w is None:
        return None
    took_s = np.diff(ridden.moving_s)
    work_j = np.concatenate(([0.0], np.cumsum(np.nan_to_num(ridden.track.power_w[1:]) * took_s)))
    done_j = np.diff(np.interp(terrain.profile.distance_m, ridden.track.distance_m, work_j))
    return np.asarray(done_j / np.maximum(np.diff(moving_s), 1e-3))


def _descending(terrain: Terrain, moving_s: FloatArray, rider: Rider, day: Day) -> str:
    """Return the habit whose time on steep descents is nearest to the ridden one."""
    profile = terrain.profile
    down = np.diff(profile.elevation_m) / np.diff(profile.distance_m) < STEEP_DOWN
    ridden_s = float(np.diff(moving_s)[down].sum())
    if ridden_s < LEAST_DOWN_S:
        return ""
    off: dict[str, float] = {}
    for habit in DESCENDING:
        pace = set_pace(terrain, replace(rider, descending=habit), day)
        off[habit] = abs(math.log(float(np.diff(pace.moving_s)[down].sum()) / ridden_s))
    return min(off, key=lambda habit: off[habit])
