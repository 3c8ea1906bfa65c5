"""Bends ridden with a lean: no hand leaves the bars in one, nor just before it."""

import numpy as np

from terrain_fuel.pace.model import Pace
from terrain_fuel.terrain.model import Corner

TIGHT_M, TURN_DEG, LEAN_M_S = 60.0, 30.0, 18.0 / 3.6
"""Tighter than this, further round than this and ridden faster than this a bend is leaned into: common
practice (no source)."""

BEFORE_BEND_S = 3.0
"""Both hands are back so long before it: common practice (no source); riders look 1 to 3 s ahead [NH22]_."""


def leaning_bends(pace: Pace) -> tuple[Corner, ...]:
    """Return the bends that this rider leans into."""
    corners = pace.terrain.corners
    middle_m = np.array([(corner.start_m + corner.end_m) / 2 for corner in corners])
    fast = np.interp(middle_m, pace.distance_m, pace.speed_m_s) > LEAN_M_S if corners else ()
    return tuple(
        corner
        for corner, leans in zip(corners, fast, strict=True)
        if leans and corner.radius_m < TIGHT_M and corner.turn_deg > TURN_DEG
    )


def bend_spans(pace: Pace) -> tuple[tuple[float, float], ...]:
    """Return the road on which bends keep both hands on the bars, 3 s before each included [m]."""
    spans = []
    for bend in leaning_bends(pace):
        before_s = float(np.interp(bend.start_m, pace.distance_m, pace.moving_s)) - BEFORE_BEND_S
        start_m = float(np.interp(before_s, pace.moving_s, pace.distance_m))
        spans.append((min(start_m, bend.start_m), bend.end_m))
    return tuple(spans)
