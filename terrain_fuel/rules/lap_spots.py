"""The places of a lap that are kept to in every lap: one a bite of the rhythm, where the road is open."""

import math

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Habits

# Common practice (no source).
BIN_M = 100.0
LATE_SHARE = 0.2
"""A lap that takes so much longer than the rhythm, as a share of it, still has one place."""
NEAR_M = 150.0
CLIMBING = 5.0
"""A grade of a tenth uphill counts like half a hand less: chewing competes with breathing."""


def lap_spots(pace: Pace, hands: Hands, habits: Habits) -> FloatArray:
    """Return 1 near a place that is kept to in every lap, 0 elsewhere on the laps, shape (n,).

    Parameters
    ----------
    pace : the road, its laps and when they are ridden
    hands : where a hand can leave the bars
    habits : the rhythm: places no farther apart than it is, at least one a lap

    Returns
    -------
    All 1 where the route has no laps, and 1 off the laps.

    Notes
    -----
    A lap is parted into equal times, one a place; in each the place counts that is the most open and
    the least uphill in the mean of all laps, of equals the nearest to the middle.
    """
    laps, road_m = pace.terrain.laps, pace.distance_m
    spots = np.ones(road_m.size)
    if laps is None:
        return spots
    on_lap = np.flatnonzero((road_m >= laps.bounds_m[0]) & (road_m < laps.bounds_m[-1]))
    bounds_m = np.array(laps.bounds_m)
    lap = np.searchsorted(bounds_m, road_m[on_lap], side="right")
    share = (road_m[on_lap] - bounds_m[lap - 1]) / (bounds_m[lap] - bounds_m[lap - 1])
    along_m = share * (bounds_m[1] - bounds_m[0])
    bins = (along_m / BIN_M).astype(int)
    open_road = np.where(hands.veto, 0.0, hands.score) - CLIMBING * np.maximum(
        pace.terrain.profile.grade, 0.0
    )
    worth = np.bincount(bins, weights=open_road[on_lap]) / np.maximum(np.bincount(bins), 1)
    ends_s = np.interp(laps.bounds_m[:2], road_m, pace.clock_s)
    count = max(1, math.ceil(float(ends_s[1] - ends_s[0]) / (60.0 * habits.eat_every_min) - LATE_SHARE))
    in_lap_s = np.linspace(ends_s[0], ends_s[1], count + 1)
    in_lap_m = np.interp(in_lap_s, pace.clock_s, road_m) - laps.bounds_m[0]
    spots[on_lap] = 0.0
    for start_m, end_m in zip(in_lap_m[:-1].tolist(), in_lap_m[1:].tolist(), strict=True):
        part = np.arange(int(start_m / BIN_M), max(int(end_m / BIN_M), int(start_m / BIN_M) + 1))
        part = part[part < worth.size]
        middle = np.abs((part + 0.5) * BIN_M - 0.5 * (start_m + end_m))
        best = part[np.lexsort((middle, -np.round(worth[part], 2)))[0]]
        spots[on_lap[np.abs(along_m - (best + 0.5) * BIN_M) <= NEAR_M]] = 1.0
    return spots
