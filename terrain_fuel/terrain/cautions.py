"""Cautions that the route file and the heights give: waypoints, tunnels, hidden bends, cold tops."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import LAPSE_RATE_K_PER_M
from terrain_fuel.facts import fact
from terrain_fuel.terrain.chords import TUNNEL_REACH_M, Chord
from terrain_fuel.terrain.model import Caution, Profile, Stretch
from terrain_fuel.terrain.spans import joined, runs
from terrain_fuel.track import Waypoint

AROUND_MARK_M = 100.0
"""A waypoint that forbids or warns holds so far on both sides [m]."""

AROUND_TUNNEL_M = 300.0
"""A tunnel whose ends are not known may reach so far from its waypoint [m]."""

HIDDEN_FROM_M = 100.0
"""Road with unknown bends is told from this length on [m]."""

HIDDEN_JOIN_M = 500.0
"""Two such parts nearer than this are told as one [m]."""

COLD_BELOW_C = 8.0
"""A top colder than this is told: common practice (no source)."""

COLD_GAIN_M = 150.0
"""Smaller climbs have no weather of their own [m]."""

COLD_BEFORE_M, COLD_AFTER_M = 100.0, 500.0

CODES = {"no_stop": "ride_on", "caution": "take_care"}
"""What a waypoint that forbids or warns tells."""


def mark_cautions(waypoints: tuple[Waypoint, ...], length_m: float) -> tuple[Caution, ...]:
    """Return safety flags around waypoints that warn, or that forbid a stop."""
    flags = []
    for mark in waypoints:
        if mark.kind in CODES:
            kind = "no_stop" if mark.kind == "no_stop" else "waypoint"
            start, end = _clipped(mark.distance_m, AROUND_MARK_M, AROUND_MARK_M, length_m)
            note = fact(CODES[mark.kind], name=mark.name or fact("marked_place"))
            flags.append(Caution(kind, start, end, True, note))
    return tuple(flags)


def tunnel_cautions(
    waypoints: tuple[Waypoint, ...], chords: tuple[Chord, ...], profile: Profile
) -> tuple[Caution, ...]:
    """Return safety flags for tunnels: those marked, and those the heights give away."""
    spans = [
        (float(profile.distance_m[chord.first]), float(profile.distance_m[chord.last]))
        for chord in chords
        if chord.kind == "tunnel"
    ]
    length_m = float(profile.distance_m[-1])
    marks = [mark for mark in waypoints if mark.kind == "tunnel"]
    flags = []
    for start, end in spans:
        known = any(start - TUNNEL_REACH_M <= mark.distance_m <= end + TUNNEL_REACH_M for mark in marks)
        note = fact("lights_on", what=fact("tunnel") if known else fact("like_a_tunnel"))
        flags.append(Caution("tunnel", start, end, True, note))
    for mark in marks:
        if not any(start - TUNNEL_REACH_M <= mark.distance_m <= end + TUNNEL_REACH_M for start, end in spans):
            start, end = _clipped(mark.distance_m, AROUND_TUNNEL_M, AROUND_TUNNEL_M, length_m)
            note = fact("lights_on", what=mark.name or fact("tunnel"))
            flags.append(Caution("tunnel", start, end, True, note))
    return tuple(flags)


def hidden_bends(profile: Profile) -> tuple[Caution, ...]:
    """Return cautions where the points of the route are too far apart to show bends."""
    road, last = profile.distance_m, profile.distance_m.size - 1
    hidden = [(float(road[a]), float(road[min(b + 1, last)])) for a, b in runs(np.isnan(profile.radius_m))]
    return tuple(
        Caution("unknown_bends", start, end, False, fact("unknown_bends"))
        for start, end in joined(hidden, HIDDEN_JOIN_M)
        if end - start >= HIDDEN_FROM_M
    )


def cold_tops(profile: Profile, stretches: tuple[Stretch, ...], day: Day) -> tuple[Caution, ...]:
    """Return cautions for climbs whose top is cold.

    Notes
    -----
    The air cools by 6.5 K a kilometre [ISA]_ from the day's temperature at the start; real
    days differ by some degrees.
    """
    length_m = float(profile.distance_m[-1])
    found = []
    for stretch in stretches:
        if stretch.kind != "climb" or stretch.gain_m < COLD_GAIN_M:
            continue
        rise = float(
            np.interp(stretch.end_m, profile.distance_m, profile.elevation_m) - profile.elevation_m[0]
        )
        top_c = day.temperature_c - LAPSE_RATE_K_PER_M * rise
        if top_c < COLD_BELOW_C:
            start, end = _clipped(stretch.end_m, COLD_BEFORE_M, COLD_AFTER_M, length_m)
            note = fact("cold_top", top_c=top_c, colder_c=day.temperature_c - top_c)
            found.append(Caution("cold_summit", start, end, False, note))
    return tuple(found)


def _clipped(at_m: float, before_m: float, after_m: float, length_m: float) -> tuple[float, float]:
    return max(at_m - before_m, 0.0), min(at_m + after_m, length_m)
