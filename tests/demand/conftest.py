"""A short made-up ride with known effort, for every check of what the body needs."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import ArrayLike

from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.terrain.model import Profile, Stretch, Terrain
from terrain_fuel.track import Track

MakePace = Callable[..., Pace]


def _made_pace(
    effort: ArrayLike = 0.7,
    hours: float = 4.5,
    ftp_w: float = 220.0,
    speed_m_s: float = 7.5,
    nodes: int = 2001,
    halt_s: float = 0.0,
    height_m: ArrayLike = 400.0,
) -> Pace:
    """Return a road ridden at one speed; ``effort`` and ``height_m`` are one number or one a node."""
    moving_s = np.linspace(0.0, hours * 3600.0, nodes)
    distance_m = speed_m_s * moving_s
    clock_s = moving_s + halt_s * (np.arange(nodes) > nodes // 2)
    zeros = np.zeros(nodes)
    height_m = zeros + np.asarray(height_m, dtype=np.float64)
    lat_deg = 46.0 + distance_m / 111_200.0
    track = Track("made road", "made.gpx", lat_deg, zeros + 7.0, distance_m, height_m, zeros.astype(bool))
    profile = Profile(
        float(distance_m[1]), distance_m, lat_deg, zeros + 7.0, zeros, height_m, zeros, zeros, zeros,
        zeros + np.inf, zeros.astype(bool),
    )  # fmt: skip
    road = Stretch("flat", 0.0, float(distance_m[-1]), 0.0, 0.0, 0.0)
    terrain = Terrain(track, profile, (road,), (), (), 0.0, 0.0)
    effort = zeros + np.asarray(effort, dtype=np.float64)
    stops = (Stop(float(distance_m[nodes // 2]), halt_s, "tap"),) if halt_s else ()
    return Pace(terrain, zeros + speed_m_s, effort * ftp_w, effort, moving_s, clock_s, zeros + 20.0, stops)


@pytest.fixture(scope="session")
def make_pace() -> MakePace:
    """Return the maker of level rides at a given effort."""
    return _made_pace
