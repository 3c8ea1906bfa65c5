"""Halts: clock time passes while distance and moving time stand still."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from terrain_fuel.pace.model import Pace, Stop


def with_stops(pace: Pace, stops: Iterable[Stop]) -> Pace:
    """Return the same ride with these halts, and only these, in its clock.

    Parameters
    ----------
    pace : the ride, with or without halts
    stops : halts in any order; each is made at the node nearest to its distance

    Returns
    -------
    Pace whose ``clock_s`` is the arrival at each node: the halt itself passes after its node; what is waited
    for at signals stays in it
    """
    ordered = tuple(sorted(stops, key=lambda stop: stop.distance_m))
    halted = np.zeros_like(pace.moving_s)
    for stop in ordered:
        halted[pace.terrain.profile.node(stop.distance_m) + 1 :] += stop.duration_s
    return replace(pace, clock_s=pace.moving_s + pace.waiting_s + halted, stops=ordered)


def awake(pace: Pace, sleeps: Iterable[Stop]) -> Pace:
    """Return the same ride by a clock that stands still while its rider sleeps.

    Rhythm, hours and gaps are those of the time awake; ``local_s`` keeps the time of day.
    """
    slept = np.zeros_like(pace.moving_s)
    for sleep in sleeps:
        slept[pace.terrain.profile.node(sleep.distance_m) + 1 :] += sleep.duration_s
    return replace(pace, slept_s=slept)


def with_sleep(pace: Pace, sleeps: Iterable[Stop]) -> Pace:
    """Return a ride by the clock of `awake` as one by the time of day, its sleeps among the halts."""
    halts = sorted((*pace.stops, *sleeps), key=lambda stop: stop.distance_m)
    return replace(pace, clock_s=pace.local_s, slept_s=np.zeros(1), stops=tuple(halts))
