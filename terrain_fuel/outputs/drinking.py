"""Drinking as it can be ridden: a rhythm from one filling of the bottles to the next, and what differs.

A plan places every sip; nobody follows thirty of them by their kilometres. Told as a rhythm, one
mouthful from this bottle every so many minutes and one from that with every bite, and as a few
places where more is drunk, it comes to the same amount from each bottle within one mouthful, and
over the whole ride within half a mouthful.
"""

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.limits import DRINK_WITHIN_S
from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.rhythm import (
    Drinking,
    Extra,
    Rhythm,
    Section,
    bites_between,
    by_clock,
    mouthfuls_of,
)
from terrain_fuel.plan import FuelPoint, Plan

SHORTEST_MIN, LONGEST_MIN = 6, 40
"""A rhythm is no faster and no slower than this."""

MOST_EXTRAS = 6
"""More places than this between two halts where more is drunk are no rhythm."""

ROW_COSTS = {"few": 2.0, "many": 0.3}
"""What a row of its own may cost in mouthfuls by which the drinking runs behind or ahead of the plan."""

ONE_PLACE_M = (1500.0, 6000.0)
"""What is drunk beside the rhythm no farther apart than this is told in one row; the second where it pays."""

NO_RHYTHM_COST = 2.0
"""What it costs to have no rhythm by the clock, in mouthfuls."""

MOST_AT_ONCE, FULL = 3, 100.0
"""More mouthfuls than this are drunk at one place only where there is no other."""

MOST_WITH_A_BITE = 2
"""More mouthfuls at once are not drunk while a bite is chewed."""

ODD_COST = 0.3
"""What minutes that are no multiple of five cost, in mouthfuls: they are harder to keep in mind."""

LAST_DROPS = 0.75
"""The last mouthful of a bottle may be smaller than the others by this part of one."""

CLIMB_BONUS = 0.4
"""Mouthfuls by which a place on a climb is preferred for drinking more."""


def plan_drinking(plan: Plan, rows: str = "few") -> Drinking:
    """Return how the plan's drinking is told.

    Parameters
    ----------
    plan : the finished plan
    rows : "few" keeps the rows beside the rhythm few, "many" follows the plan more closely
    """
    return _told(plan, rows)


@lru_cache(maxsize=4)
def _told(plan: Plan, rows: str) -> Drinking:
    signs = bottle_signs(bottle.name for bottle in plan.pantry.bottles)
    sections: list[Section] = []
    behind = 0.0
    for bounds in _bounds(plan):
        section = _tell(plan, signs, bounds, ROW_COSTS[rows], behind)
        behind = section.surplus
        sections.append(section)
    drunk_ml = sum(point.fluid_ml for point in plan.fuel_points if point.action == "sip")
    count = sum(mouthfuls_of(plan, section) for section in sections)
    return Drinking(tuple(sections), drunk_ml / count if count else plan.rider.habits.sip_ml)


def _bounds(plan: Plan) -> list[tuple[float, float]]:
    """Return start and end [m] of the sections; where the whole route is laps there is one rhythm for all."""
    halts: list[float] = []
    for point in plan.fuel_points:
        if point.action == "refill":
            if halts and point.distance_m - halts[-1] <= ONE_HALT_M:
                halts[-1] = point.distance_m
            else:
                halts.append(point.distance_m)
    if whole_laps(plan) is not None:
        halts = []
    return list(pairwise([0.0, *halts, plan.terrain.length_m]))


def _leaving_s(plan: Plan, halt_m: float) -> float:
    """Return the clock at which a halt ends [s]; 0 at the start."""
    stops = (stop.duration_s for stop in plan.pace.stops if abs(stop.distance_m - halt_m) <= ONE_HALT_M)
    return plan.pace.clock_at(halt_m) + sum(stops)


@dataclass(frozen=True, slots=True)
class _Need:
    """What a section of the plan drinks: its bites, the sips beside them, mouthfuls by bottle and clock.

    ``planned`` is what the plan has drunk by the clock of each sip [s], itself included, in mouthfuls.
    """

    minutes: float
    sips: tuple[FuelPoint, ...]
    bites: tuple[FuelPoint, ...]
    by_bottle: Mapping[str, float]
    held: Mapping[str, float]
    bite_bottle: str
    planned: Mapping[float, float]


def _need(plan: Plan, signs: Mapping[str, str], start_m: float, end_m: float) -> _Need:
    sip_ml = plan.rider.habits.sip_ml
    sips = [p for p in plan.fuel_points if p.action == "sip" and start_m < p.distance_m <= end_m]
    with_food: dict[int, FuelPoint] = {}
    bites = bites_between(plan, start_m, end_m)
    for bite in bites:
        after = (s for s in sips if 0.0 <= s.time_s - bite.time_s <= DRINK_WITHIN_S.value)
        sip = next((s for s in after if s.number not in with_food), None)
        if sip is not None:
            with_food[sip.number] = sip
    by_bottle: dict[str, float] = {}
    for sip in sips:
        sign = signs[sip.container]
        by_bottle[sign] = by_bottle.get(sign, 0.0) + sip.fluid_ml / sip_ml
    held = _held(plan, signs, start_m, end_m)
    enough = {sign for sign, mouthfuls in held.items() if mouthfuls >= len(bites) - LAST_DROPS}
    usual = [
        sign
        for sign, _ in Counter(signs[sip.container] for sip in with_food.values()).most_common()
        if sign in enough
    ]
    minutes = (plan.pace.clock_at(end_m) - _leaving_s(plan, start_m)) / 60.0
    return _Need(
        minutes,
        tuple(sip for sip in sips if sip.number not in with_food),
        tuple(bites),
        by_bottle,
        held,
        usual[0] if usual and 2 * len(with_food) >= len(bites) > 0 else "",
        _drunk_by_then([(sip.time_s, sip.fluid_ml / sip_ml) for sip in sips]),
    )


def _drunk_by_then(sips: Sequence[tuple[float, float]]) -> dict[float, float]:
    return {at_s: sum(mouthfuls for when_s, mouthfuls in sips if when_s <= at_s) for at_s, _ in sips}


def _held(plan: Plan, signs: Mapping[str, str], at_m: float, end_m: float) -> dict[str, float]:
    """Return what the bottles hold when a halt, or the start, is left, in mouthfuls by sign.

    What is filled on the way before ``end_m`` counts too: on laps a section goes on over the halts.
    """
    held = dict.fromkeys(signs.values(), 0.0)
    for fill in plan.bottles:
        if fill.container in signs and fill.at_m < max(at_m, end_m - 2.0 * ONE_HALT_M) + ONE_HALT_M:
            held[signs[fill.container]] += fill.fluid_ml - fill.tipped_ml
    for point in plan.fuel_points:
        if point.action == "sip" and point.distance_m <= at_m:
            held[signs[point.container]] -= point.fluid_ml
    return {sign: fluid_ml / plan.rider.habits.sip_ml for sign, fluid_ml in held.items()}


def _tell(
    plan: Plan, signs: Mapping[str, str], bounds: tuple[float, float], row_cost: float, behind: float
) -> Section:
    """Return the section whose rhythm and extras follow the plan best.

    ``behind`` is what the sections before left undrunk, in mouthfuls; ``surplus`` of the section
    returned is what it leaves.
    """
    start_m, end_m = bounds
    need = _need(plan, signs, start_m, end_m)
    empty = Section(
        start_m, end_m, _leaving_s(plan, start_m), plan.pace.clock_at(end_m),
        Rhythm(bite_bottle=need.bite_bottle), (), behind,
    )  # fmt: skip
    for most in (MOST_EXTRAS, len(need.sips)):
        found: list[Section] = []
        for rhythm in _rhythms(need):
            for near_m in ONE_PLACE_M:
                section = _with_extras(plan, signs, need, replace(empty, rhythm=rhythm), most, near_m)
                found += [section] if section else []
                if section is None or len(section.extras) < 2:
                    break
        if found:
            return min(found, key=lambda section: _cost(need, section, row_cost))
    return empty


def _cost(need: _Need, section: Section, row_cost: float) -> float:
    """Return how well a section is told: rows, how far it strays from the plan, odd minutes, in mouthfuls."""
    every_min = section.rhythm.every_min
    told = ODD_COST * bool(every_min % 5) if every_min else NO_RHYTHM_COST
    return row_cost * len(section.extras) + _off(need, section) + 2.0 * abs(section.surplus) + told


def _rhythms(need: _Need) -> list[Rhythm]:
    """Return the rhythms that do not ask for more than is there."""
    found = []
    for each_bite in range(1, MOST_WITH_A_BITE + 1):
        with_food = Rhythm(bite_bottle=need.bite_bottle, each_bite=each_bite)
        if each_bite > 1 and not _lasts(with_food, need):
            break
        left = _beside_bites(with_food, need)
        main = max(left, key=lambda sign: left[sign], default="")
        found.append(with_food)
        if main:
            eaten_with = with_food.with_bites(len(need.bites)) if main == need.bite_bottle else 0
            most = min(left[main] + 1.0, need.held[main] - eaten_with + LAST_DROPS)
            found += [
                replace(with_food, bottle=main, every_min=every_min)
                for every_min in range(SHORTEST_MIN, LONGEST_MIN + 1)
                if 1 <= need.minutes // every_min <= most
            ]
    return found


def _lasts(with_food: Rhythm, need: _Need) -> bool:
    """Return whether a bottle has, and the plan drinks of it, what goes with the bites."""
    sign, wanted = with_food.bite_bottle, with_food.with_bites(len(need.bites))
    return bool(sign) and wanted <= min(need.held[sign] + LAST_DROPS, need.by_bottle.get(sign, 0.0) + 1.0)


def _beside_bites(rhythm: Rhythm, need: _Need) -> dict[str, float]:
    """Return what the plan drinks of each bottle beside what goes with the bites, in mouthfuls."""
    left = dict(need.by_bottle)
    if rhythm.bite_bottle:
        left[rhythm.bite_bottle] -= rhythm.with_bites(len(need.bites))
    return left


def _with_extras(
    plan: Plan,
    signs: Mapping[str, str],
    need: _Need,
    section: Section,
    most: int,
    near_m: float,
) -> Section | None:
    """Return the section with its missing mouthfuls placed where the plan drinks more; None if too many.

    Those within ``near_m`` of one another are drunk at one place.
    """
    rest = _beside_bites(section.rhythm, need)
    if section.rhythm.bottle:
        rest[section.rhythm.bottle] -= by_clock(section.rhythm, section.start_s, section.end_s)
    wanted = sum(rest.values()) + section.surplus
    missing = max(0, math.floor(wanted + 0.5))
    if missing > 0 and not need.sips:
        return None
    placed: dict[float, Counter[str]] = {}
    followed = [_followed(section, need, sip.time_s) for sip in need.sips] if missing else []
    for _ in range(missing):
        bottle = max(rest, key=lambda sign: rest[sign])
        rest[bottle] -= 1
        so_far = _extras(plan, placed)
        ahead = (count + _extra(so_far, sip.time_s) for sip, count in zip(need.sips, followed, strict=True))
        lack = [
            _lack(plan, signs, need, sip, count, bottle) - FULL * _is_full(placed, sip.distance_m, near_m)
            for sip, count in zip(need.sips, ahead, strict=True)
        ]
        place = need.sips[lack.index(max(lack))]
        near = (at_m for at_m in placed if abs(at_m - place.distance_m) <= near_m)
        placed.setdefault(next(near, place.distance_m), Counter())[bottle] += 1
        if len(placed) > most:
            return None
    return replace(section, extras=_extras(plan, placed), surplus=wanted - missing)


def _is_full(placed: Mapping[float, Counter[str]], at_m: float, near_m: float) -> bool:
    """Return whether as much is drunk at a place as goes down at once."""
    return any(
        drunk.total() >= MOST_AT_ONCE for other_m, drunk in placed.items() if abs(other_m - at_m) <= near_m
    )


def _extras(plan: Plan, placed: Mapping[float, Mapping[str, int]]) -> tuple[Extra, ...]:
    return tuple(
        Extra(at_m, _clock_at(plan, at_m), tuple(sorted(placed[at_m].items()))) for at_m in sorted(placed)
    )


@lru_cache(maxsize=1024)
def _clock_at(plan: Plan, at_m: float) -> float:
    """Return the clock at a place [s]: the rhythms that are tried ask for the same few again and again."""
    return plan.pace.clock_at(at_m)


def _lack(
    plan: Plan, signs: Mapping[str, str], need: _Need, sip: FuelPoint, followed: float, bottle: str
) -> float:
    """Return by how many mouthfuls the drinking is behind the plan just after a sip of it."""
    climbs = plan.terrain.stretches[sip.stretch].kind == "climb"
    same = 0.2 * (signs[sip.container] == bottle)
    return need.planned[sip.time_s] - followed + CLIMB_BONUS * climbs + same


def _off(need: _Need, section: Section) -> float:
    """Return by how many mouthfuls the drinking is behind or ahead of the plan at worst."""
    return max(
        (abs(planned - _followed(section, need, at_s)) for at_s, planned in need.planned.items()),
        default=0.0,
    )


def _followed(section: Section, need: _Need, time_s: float) -> float:
    """Return what has been drunk in a section up to a time by whoever follows it."""
    with_bites = section.rhythm.with_bites(sum(bite.time_s <= time_s for bite in need.bites))
    until_s = min(time_s, section.end_s)
    by_minutes = by_clock(section.rhythm, section.start_s, until_s)
    return by_minutes + with_bites + _extra(section.extras, time_s)


def _extra(extras: Iterable[Extra], time_s: float) -> int:
    """Return the mouthfuls of the extras up to a time."""
    return sum(count for extra in extras for _, count in extra.mouthfuls if extra.at_s <= time_s + 1.0)
