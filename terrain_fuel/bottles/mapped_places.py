"""Places of the map as refills: open at the hour, not too far aside, the best of each crowd."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import UNNAMED, Refill
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.frozen import FloatArray, value_at
from terrain_fuel.mapped.hours import is_open
from terrain_fuel.mapped.model import MappedPlace
from terrain_fuel.pantry import WATER_NAME
from terrain_fuel.terrain.model import Terrain

HALT_MIN = {
    "tap": 3.0, "fountain": 3.0, "spring": 4.0, "cemetery": 4.0, "toilets": 4.0,
    "fuel": 6.0, "shop": 8.0, "bakery": 6.0, "cafe": 12.0, "restaurant": 15.0,
}  # fmt: skip
"""How long a halt takes [min]: common practice (no source)."""

ASIDE_M_S, UP_M_S = 15.0 / 3.6, 600.0 / 3600.0
"""How fast one rides to a place aside, and how fast one climbs to it: common practice (no source)."""

TOLD_ASIDE_M = 30.0
"""A place no farther off stands at the road."""

UNSURE_MIN = 12.0
"""What doubt counts between two of a crowd: common practice (no source)."""

CROWD_M = 500.0
"""Of a crowd the best that gives water and the best that sells food stay in so much road [m]."""


@dataclass(frozen=True, slots=True)
class _Choice:
    """A place as a refill, and what speaks against it [min]."""

    refill: Refill
    against_min: float


def mapped_refills(terrain: Terrain, day: Day, clock_s: FloatArray, told_m: Iterable[float]) -> list[Refill]:
    """Return the mapped places that the plan may fill bottles at.

    Parameters
    ----------
    terrain, clock_s : the road with what the map says of it, and when each of its nodes is reached [s]
    day : whose ``map_within_m`` and ``map_buys`` say how far aside, and what shops sell
    told_m : where the rider's own places stand [m]: they speak for all that is near them

    Notes
    -----
    A place that is shut at the hour of arrival is none. One is unsure whose hours cannot be read, or that
    sells and says no hours.
    """
    road = terrain.track.mapped
    if road is None:
        return []
    own = np.array(sorted(told_m))
    best: dict[tuple[int, bool], _Choice] = {}
    near = [
        place
        for place in road.places
        if place.offset_m <= day.map_within_m and not (own.size and np.abs(own - place.at_m).min() < CROWD_M)
    ]
    # the quickest first: whoever cannot be better than what is found need not be asked for its hours
    for place in sorted(near, key=_halt_s):
        key = (int(place.at_m // CROWD_M), place.sells)
        if key in best and best[key].against_min <= _halt_s(place) / 60.0:
            continue
        opened = is_open(place, day.at(value_at(place.at_m, terrain.profile.distance_m, clock_s)))
        if opened is False:
            continue
        choice = _choice(place, opened, terrain, day)
        if key not in best or choice.against_min < best[key].against_min:
            best[key] = choice
    return [choice.refill for choice in best.values()]


def off_road(place: MappedPlace) -> Fact:
    """Return how far off the road a place stands, how much higher, what that costs; nothing at the road."""
    if place.offset_m <= TOLD_ASIDE_M:
        return NOTHING
    return fact(
        "off_the_road", offset_m=place.offset_m, climb_m=max(place.climb_m, 0.0), detour_s=detour_s(place)
    )


def detour_s(place: MappedPlace) -> float:
    """Return what riding to a place and back takes [s]."""
    return 2.0 * place.offset_m / ASIDE_M_S + abs(place.climb_m) / UP_M_S


def _halt_s(place: MappedPlace) -> float:
    return 60.0 * HALT_MIN[place.kind] + detour_s(place)


def _choice(place: MappedPlace, opened: bool | None, terrain: Terrain, day: Day) -> _Choice:
    sure = place.sure and (opened is True or (opened is None and not place.hours and not place.sells))
    duration_s = _halt_s(place)
    node = terrain.profile.node(place.at_m)
    refill = Refill(
        float(terrain.profile.distance_m[node]),
        place.name or UNNAMED,
        (WATER_NAME, *(day.map_buys if place.sells else ())),
        duration_s,
        sure,
        aside=off_road(place),
        mapped=place,
    )
    return _Choice(refill, duration_s / 60.0 + (0.0 if sure else UNSURE_MIN))


def used_places(refills: Sequence[Refill]) -> tuple[MappedPlace, ...]:
    """Return the mapped places among some refills."""
    return tuple(refill.mapped for refill in refills if refill.mapped is not None)
