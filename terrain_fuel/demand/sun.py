"""Where the sun stands along the ride, and what it puts on a rider."""

from datetime import datetime, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace

SOURCES = ("Hz45",)

EVERY_S = 600.0
"""The sun's height is computed this often and interpolated [s]."""

CLEAR_SHARE = 0.5
"""Part of a clear sky's sunlight that gets through: clouds and trees are not known (an assumption)."""

SKIN_SHARE = 0.11
"""Sunlight that a square metre of rider absorbs, over what falls on a level square metre: an
assumption, 100 W/m2 at a clear noon of 900. Nobody turns more than a part of the body to the sun."""


def sun_heights(pace: Pace, day: Day) -> tuple[FloatArray, FloatArray]:
    """Return clock times [s] and the height of the sun's centre at them where the rider is [degrees].

    Notes
    -----
    Without refraction; by a library for the sun, offline. Mountains around are not in it.
    """
    clock = np.linspace(0.0, pace.elapsed_s, max(int(np.ceil(pace.elapsed_s / EVERY_S)), 1) + 1)
    profile = pace.terrain.profile
    node = np.clip(np.searchsorted(pace.clock_s, clock), 0, profile.distance_m.size - 1)
    heights = [
        sun_height_deg(float(lat), float(lon), day.start + timedelta(seconds=float(s)))
        for lat, lon, s in zip(
            profile.lat_deg[node], profile.lon_deg[node], clock + pace.slept_s[node], strict=True
        )
    ]
    return clock, np.array(heights)


@lru_cache(maxsize=1000)
def sun_height_deg(lat_deg: float, lon_deg: float, when: datetime) -> float:
    """Return the height of the sun's centre at a place and moment, without refraction [degrees].

    Rides that differ in their kitchen alone ask for the same places and moments.
    """
    from astral import Observer
    from astral.sun import elevation

    return float(elevation(Observer(lat_deg, lon_deg), when, with_refraction=False))


def clear_sky_w_per_m2(height_deg: ArrayLike) -> FloatArray:
    """Return what falls on level ground under a clear sky, same shape [W/m2]; 0 while the sun is down.

    Notes
    -----
    ``1098 s exp(-0.059 / s)``, s the sine of the sun's height [Hz45]_.
    """
    height = np.asarray(height_deg, dtype=np.float64)
    sine = np.sin(np.radians(np.clip(height, 0.1, 90.0)))
    return np.where(height > 0.0, 1098.0 * sine * np.exp(-0.059 / sine), 0.0)


def sun_on_rider_w_per_m2(pace: Pace, day: Day) -> FloatArray:
    """Return what a square metre of rider absorbs of the sun along the road, shape (n,) [W/m2]."""
    clock_s, height_deg = sun_heights(pace, day)
    absorbed = CLEAR_SHARE * SKIN_SHARE * clear_sky_w_per_m2(height_deg)
    return np.asarray(np.interp(pace.clock_s, clock_s, absorbed))
