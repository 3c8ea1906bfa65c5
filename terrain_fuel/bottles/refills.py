"""Which refills are used: the fewest halts that keep the bottles from running dry."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from terrain_fuel.bottles.food_stops import food_stops
from terrain_fuel.bottles.model import POURED_OVER, Refill
from terrain_fuel.bottles.own_fillings import set_halts
from terrain_fuel.bottles.places import refills_on_road
from terrain_fuel.bottles.sleep import at_sleeps
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import Pantry

# Common practice (no source): what a halt costs the rider, in minutes of wanting to avoid it.
HALT_MIN = 1.0
RACE_STANDING = 3.0
"""A minute of standing counts so many in a race."""
UNSURE_MIN = 12.0
SPARE_BOTTLE_MIN = 30.0
"""Every tap, a doubtful one too, is used before a bottle is poured over at the roadside."""
TIGHT_MIN = 5.0
"""Arriving with the last drop leaves nothing for a puncture: a leg that takes this share of the
bottles in reach, or more, counts as if it cost these minutes."""
TIGHT_SHARE = 0.85
POUR_OVER_S = 60.0
TOLERATED_SHORT_ML = 100.0
"""A shortage too small to carry a third bottle for: common practice (no source)."""


@dataclass(frozen=True, slots=True)
class Capacity:
    """How much the bottles hold [ml]: in the hand's reach, and only when standing."""

    riding_ml: float
    spare_ml: float

    @property
    def total_ml(self) -> float:
        """All bottles [ml]."""
        return self.riding_ml + self.spare_ml


def bottle_capacity(pantry: Pantry, day: Day) -> Capacity:
    """Return what the pantry's bottles hold; in a race nobody halts to pour a spare one over."""
    riding = sum(bottle.holds_ml for bottle in pantry.bottles if bottle.reach == "riding")
    spare = sum(bottle.holds_ml for bottle in pantry.bottles if bottle.reach == "stopped")
    return Capacity(riding, spare if riding > 0 and day.purpose != "race" else 0.0)


def choose_refills(
    demand: Demand, cautions: Sequence[Caution], pantry: Pantry, day: Day, sleeps: Sequence[Stop] = ()
) -> tuple[Refill, ...]:
    """Return the refills that the plan uses, in order, a pour-over of the spare bottle among them.

    Parameters
    ----------
    demand : need along the road, before any halt
    cautions : what to mind on it: no halt for pouring inside a safety flag
    pantry : its bottles set how far a filling goes
    day : its feeds, beside the route's waypoints
    sleeps : where the ride sleeps: at a place with water bottles are filled

    Returns
    -------
    tuple of Refill

    Notes
    -----
    The shortest path from start to finish over all refills: least drink missing first, then
    least minutes of halting, where a doubtful place counts 12 min more, pouring the spare
    bottle over 30 min, riding the bottles dry 5 min and a minute of standing in a race three. Exact,
    by dynamic programming over pairs of places.
    Where the food at home does not last, the feeds that offer food are halts in any case, and so
    are the places for which the rider has set a filling.
    """
    terrain = demand.pace.terrain
    capacity = bottle_capacity(pantry, day)
    places = refills_on_road(terrain, day, demand.pace.local_s)
    for_food = food_stops(places, demand, pantry) | set_halts(places, pantry, day) | at_sleeps(places, sleeps)
    if capacity.riding_ml <= 0:
        return tuple(places[index] for index in sorted(for_food))
    at_m = np.array([0.0, *(place.at_m for place in places), terrain.length_m])
    target_ml = np.interp(at_m, demand.pace.distance_m, demand.fluid_target_ml)
    halts_min = [_halt_min(place, day) for place in places]
    path = _cheapest_path(target_ml, halts_min, capacity, for_food)
    taken = [places[index - 1] for index in path[1:-1]]
    poured = [
        _pour_over(demand, cautions, at_m[start], at_m[end], capacity)
        for start, end in pairwise(path)
        if needs_spare(target_ml[end] - target_ml[start], capacity)
    ]
    return tuple(sorted(taken + poured, key=lambda refill: refill.at_m))


def needs_spare(wanted_ml: float, capacity: Capacity) -> bool:
    """Return whether a leg wants the bottle that is out of reach while riding."""
    return bool(_wants_spare(np.array(wanted_ml), capacity))


def _wants_spare(wanted_ml: FloatArray, capacity: Capacity) -> BoolArray:
    return np.asarray((capacity.spare_ml > 0) & (wanted_ml > capacity.riding_ml + TOLERATED_SHORT_ML))


def _halt_min(place: Refill, day: Day) -> float:
    """Return what a halt counts [min]."""
    standing_min = place.duration_s / 60.0 * (RACE_STANDING if day.purpose == "race" else 1.0)
    return HALT_MIN + standing_min + (0.0 if place.sure else UNSURE_MIN)


def _cheapest_path(
    target_ml: FloatArray, halts_min: Sequence[float], capacity: Capacity, must: frozenset[int]
) -> list[int]:
    """Return the cheapest path over the places in ``must``: 0, index + 1 of each place, the finish."""
    last = target_ml.size - 1
    best_ml, best_min = np.zeros(last + 1), np.zeros(last + 1)
    came_from = np.zeros(last + 1, dtype=np.int64)
    passed = 0
    for end in range(1, last + 1):
        passed = end - 1 if end - 2 in must else passed
        wanted_ml = target_ml[end] - target_ml[passed:end]
        over_ml = np.maximum(0.0, wanted_ml - capacity.total_ml - TOLERATED_SHORT_ML)
        short_ml = np.round(best_ml[passed:end] + over_ml, 6)
        minutes = np.where(_wants_spare(wanted_ml, capacity), SPARE_BOTTLE_MIN, 0.0)
        minutes += np.where(wanted_ml > TIGHT_SHARE * capacity.riding_ml, TIGHT_MIN, 0.0)
        minutes += halts_min[end - 1] if end < last else 0.0
        minutes += best_min[passed:end]
        start = int(np.argmin(np.where(short_ml == short_ml.min(), minutes, np.inf)))
        best_ml[end], best_min[end], came_from[end] = short_ml[start], minutes[start], passed + start
    path = [last]
    while path[-1] != 0:
        path.append(int(came_from[path[-1]]))
    return path[::-1]


def _pour_over(
    demand: Demand, cautions: Sequence[Caution], start_m: float, end_m: float, capacity: Capacity
) -> Refill:
    """Return the calmest place at which the empty bottles have room for the spare one."""
    profile = demand.pace.terrain.profile
    target_ml = demand.fluid_target_ml
    wanted_ml = np.diff(np.interp([start_m, end_m], profile.distance_m, target_ml))[0]
    # When all is not enough, drink is spread over the leg in proportion.
    share = min(1.0, capacity.total_ml / wanted_ml)
    drunk_ml = share * (target_ml - np.interp(start_m, profile.distance_m, target_ml))
    inside = (profile.distance_m > start_m + 1.0) & (profile.distance_m < end_m - 1.0)
    # Late enough for one bottle to take it all, before the bottles are dry.
    low_ml = min(2.0 * capacity.spare_ml, 0.8 * capacity.riding_ml)
    room = inside & (drunk_ml >= low_ml) & (drunk_ml <= 0.92 * capacity.riding_ml)
    if not room.any():
        room = inside & (drunk_ml >= 0.5 * capacity.riding_ml)
    steepness = np.abs(profile.grade) + np.where(_in_safety_flag(cautions, profile.distance_m), 1.0, 0.0)
    node = int(np.argmin(np.where(room, np.round(steepness, 4), np.inf)))
    return Refill(float(profile.distance_m[node]), POURED_OVER, (), POUR_OVER_S, kind="pour_over")


def _in_safety_flag(cautions: Sequence[Caution], distance_m: FloatArray) -> BoolArray:
    flagged = np.zeros(distance_m.size, dtype=np.bool_)
    for caution in cautions:
        if caution.hands_on:
            flagged |= (distance_m >= caution.start_m) & (distance_m <= caution.end_m)
    return flagged
