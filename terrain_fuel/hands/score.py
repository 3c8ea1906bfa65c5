"""How free the hands are along the road, from the road and the speed alone."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import BoolArray
from terrain_fuel.hands.model import Hands
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

BEFORE_FLAG_M = 200.0
BEFORE_FLAG_S = 20.0


def score_hands(terrain: Terrain, pace: Pace, rider: Rider, day: Day) -> Hands:
    """Return the hands-free score and the veto at every node of the profile."""
    profile = terrain.profile
    grade = np.interp(profile.grade, [-0.06, -0.02, 0.05, 0.10], [0.0, 1.0, 1.0, 0.4])
    speed = np.interp(pace.speed_m_s * 3.6, [30.0, 45.0], [1.0, 0.0])
    power = np.interp(pace.effort, [0.85, 1.1], [1.0, 0.4])
    veto = veto_nodes(terrain, pace)
    return Hands(np.where(veto, 0.0, grade * speed * power), veto)


def veto_nodes(terrain: Terrain, pace: Pace) -> BoolArray:
    """Return True inside a safety flag and 200 m or 20 s before one, whichever is longer."""
    road, moving = pace.distance_m, pace.moving_s
    veto = np.zeros(road.size, dtype=bool)
    for caution in terrain.cautions:
        if caution.hands_on:
            time = np.interp(caution.start_m, road, moving)
            from_m = min(caution.start_m - BEFORE_FLAG_M, np.interp(time - BEFORE_FLAG_S, moving, road))
            veto |= (road >= from_m) & (road <= caution.end_m)
    return veto
