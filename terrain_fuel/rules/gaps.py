"""The road ridden between one bite and the next."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.occasions import Occasion
from terrain_fuel.rules.road import Road

FED_G, FED_EARLY_S = 8.5, 60.0
"""Drink that has brought 8.5 g since the last food ends a gap like a bite: the hard rule asks for 8 g, and
sips do not follow the smooth curve to the gram and minute."""


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """The road ridden between one bite and the next; all shapes (before, places).

    ``gap_s`` is the clock time between them and ``unfed_s`` what of it lies behind the last drink that
    was food; ``crests_missed`` and ``feet_missed`` add up the
    sizes of the occasions that lie wholly between them.
    """

    gap_s: FloatArray
    unfed_s: FloatArray
    crests_missed: FloatArray
    feet_missed: FloatArray


def missed(occasions: tuple[Occasion, ...], before_m: FloatArray, after_m: FloatArray) -> FloatArray:
    """Return the summed size of occasions that lie wholly between two bites.

    Parameters
    ----------
    occasions : in road order, their windows not overlapping
    before_m, after_m : where the earlier and the later bite stand [m], of shapes that fit together

    >>> top = Occasion(at_m=1000.0, start_m=800.0, end_m=1200.0, size=0.5)
    >>> missed((top,), np.array([[0.0], [900.0]]), np.array([1100.0, 2000.0]))
    array([[0. , 0.5],
           [0. , 0. ]])
    """
    size = np.concatenate(([0.0], np.cumsum([each.size for each in occasions])))
    ends = np.array([each.end_m for each in occasions])
    starts = np.array([each.start_m for each in occasions])
    passed = size[np.searchsorted(ends, after_m, side="left")]
    begun = size[np.searchsorted(starts, before_m, side="left")]
    return np.asarray(np.maximum(0.0, passed - begun))


def gaps_between(places: Road, road: Road, before_m: FloatArray, before_s: FloatArray) -> Gap:
    """Return the gaps from earlier bites to some places of a road.

    Parameters
    ----------
    places, road : where the gaps end, and the road whole
    before_m, before_s : where and when each earlier bite stands [m, s]: shapes (before, 1) for the gaps from
        each to each place, (1, places) for one to each
    """
    return Gap(
        gap_s=places.clock_s - before_s,
        unfed_s=places.clock_s - last_fed_s(road, before_s, places.clock_s),
        crests_missed=missed(road.crests, before_m, places.distance_m),
        feet_missed=missed(road.feet, before_m, places.distance_m),
    )


def last_fed_s(road: Road, before_s: FloatArray, at_s: FloatArray) -> FloatArray:
    """Return when food last came before some moments: a bite, or drink since [s].

    Shapes as they fit together: (before, 1) and (at,) give (before, at).
    """
    next_s = np.array(before_s, dtype=np.float64)
    fed_s = np.broadcast_to(next_s, np.broadcast_shapes(next_s.shape, at_s.shape))
    while True:
        next_s = _next_drink_fed_s(road, next_s)
        in_time = next_s <= at_s
        if not in_time.any():
            return fed_s
        fed_s = np.where(in_time, next_s, fed_s)


def fed_until_s(road: Road, from_s: FloatArray) -> FloatArray:
    """Return by when the next bite must come after each of some moments, shape of ``from_s``, rising [s].

    The rider's longest gap later, or more where drink ends gaps in between. A later bite may miss a
    sip that an earlier one would have counted: the sooner of the two holds.
    """
    return np.asarray(np.minimum.accumulate(_each_fed_until_s(road, from_s)[::-1])[::-1])


@lru_cache(maxsize=2)
def fed_until_by_node_s(road: Road) -> FloatArray:
    """Return the same from the start and from every node of the road whole, shape (road.size + 1,) [s]."""
    until_s = fed_until_s(road, np.append(0.0, road.clock_s))
    until_s.setflags(write=False)
    return until_s


def _each_fed_until_s(road: Road, from_s: FloatArray) -> FloatArray:
    """Return the same for each moment alone, whatever the others are."""
    fed_s = np.array(from_s, dtype=np.float64)
    while True:
        next_s = _next_drink_fed_s(road, fed_s)
        in_time = next_s - fed_s <= road.longest_gap_s - FED_EARLY_S
        if not in_time.any():
            return fed_s + road.longest_gap_s
        fed_s = np.where(in_time, next_s, fed_s)


def _next_drink_fed_s(road: Road, since_s: FloatArray) -> FloatArray:
    """Return when drink has brought enough carbohydrate since a moment to count as food, inf if never [s]."""
    if road.size == 0:
        return np.full(np.shape(since_s), np.inf)
    due_g = np.interp(since_s, road.clock_s, road.drink_g) + FED_G
    return np.asarray(np.append(road.clock_s, np.inf)[np.searchsorted(road.drink_g, due_g, side="left")])
