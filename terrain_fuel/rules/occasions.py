"""Places that the road itself makes for eating: the tops of climbs, and some minutes before their feet."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Habits
from terrain_fuel.terrain.model import Stretch

# Common practice (no source), all of it.
ROLLER_M, ROLLER_S = 40.0, 150.0
"""A climb that gains less and is over sooner is a roller: it makes no occasion."""

CREST_LEAST_LOSS_M, CREST_FULL_LOSS_M = 30.0, 100.0
CREST_BEFORE_M, CREST_AFTER_M = 100.0, 500.0
"""A crest reaches from 100 m before the road eases to 500 m past where it falls."""

FLAT_TOP_M = 2000.0
"""So much level road between climb and descent is still the top."""

TOP_UP_GAIN_M, TOP_UP_FULL_M = 60.0, 400.0
TOP_UP_S = (600.0, 300.0)
"""A climb of 60 m and more is met topped up ten to five minutes ahead; it counts by what it gains."""

LONG_CLIMB_S, LONG_CLIMB_M = 45 * 60.0, 10_000.0


@dataclass(frozen=True, slots=True)
class Occasion:
    """A place the road itself makes for eating.

    Food between ``start_m`` and ``end_m`` counts as eaten there; ``size`` is 0 to 1 by how much
    is lost when the rider passes it without.
    """

    at_m: float
    start_m: float
    end_m: float
    size: float = 1.0


def find_crests(pace: Pace, veto: BoolArray) -> tuple[Occasion, ...]:
    """Return the tops of climbs before descents that lose at least 30 m, where a hand can be spared.

    A window never reaches back past the window before it.
    """
    distance_m, found = pace.distance_m, list[Occasion]()
    for climbed, part in _tops(pace):
        loss_m = -part.gain_m
        if loss_m < CREST_LEAST_LOSS_M or is_roller(climbed, pace):
            continue
        floor_m = found[-1].end_m if found else 0.0
        start_m = max(climbed.end_m - CREST_BEFORE_M, part.start_m - FLAT_TOP_M, floor_m)
        end_m = min(part.start_m + CREST_AFTER_M, part.end_m)
        inside = (distance_m > start_m) & (distance_m <= end_m)
        if np.any(inside & ~veto):
            found.append(Occasion(part.start_m, start_m, end_m, min(1.0, loss_m / CREST_FULL_LOSS_M)))
    return tuple(found)


def is_roller(climb: Stretch, pace: Pace) -> bool:
    """Return whether a climb is over before it counts."""
    lasts_s = pace.clock_at(climb.end_m) - pace.clock_at(climb.start_m)
    return climb.gain_m < ROLLER_M and lasts_s < ROLLER_S


def find_feet(pace: Pace, veto: BoolArray, habits: Habits) -> tuple[Occasion, ...]:
    """Return the five minutes in which to top up before each climb that is worth it.

    Climbs that follow each other sooner than the rhythm have one top-up; none is due before the
    first food.
    """
    distance_m, found = pace.distance_m, list[Occasion]()
    free_s = 60.0 * habits.first_food_min
    for climb in _worth_a_top_up(pace):
        foot_s = pace.clock_at(climb.start_m)
        start_m, end_m = (
            float(np.interp(foot_s - ahead_s, pace.clock_s, distance_m)) for ahead_s in TOP_UP_S
        )
        inside = (distance_m > start_m) & (distance_m <= end_m)
        if foot_s - TOP_UP_S[1] > free_s and np.any(inside & ~veto):
            size = 1.0 if _is_long(climb, pace) else min(0.6, climb.gain_m / TOP_UP_FULL_M)
            found.append(Occasion(climb.start_m, start_m, end_m, size))
            free_s = foot_s + 60.0 * habits.eat_every_min
    return tuple(found)


def time_to_foot_s(pace: Pace) -> FloatArray:
    """Return how long until the next climb worth a top-up begins, at every node, inf after the last [s]."""
    feet_s = np.array([pace.clock_at(climb.start_m) for climb in _worth_a_top_up(pace)] + [np.inf])
    return np.asarray(feet_s[np.searchsorted(feet_s, pace.clock_s, side="left")] - pace.clock_s)


def on_long_climbs(pace: Pace) -> BoolArray:
    """Return where a climb of about an hour is being ridden, at every node."""
    on = np.zeros(pace.distance_m.size, dtype=bool)
    for part in pace.terrain.stretches:
        if part.kind == "climb" and _is_long(part, pace):
            on |= (pace.distance_m >= part.start_m) & (pace.distance_m < part.end_m)
    return on


def _is_long(climb: Stretch, pace: Pace) -> bool:
    lasts_s = pace.clock_at(climb.end_m) - pace.clock_at(climb.start_m)
    return lasts_s >= LONG_CLIMB_S or climb.length_m >= LONG_CLIMB_M


def _worth_a_top_up(pace: Pace) -> list[Stretch]:
    stretches = pace.terrain.stretches
    return [part for part in stretches if part.kind == "climb" and part.gain_m >= TOP_UP_GAIN_M]


def _tops(pace: Pace) -> Iterator[tuple[Stretch, Stretch]]:
    """Yield each climb with the descent that follows it, level road between them or none."""
    climbed: Stretch | None = None
    for part in pace.terrain.stretches:
        if part.kind == "climb":
            climbed = part
        elif part.kind == "descent":
            if climbed is not None and part.start_m - climbed.end_m <= FLAT_TOP_M:
                yield climbed, part
            climbed = None
