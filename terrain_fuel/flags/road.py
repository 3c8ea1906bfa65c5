"""Cautions that the road itself gives, whoever rides it: waypoints, tunnels, hidden bends."""

from collections.abc import Sequence

import numpy as np

from terrain_fuel.facts import fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.terrain.chords import TUNNEL_REACH_M
from terrain_fuel.terrain.model import Profile, Terrain
from terrain_fuel.terrain.runs import joined, runs

AROUND_MARK_M = 100.0
"""A waypoint that forbids or warns holds so far on both sides [m]."""

AROUND_TUNNEL_M = 300.0
"""A tunnel whose ends are not known may reach so far from its waypoint [m]."""

HIDDEN_FROM_M = 100.0
"""Road with unknown bends is told from this length on [m]."""

HIDDEN_JOIN_M = 500.0
"""Two such parts nearer than this are told as one [m]."""

TOLD = {"no_stop": "ride_on", "caution": "take_care"}
"""What is told at a waypoint that forbids or warns."""


def mark_cautions(terrain: Terrain) -> tuple[Caution, ...]:
    """Return safety flags around waypoints that warn, or that forbid a stop."""
    flags = []
    for mark in terrain.track.waypoints:
        if mark.kind in TOLD:
            kind = "no_stop" if mark.kind == "no_stop" else "waypoint"
            start, end = clipped_span(mark.distance_m, AROUND_MARK_M, AROUND_MARK_M, terrain.length_m)
            note = fact(TOLD[mark.kind], name=mark.name or fact("marked_place"))
            flags.append(Caution(kind, start, end, True, note))
    return tuple(flags)


def tunnel_cautions(terrain: Terrain) -> tuple[Caution, ...]:
    """Return safety flags for tunnels, marked or given away by the heights; the map tells its own."""
    mapped = terrain.track.mapped
    told = [] if mapped is None else [(each.start_m, each.end_m) for each in mapped.sections_of("tunnel")]
    spans = [span for span in terrain.tunnels if not _any_near(told, *span)]
    marks = [
        mark
        for mark in terrain.track.waypoints
        if mark.kind == "tunnel" and not _any_near(told, mark.distance_m, mark.distance_m)
    ]
    flags = []
    for start, end in spans:
        known = any(_any_near([(start, end)], mark.distance_m, mark.distance_m) for mark in marks)
        note = fact("lights_on", what=fact("tunnel") if known else fact("like_a_tunnel"))
        flags.append(Caution("tunnel", start, end, True, note))
    for mark in marks:
        if not _any_near(spans, mark.distance_m, mark.distance_m):
            start, end = clipped_span(mark.distance_m, AROUND_TUNNEL_M, AROUND_TUNNEL_M, terrain.length_m)
            note = fact("lights_on", what=mark.name or fact("tunnel"))
            flags.append(Caution("tunnel", start, end, True, note))
    return tuple(flags)


def _any_near(tunnels: Sequence[tuple[float, float]], start_m: float, end_m: float) -> bool:
    """Return whether a place lies so near a tunnel that it is that one."""
    return any(start - TUNNEL_REACH_M <= end_m and start_m <= end + TUNNEL_REACH_M for start, end in tunnels)


def hidden_bends(profile: Profile) -> tuple[Caution, ...]:
    """Return cautions where the points of the route are too far apart to show bends."""
    road, last = profile.distance_m, profile.distance_m.size - 1
    hidden = [(float(road[a]), float(road[min(b + 1, last)])) for a, b in runs(np.isnan(profile.radius_m))]
    return tuple(
        Caution("unknown_bends", start, end, False, fact("unknown_bends"))
        for start, end in joined(hidden, HIDDEN_JOIN_M)
        if end - start >= HIDDEN_FROM_M
    )


def clipped_span(at_m: float, before_m: float, after_m: float, length_m: float) -> tuple[float, float]:
    """Return the span around a place, as far as the road goes [m]."""
    return max(at_m - before_m, 0.0), min(at_m + after_m, length_m)
