"""Cautions that the road itself gives, whoever rides it: waypoints, tunnels, hidden bends."""

from collections.abc import Callable

import numpy as np

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


def mark_cautions(terrain: Terrain) -> tuple[Caution, ...]:
    """Return safety flags around waypoints that warn, or that forbid a stop."""
    sentences: dict[str, tuple[str, Callable[[str], str]]] = {
        "no_stop": ("no_stop", lambda name: f"{name}: ride on, both hands on the bars."),
        "caution": ("waypoint", lambda name: f"{name}: take care, both hands on the bars."),
    }
    flags = []
    for mark in terrain.track.waypoints:
        if mark.kind in sentences:
            kind, sentence = sentences[mark.kind]
            start, end = clipped_span(mark.distance_m, AROUND_MARK_M, AROUND_MARK_M, terrain.length_m)
            flags.append(Caution(kind, start, end, True, sentence(mark.name or "Marked place")))
    return tuple(flags)


def tunnel_cautions(terrain: Terrain) -> tuple[Caution, ...]:
    """Return safety flags for tunnels: those marked, and those the heights give away."""
    spans = terrain.tunnels
    marks = [mark for mark in terrain.track.waypoints if mark.kind == "tunnel"]
    flags = []
    for start, end in spans:
        known = any(start - TUNNEL_REACH_M <= mark.distance_m <= end + TUNNEL_REACH_M for mark in marks)
        note = "Tunnel" if known else "The heights look like a tunnel"
        flags.append(Caution("tunnel", start, end, True, f"{note}: lights on, both hands on the bars."))
    for mark in marks:
        if not any(start - TUNNEL_REACH_M <= mark.distance_m <= end + TUNNEL_REACH_M for start, end in spans):
            start, end = clipped_span(mark.distance_m, AROUND_TUNNEL_M, AROUND_TUNNEL_M, terrain.length_m)
            note = f"{mark.name or 'Tunnel'}: lights on, both hands on the bars."
            flags.append(Caution("tunnel", start, end, True, note))
    return tuple(flags)


def hidden_bends(profile: Profile) -> tuple[Caution, ...]:
    """Return cautions where the points of the route are too far apart to show bends."""
    road, last = profile.distance_m, profile.distance_m.size - 1
    hidden = [(float(road[a]), float(road[min(b + 1, last)])) for a, b in runs(np.isnan(profile.radius_m))]
    note = "The route's points are too far apart here to show bends: look before a hand leaves the bars."
    return tuple(
        Caution("unknown_bends", start, end, False, note)
        for start, end in joined(hidden, HIDDEN_JOIN_M)
        if end - start >= HIDDEN_FROM_M
    )


def clipped_span(at_m: float, before_m: float, after_m: float, length_m: float) -> tuple[float, float]:
    """Return the span around a place, as far as the road goes [m]."""
    return max(at_m - before_m, 0.0), min(at_m + after_m, length_m)
