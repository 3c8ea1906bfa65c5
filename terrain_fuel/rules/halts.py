"""The halts of a ride as the rules see them: what is offered there, and how long one stands."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import BoolArray, IntArray
from terrain_fuel.pace.model import Pace, Stop

STANDING_S = 60.0
"""At a shorter halt nobody stands: a bottle is taken from a hand."""


@dataclass(frozen=True, slots=True)
class FoodStop:
    """A halt where food may be handed over: index in the road's columns, its name, what is sure.

    ``from_s`` and ``until_s`` are the clock of its begin and of its end; ``standing`` is False where a bottle
    is taken from a hand without stopping for as much as a minute.
    """

    node: int
    distance_m: float
    name: str
    offers: tuple[str, ...]
    sure: bool
    from_s: float
    until_s: float
    standing: bool = True


def is_standing(halt: Stop) -> bool:
    """Return whether one stands at a halt."""
    return halt.duration_s >= STANDING_S


def find_stops(pace: Pace, day: Day) -> tuple[FoodStop, ...]:
    """Return the halts of the ride with what is offered there; a halt without a feed offers nothing."""
    found = []
    for halt in pace.stops:
        near = min(day.feeds, key=lambda feed: abs(feed.at_km * 1000 - halt.distance_m), default=None)
        if near is not None and abs(near.at_km * 1000 - halt.distance_m) > 200.0:
            near = None
        node = pace.terrain.profile.node(halt.distance_m)
        found.append(
            FoodStop(
                node=node,
                distance_m=halt.distance_m,
                name=halt.name,
                offers=(*near.offers, *near.buys) if near else (),
                sure=near.sure if near else False,
                from_s=float(pace.clock_s[node]),
                until_s=float(pace.clock_s[min(node + 1, pace.clock_s.size - 1)]),
                standing=is_standing(halt),
            )
        )
    return tuple(found)


def halts_at(stops: tuple[FoodStop, ...], size: int) -> tuple[IntArray, BoolArray]:
    """Return which halt each node is at, -1 for none, and True where one is made.

    Where somebody stands, a halt is at two nodes: that where it is made, by the clock of its begin, and the
    next, a few metres on, by that of its end. What is eaten late in a long halt stands there.
    """
    stop, stands = np.full(size, -1), np.zeros(size, dtype=np.bool_)
    for index, halt in enumerate(stops):
        if halt.standing and halt.node + 1 < size:
            stop[halt.node + 1] = index
    for index, halt in enumerate(stops):
        stop[halt.node], stands[halt.node] = index, True
    return stop, stands
