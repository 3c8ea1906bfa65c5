"""Cautions that the day brings: cold tops."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import temperature_at, wind_chill_c, wind_chills_c
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.flags.road import clipped_span
from terrain_fuel.frozen import value_at
from terrain_fuel.pace.model import Pace
from terrain_fuel.terrain.model import Profile

COLD_BELOW_C = 8.0
"""A top colder than this is told: common practice (no source)."""

COLD_GAIN_M = 150.0
"""Smaller climbs have no weather of their own [m]."""

COLD_BEFORE_M, COLD_AFTER_M = 100.0, 500.0

DOWN_WITHIN_M, FELT_OVER_M = 2000.0, 3000.0
"""A descent that begins so soon after a top is met cold; its speed is the mean over so much of it [m]."""


def cold_tops(pace: Pace, day: Day) -> tuple[Caution, ...]:
    """Return cautions for climbs whose top is cold, with the wind chill of the descent behind it.

    Notes
    -----
    The air cools by 6.5 K a kilometre [ISA]_ from the day's temperature at the start; real
    days differ by some degrees.
    """
    terrain, profile = pace.terrain, pace.terrain.profile
    found = []
    for stretch in terrain.stretches:
        if stretch.kind != "climb" or stretch.gain_m < COLD_GAIN_M:
            continue
        top_c = air_at_c(profile, stretch.end_m, day)
        if top_c < COLD_BELOW_C:
            start, end = clipped_span(stretch.end_m, COLD_BEFORE_M, COLD_AFTER_M, terrain.length_m)
            note = fact(
                "cold_top",
                top_c=top_c,
                colder_c=day.temperature_c - top_c,
                feels=_felt(descent_chill_c(pace, stretch.end_m, day)),
            )
            found.append(Caution("cold_summit", start, end, False, note))
    return tuple(found)


def air_at_c(profile: Profile, distance_m: float, day: Day) -> float:
    """Return the air's temperature at a place on the road [degrees C]."""
    height_m = value_at(distance_m, profile.distance_m, profile.elevation_m)
    return float(temperature_at(height_m, day.temperature_c, profile.elevation_m[0]))


def descent_chill_c(pace: Pace, top_m: float, day: Day) -> float | None:
    """Return the wind chill on the descent behind a top [degrees C], None without one.

    The wind is the riding itself and, on the safe side, the day's wind from ahead.
    """
    down = next(
        (
            part
            for part in pace.terrain.stretches
            if part.kind == "descent" and 0.0 <= part.start_m - top_m <= DOWN_WITHIN_M
        ),
        None,
    )
    if down is None:
        return None
    end_m = min(down.end_m, down.start_m + FELT_OVER_M)
    inside = (pace.distance_m >= down.start_m) & (pace.distance_m <= end_m)
    riding_m_s = float(np.mean(pace.speed_m_s[inside])) if inside.any() else 0.0
    return wind_chill_c(air_at_c(pace.terrain.profile, top_m, day), riding_m_s + day.wind_m_s)


def coldest_chill_c(pace: Pace, day: Day) -> float | None:
    """Return the lowest wind chill anywhere on the road, riding [degrees C]; None where it is too warm.

    Speeds are means over the next three kilometres, and the day's wind is, on the safe side, from ahead.
    """
    elevation_m, road_m = pace.terrain.profile.elevation_m, pace.distance_m
    air_c = temperature_at(elevation_m, day.temperature_c, elevation_m[0])
    from_m = np.minimum(road_m, max(0.0, float(road_m[-1]) - FELT_OVER_M))
    upto_m = np.minimum(from_m + FELT_OVER_M, road_m[-1])
    rides_s = np.interp(upto_m, road_m, pace.moving_s) - np.interp(from_m, road_m, pace.moving_s)
    chills_c = wind_chills_c(air_c, (upto_m - from_m) / rides_s + day.wind_m_s)
    felt_c = chills_c[np.isfinite(chills_c)]
    return float(felt_c.min()) if felt_c.size else None


def _felt(chill_c: float | None) -> Fact:
    return NOTHING if chill_c is None else fact("feels_on_descent", chill_c=chill_c)
