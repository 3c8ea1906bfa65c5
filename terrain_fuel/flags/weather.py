"""Cautions that the day brings: cold tops."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import LAPSE_RATE_K_PER_M
from terrain_fuel.facts import fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.flags.road import clipped_span
from terrain_fuel.terrain.model import Terrain

COLD_BELOW_C = 8.0
"""A top colder than this is told: common practice (no source)."""

COLD_GAIN_M = 150.0
"""Smaller climbs have no weather of their own [m]."""

COLD_BEFORE_M, COLD_AFTER_M = 100.0, 500.0


def cold_tops(terrain: Terrain, day: Day) -> tuple[Caution, ...]:
    """Return cautions for climbs whose top is cold.

    Notes
    -----
    The air cools by 6.5 K a kilometre [ISA]_ from the day's temperature at the start; real
    days differ by some degrees.
    """
    profile = terrain.profile
    found = []
    for stretch in terrain.stretches:
        if stretch.kind != "climb" or stretch.gain_m < COLD_GAIN_M:
            continue
        rise = float(
            np.interp(stretch.end_m, profile.distance_m, profile.elevation_m) - profile.elevation_m[0]
        )
        top_c = day.temperature_c - LAPSE_RATE_K_PER_M * rise
        if top_c < COLD_BELOW_C:
            start, end = clipped_span(stretch.end_m, COLD_BEFORE_M, COLD_AFTER_M, terrain.length_m)
            note = fact("cold_top", top_c=top_c, colder_c=day.temperature_c - top_c)
            found.append(Caution("cold_summit", start, end, False, note))
    return tuple(found)
