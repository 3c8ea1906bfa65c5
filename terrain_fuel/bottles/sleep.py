"""Where a long ride sleeps: at the feeds the day file says, or after so many hours awake near water."""

from collections.abc import Sequence
from dataclasses import replace

from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.places import refills_on_road
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.frozen import value_at
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.pace.stops import awake

# Common practice (no source).
NEAR_S = 5400.0
"""A place with water is ridden on to, or slept at sooner, if it is no farther off than this."""
WORTH_S = 7200.0
"""Nobody lies down with so little of the ride left."""
HOUR_S = 3600.0
NO_CAFFEINE_S = 6.0 * HOUR_S
"""Caffeine six hours before bed still takes an hour of sleep [Dr13]."""


def choose_sleeps(pace: Pace, day: Day) -> tuple[Stop, ...]:
    """Return where the ride sleeps and for how long, in road order.

    Parameters
    ----------
    pace : the ride without halts
    day : its feeds with ``sleep_h``, and after how many hours awake the rider sleeps elsewhere
    """
    length_m, road_m = pace.terrain.length_m, pace.distance_m
    sleeps = [
        Stop(float(road_m[pace.terrain.profile.node(feed.at_km * 1000.0)]), feed.sleep_h * HOUR_S, feed.name)
        for feed in day.feeds
        if feed.sleep_h > 0.0 and feed.at_km * 1000.0 < length_m
    ]
    if day.sleep_h <= 0.0:
        return tuple(sleeps)
    after_s = day.sleep_after_h * HOUR_S
    woken_s = 0.0
    while True:
        set_s = [pace.clock_at(stop.distance_m) for stop in sleeps]
        due_s = woken_s + after_s
        set_ahead_s = [at_s for at_s in set_s if woken_s < at_s <= due_s + NEAR_S]
        if set_ahead_s:
            woken_s = set_ahead_s[0]
            continue
        if due_s > pace.elapsed_s - WORTH_S:
            return tuple(sorted(sleeps, key=lambda stop: stop.distance_m))
        places = refills_on_road(pace.terrain, day, awake(pace, sleeps).local_s)
        stop = _near(pace, places, due_s, day.sleep_h * HOUR_S)
        sleeps.append(stop)
        woken_s = pace.clock_at(stop.distance_m)  # hours on: no sleep is due sooner


def _near(pace: Pace, places: Sequence[Refill], due_s: float, lasts_s: float) -> Stop:
    """Return a sleep at the place with water nearest to a moment, or where the rider then is."""
    near = [(abs(pace.clock_at(place.at_m) - due_s), place.at_m, place) for place in places]
    best = min(near, key=lambda each: each[:2], default=None)
    if best is not None and best[0] <= NEAR_S:
        return Stop(best[1], lasts_s, best[2].name)
    return Stop(value_at(due_s, pace.clock_s, pace.distance_m), lasts_s, "")


def at_sleeps(places: Sequence[Refill], sleeps: Sequence[Stop]) -> frozenset[int]:
    """Return the indices of the places at which the ride sleeps: bottles are filled there in any case."""
    return frozenset(
        index
        for index, place in enumerate(places)
        if any(abs(place.at_m - sleep.distance_m) < 1.0 for sleep in sleeps)
    )


def hold_caffeine(demand: Demand, sleeps: Sequence[Stop]) -> Demand:
    """Return the demand without caffeine in the hours before each sleep.

    Parameters
    ----------
    demand : on the clock that stands still while the rider sleeps
    sleeps : from `choose_sleeps`
    """
    spans_s = list(demand.caffeine_spans_s)
    for sleep in sleeps:
        lies_s = demand.pace.clock_at(sleep.distance_m)
        parts = [
            part
            for start_s, end_s in spans_s
            for part in ((start_s, min(end_s, lies_s - NO_CAFFEINE_S)), (max(start_s, lies_s), end_s))
        ]
        spans_s = [(start_s, end_s) for start_s, end_s in parts if end_s > start_s]
    return replace(demand, caffeine_spans_s=tuple(spans_s)) if sleeps else demand
