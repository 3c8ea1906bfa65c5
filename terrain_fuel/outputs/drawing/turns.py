"""Where the way takes another direction: there the strip map has a compass."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import Plan

TURN_DEG = 60.0
TURNS_APART_M = 2500.0
"""The way turns where it leads on so many degrees off from where it led, told no oftener than that."""

TURN_REACH_M = 1500.0
"""Where the way leads is seen over this length of road, less on a short ride."""


def turns_of_the_way(plan: Plan) -> list[list[int]]:
    """Return where the way takes another direction, the start first: metres, degrees from north."""
    profile = plan.terrain.profile
    reach_m = min(TURN_REACH_M, plan.terrain.length_m / 12.0)
    at_m = np.arange(0.0, plan.terrain.length_m - 0.5 * reach_m, 0.25 * reach_m)
    bearing = _bearings(plan, at_m, np.minimum(at_m + reach_m, profile.distance_m[-1]))
    turns: list[list[int]] = []
    for place, way in zip(at_m.tolist(), bearing.tolist(), strict=True):
        if turns and place - turns[-1][0] < TURNS_APART_M:
            continue
        if not turns or abs((way - turns[-1][1] + 180.0) % 360.0 - 180.0) > TURN_DEG:
            turns.append([round(place), round(way) % 360])
    return turns


def _bearings(plan: Plan, from_m: FloatArray, to_m: FloatArray) -> FloatArray:
    """Return the direction from one place of the road to another, clockwise from north [degrees]."""
    profile = plan.terrain.profile
    lon_deg = np.unwrap(profile.lon_deg, period=360.0)
    north = np.interp(to_m, profile.distance_m, profile.lat_deg) - np.interp(
        from_m, profile.distance_m, profile.lat_deg
    )
    east = np.interp(to_m, profile.distance_m, lon_deg) - np.interp(from_m, profile.distance_m, lon_deg)
    shrink = np.cos(np.radians(np.interp(from_m, profile.distance_m, profile.lat_deg)))
    return np.asarray(np.degrees(np.arctan2(east * shrink, north)))
