"""The road on which a sip may be taken."""

import numpy as np

from terrain_fuel.drink.sip_places import SipPlace
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace

SIP_WINDOW_S = 90.0


def sip_window_m(pace: Pace, hands: Hands, place: SipPlace) -> tuple[float, float]:
    """Return the open road around a sip [m]: up to 90 s either way, never before its bite."""
    here_s = pace.clock_at(place.distance_m)
    node = pace.terrain.profile.node(place.distance_m)
    shut = np.flatnonzero(hands.veto)
    before, after = shut[shut < node], shut[shut > node]
    first = int(before[-1]) + 1 if before.size else 0
    last = int(after[0]) - 1 if after.size else pace.distance_m.size - 1
    low, high = np.interp([here_s - SIP_WINDOW_S, here_s + SIP_WINDOW_S], pace.clock_s, pace.distance_m)
    start_m = max(float(low), float(pace.distance_m[first]))
    end_m = min(float(high), float(pace.distance_m[last]))
    if place.bite is not None:
        start_m = place.distance_m
    return start_m, end_m
