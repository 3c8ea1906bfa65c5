"""Places that the road itself makes for eating: the tops of climbs, and some minutes before their feet."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray, IntArray, value_at
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Habits
from terrain_fuel.rules.halts import is_standing
from terrain_fuel.terrain.model import Stretch

# Common practice (no source), all of it.
ROLLER_M, ROLLER_S = 40.0, 150.0
"""A climb that gains less and is over sooner is a roller: it makes no occasion."""

CREST_LEAST_LOSS_M, CREST_FULL_LOSS_M = 30.0, 100.0
CREST_BEFORE_M, CREST_AFTER_M = 100.0, 500.0
"""A crest reaches from 100 m before the road eases to 500 m past where it falls."""

FLAT_TOP_M = 2000.0
"""So much level road between climb and descent is still the top."""

TOP_UP_GAIN_M, TOP_UP_FULL_M, TOP_UP_LEAST = 60.0, 250.0, 0.15
TOP_UP_S = (600.0, 300.0)
"""A climb of 60 m and more is met topped up ten to five minutes ahead; it counts by what it gains."""
TOP_UPS_APART = 0.75
"""Two climbs have a top-up each where their feet are so much of the rhythm apart."""
FIRST_SHARE = 0.75
"""No top-up is due sooner than this share of the habit of the first food."""
BESIDE_HALT_S = 150.0
"""What would be eaten so shortly beside a halt is eaten at it."""

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

    A window reaches back to a halt just before it, and never past the window before it.
    """
    distance_m, found = pace.distance_m, list[Occasion]()
    for climbed, part in _tops(pace):
        loss_m = -part.gain_m
        if loss_m < CREST_LEAST_LOSS_M or is_roller(climbed, pace):
            continue
        floor_m = found[-1].end_m if found else 0.0
        start_m = max(climbed.end_m - CREST_BEFORE_M, part.start_m - FLAT_TOP_M, 0.0)
        start_m = max(_from_a_halt_m(pace, start_m), floor_m)
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

    Of climbs that follow each other sooner than the rhythm the one that gains most has the top-up; none is
    due before the first food. Where a halt stands between the five minutes and the foot, they reach to it.
    """
    first_s, apart_s = (
        60.0 * FIRST_SHARE * habits.first_food_min,
        60.0 * TOP_UPS_APART * habits.eat_every_min,
    )
    found = list[tuple[float, Occasion]]()
    for climb in sorted(_worth_a_top_up(pace), key=lambda climb: -_top_up_size(climb, pace)):
        foot_s = pace.clock_at(climb.start_m)
        start_m, end_m = (value_at(foot_s - ahead_s, pace.clock_s, pace.distance_m) for ahead_s in TOP_UP_S)
        end_m = max(end_m, float(pace.distance_m[_last_halt(pace, climb.start_m)]))
        inside = (pace.distance_m > start_m) & (pace.distance_m <= end_m)
        is_free = foot_s - TOP_UP_S[1] > first_s and all(abs(foot_s - at_s) >= apart_s for at_s, _ in found)
        if is_free and np.any(inside & ~veto):
            size = _top_up_size(climb, pace)
            found.append((foot_s, Occasion(climb.start_m, start_m, end_m, size)))
    return tuple(occasion for _, occasion in sorted(found, key=lambda each: each[0]))


def _last_halt(pace: Pace, before_m: float) -> int:
    """Return the node at which the last halt before a place ends, one past where it is made; 0 for none."""
    nodes = (pace.terrain.profile.node(halt.distance_m) + 1 for halt in pace.stops if is_standing(halt))
    last = pace.distance_m.size - 1
    return max((node for node in nodes if node <= last and pace.distance_m[node] <= before_m), default=0)


def _from_a_halt_m(pace: Pace, start_m: float) -> float:
    """Return from where on a window counts that begins at a place: from a halt just before it [m]."""
    end = _last_halt(pace, start_m)
    is_beside = end > 1 and pace.clock_at(start_m) - pace.clock_s[end] <= BESIDE_HALT_S
    return float(pace.distance_m[end - 2]) if is_beside else start_m


def _top_up_size(climb: Stretch, pace: Pace) -> float:
    """Return how much is lost without a top-up, 0 to 1: more before what gains more."""
    share = (climb.gain_m - TOP_UP_GAIN_M) / (TOP_UP_FULL_M - TOP_UP_GAIN_M)
    return 1.0 if _is_long(climb, pace) else min(1.0, TOP_UP_LEAST + (1.0 - TOP_UP_LEAST) * share)


def time_to_foot_s(pace: Pace) -> FloatArray:
    """Return how long until the next climb worth a top-up begins, at every node, inf after the last [s]."""
    feet_s = np.append(_feet_s(pace), np.inf)
    return np.asarray(feet_s[np.searchsorted(feet_s, pace.clock_s, side="left")] - pace.clock_s)


def time_past_foot_s(pace: Pace) -> FloatArray:
    """Return how long ago the last climb worth a top-up began, at every node, inf before the first [s]."""
    feet_s = np.append(-np.inf, _feet_s(pace))
    return np.asarray(pace.clock_s - feet_s[np.searchsorted(feet_s, pace.clock_s, side="right") - 1])


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


def _feet_s(pace: Pace) -> FloatArray:
    """Return when the climbs worth a top-up begin [s]."""
    return np.array([pace.clock_at(climb.start_m) for climb in _worth_a_top_up(pace)], dtype=np.float64)


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


def windows_at(distance_m: FloatArray, occasions: tuple[Occasion, ...]) -> IntArray:
    """Return the window each place lies in, -1 outside."""
    window = np.full(distance_m.size, -1)
    for index, occasion in enumerate(occasions):
        window[(distance_m > occasion.start_m) & (distance_m <= occasion.end_m)] = index
    return window


def past_nearest_m(distance_m: FloatArray, occasions: tuple[Occasion, ...]) -> FloatArray:
    """Return the distance past the nearest occasion, negative before it [m]."""
    past_m = np.full(distance_m.size, np.inf)
    for occasion in occasions:
        here_m = distance_m - occasion.at_m
        past_m = np.where(np.abs(here_m) < np.abs(past_m), here_m, past_m)
    return past_m
