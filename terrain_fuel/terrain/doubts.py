"""Heights of which no road is made: told with their place, for a plan reckons with what it is given."""

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.terrain.model import Terrain

OVER_M, STEEPEST = 100.0, 0.45
"""The steepest streets climb about 0.35 over so long (from memory)."""

HIGHEST_M = 6000.0
"""The highest roads pass just below it (from memory)."""


def height_doubts(terrain: Terrain) -> tuple[Fact, ...]:
    """Return what is to be asked about the heights of a measured road, tunnels and bridges taken out."""
    profile = terrain.profile
    road_m, height_m = profile.distance_m, profile.elevation_m
    on_m = np.minimum(road_m + OVER_M, road_m[-1])
    rise_m = np.interp(on_m, road_m, height_m) - height_m
    worst, doubts = int(np.argmax(np.abs(rise_m))), []
    if abs(float(rise_m[worst])) > STEEPEST * OVER_M:
        leap = {"at_m": float(road_m[worst]), "rise_m": abs(float(rise_m[worst])), "over_m": OVER_M}
        doubts.append(fact("heights_leap", **leap))
    highest = int(np.argmax(height_m))
    if height_m[highest] > HIGHEST_M:
        where = {"at_m": float(road_m[highest]), "height_m": float(height_m[highest])}
        doubts.append(fact("heights_above_all_roads", **where))
    return tuple(doubts)
