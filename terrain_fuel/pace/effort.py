"""What the rider means to give where: the flat's effort, the climb's, easing off downhill."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Profile, Terrain

RISE_FULL = 0.03
"""From this grade on an unnamed rise gets the climb's effort; common practice (no source)."""

EASE_FROM, EASE_TO = -0.01, -0.04
"""Between these grades the rider eases from full power to the part kept at low speed."""

LONG_CLIMB_S, LONG_CLIMB_SHARE = 3600.0, 0.95
"""A climb of an hour or more is ridden at this share of the climb's effort; common practice (no source)."""

SHORT_RISE_M, SHORT_RISE_GRADE, SHORT_RISE_SHARE = 300.0, 0.05, 1.10
"""A rise no longer and steeper than this is ridden over: a little harder; common practice (no source)."""


def intended_power(terrain: Terrain, span_grade: FloatArray, rider_ftp_w: float, day: Day) -> FloatArray:
    """Return the power meant on each span before easing at speed [W], shape (n - 1,)."""
    ramp = np.clip(span_grade / RISE_FULL, 0.0, 1.0)
    effort = day.effort_flat + (day.effort_climb - day.effort_flat) * ramp
    middle = _middles(terrain.profile)
    for stretch in terrain.stretches:
        if stretch.kind == "climb":
            inside = (middle >= stretch.start_m) & (middle < stretch.end_m)
            effort[inside & (span_grade > 0.0)] = day.effort_climb
    return np.asarray(effort * rider_ftp_w)


def _middles(profile: Profile) -> FloatArray:
    return np.asarray(0.5 * (profile.distance_m[1:] + profile.distance_m[:-1]))
