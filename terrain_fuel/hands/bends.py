"""Bends ridden with a lean: no hand leaves the bars in one, nor just before it."""

import numpy as np

from terrain_fuel.frozen import value_at
from terrain_fuel.pace.model import Pace
from terrain_fuel.terrain.model import Corner

TIGHT_M, TURN_DEG, LEAN_M_S = 60.0, 30.0, 18.0 / 3.6
"""Tighter than this, further round than this and ridden faster than this a bend is leaned into: common
practice (no source)."""

BEFORE_BEND_S = 3.0
"""Both hands are back so long before it: common practice (no source); riders look 1 to 3 s ahead [NH22]_."""

BRAKING_M = 25.0
"""Who comes faster to a hairpin than it is ridden brakes just before it: common practice (no source)."""


def leaning_bends(pace: Pace) -> tuple[Corner, ...]:
    """Return the bends that this rider leans into, or brakes for: most are entered faster than ridden."""
    return tuple(
        corner
        for corner in pace.terrain.corners
        if corner.radius_m < TIGHT_M
        and corner.turn_deg > TURN_DEG
        and _fastest_m_s(pace, corner.start_m - BRAKING_M, corner.end_m) > LEAN_M_S
    )


def _fastest_m_s(pace: Pace, start_m: float, end_m: float) -> float:
    """Return the fastest of the steps that lie on some road, in part or whole."""
    first = max(int(np.searchsorted(pace.distance_m, start_m, side="right")) - 1, 0)
    last = int(np.searchsorted(pace.distance_m, end_m, side="left"))
    return float(pace.speed_m_s[first : last + 1].max())


def bend_spans(pace: Pace) -> tuple[tuple[float, float], ...]:
    """Return the road on which bends keep both hands on the bars, 3 s before each included [m]."""
    spans = []
    for bend in leaning_bends(pace):
        before_s = value_at(bend.start_m, pace.distance_m, pace.moving_s) - BEFORE_BEND_S
        start_m = value_at(before_s, pace.moving_s, pace.distance_m)
        spans.append((min(start_m, bend.start_m), bend.end_m))
    return tuple(spans)
