"""Drinking as it can be ridden: a rhythm from one filling of the bottles to the next, and what differs.

A plan places every sip; nobody follows thirty of them by their kilometres. Told as a rhythm, one
mouthful from this bottle every so many minutes and one from that with every bite, and as a few
places where more is drunk, it comes to the same amount from each bottle within one mouthful, and
over the whole ride within half a mouthful.
"""

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import numpy as np

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.bottle_signs import bottle_signs
from terrain_fuel.outputs.by_lap import whole_laps
from terrain_fuel.outputs.drinking_need import LAST_DROPS, Need, Sips, find_need, leaving_s
from terrain_fuel.outputs.rhythm import (
    Drinking,
    Extra,
    Rhythm,
    Section,
    by_clock,
    mouthfuls_of,
)
from terrain_fuel.plan import Plan

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

SAME_COST = 1e-9
"""Costs that differ by less are one."""


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


def _tell(
    plan: Plan, signs: Mapping[str, str], bounds: tuple[float, float], row_cost: float, behind: float
) -> Section:
    """Return the section whose rhythm and extras follow the plan best.

    ``behind`` is what the sections before left undrunk, in mouthfuls; ``surplus`` of the section
    returned is what it leaves.
    """
    start_m, end_m = bounds
    need = find_need(plan, signs, start_m, end_m)
    empty = Section(
        start_m, end_m, leaving_s(plan, start_m), plan.pace.clock_at(end_m),
        Rhythm(bite_bottle=need.bite_bottle), (), behind,
    )  # fmt: skip
    bare = [replace(empty, rhythm=rhythm) for rhythm in _rhythms(need)]
    least = [_least_cost(need, section, row_cost) for section in bare]
    for most in (MOST_EXTRAS, need.sips.at_s.size):
        found: list[tuple[float, int, Section]] = []
        for turn in sorted(range(len(bare)), key=least.__getitem__):
            if found and least[turn] > min(found)[0] + SAME_COST:
                break
            for near_m in ONE_PLACE_M:
                section = _with_extras(plan, need, bare[turn], most, near_m)
                if section is not None:
                    found.append(
                        (_cost(need, section, row_cost), 2 * turn + (near_m > ONE_PLACE_M[0]), section)
                    )
                if section is None or len(section.extras) < 2:
                    break
        if found:
            return min(found)[-1]
    return empty


def _cost(need: Need, section: Section, row_cost: float) -> float:
    """Return how well a section is told: rows, how far it strays from the plan, odd minutes, in mouthfuls."""
    told = _told_cost(section.rhythm)
    return row_cost * len(section.extras) + _off(need, section) + 3.0 * abs(section.surplus) + told


def _least_cost(need: Need, section: Section, row_cost: float) -> float:
    """Return what a section costs at least, wherever its extras stand."""
    wanted, missing = _missing(need, section)
    return row_cost * (missing > 0) + 2.0 * abs(wanted - missing) + _told_cost(section.rhythm)


def _told_cost(rhythm: Rhythm) -> float:
    return ODD_COST * bool(rhythm.every_min % 5) if rhythm.every_min else NO_RHYTHM_COST


def _rhythms(need: Need) -> list[Rhythm]:
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
            eaten_with = with_food.with_bites(need.bites) if main == need.bite_bottle else 0
            most = min(left[main] + 1.0, need.held[main] - eaten_with + LAST_DROPS)
            found += [
                replace(with_food, bottle=main, every_min=every_min)
                for every_min in range(SHORTEST_MIN, LONGEST_MIN + 1)
                if 1 <= need.minutes // every_min <= most
            ]
    return found


def _lasts(with_food: Rhythm, need: Need) -> bool:
    """Return whether a bottle has, and the plan drinks of it, what goes with the bites."""
    sign, wanted = with_food.bite_bottle, with_food.with_bites(need.bites)
    return bool(sign) and wanted <= min(need.held[sign] + LAST_DROPS, need.by_bottle.get(sign, 0.0) + 1.0)


def _beside_bites(rhythm: Rhythm, need: Need) -> dict[str, float]:
    """Return what the plan drinks of each bottle beside what goes with the bites, in mouthfuls."""
    left = dict(need.by_bottle)
    if rhythm.bite_bottle:
        left[rhythm.bite_bottle] -= rhythm.with_bites(need.bites)
    return left


def _missing(need: Need, section: Section) -> tuple[float, int]:
    """Return what a section must bring beside its rhythm, in mouthfuls: as planned, and whole ones."""
    wanted = sum(_beside_rhythm(need, section).values()) + section.surplus
    return wanted, max(0, math.floor(wanted + 0.5))


def _beside_rhythm(need: Need, section: Section) -> dict[str, float]:
    """Return what the plan drinks of each bottle beside a section's rhythm, in mouthfuls."""
    rest = _beside_bites(section.rhythm, need)
    if section.rhythm.bottle:
        rest[section.rhythm.bottle] -= by_clock(section.rhythm, section.start_s, section.end_s)
    return rest


def _with_extras(plan: Plan, need: Need, section: Section, most: int, near_m: float) -> Section | None:
    """Return the section with its missing mouthfuls placed where the plan drinks more; None if too many.

    Those within ``near_m`` of one another are drunk at one place.
    """
    rest, (wanted, missing) = _beside_rhythm(need, section), _missing(need, section)
    sips = need.sips
    if missing > 0 and not sips.at_s.size:
        return None
    placed: dict[float, Counter[str]] = {}
    drunk = _followed(section, sips) if missing else sips.planned
    full = np.zeros(sips.at_m.size)
    for _ in range(missing):
        bottle = max(rest, key=lambda sign: rest[sign])
        rest[bottle] -= 1
        lack = sips.planned - drunk + need.on_climb + need.from_bottle[bottle] - full
        place_m = float(sips.at_m[np.argmax(lack)])
        place_m = next((at_m for at_m in placed if abs(at_m - place_m) <= near_m), place_m)
        placed.setdefault(place_m, Counter())[bottle] += 1
        if len(placed) > most:
            return None
        drunk = drunk + _later_than(sips, _clock_at(plan, place_m))
        if placed[place_m].total() >= MOST_AT_ONCE:
            full = np.where(np.abs(sips.at_m - place_m) <= near_m, FULL, full)
    return replace(section, extras=_extras(plan, placed), surplus=wanted - missing)


def _extras(plan: Plan, placed: Mapping[float, Mapping[str, int]]) -> tuple[Extra, ...]:
    return tuple(
        Extra(at_m, _clock_at(plan, at_m), tuple(sorted(placed[at_m].items()))) for at_m in sorted(placed)
    )


@lru_cache(maxsize=1024)
def _clock_at(plan: Plan, at_m: float) -> float:
    """Return the clock at a place [s]: the rhythms that are tried ask for the same few again and again."""
    return plan.pace.clock_at(at_m)


def _off(need: Need, section: Section) -> float:
    """Return by how many mouthfuls the drinking is behind or ahead of the plan at worst."""
    sips = need.all_sips
    drunk = _followed(section, sips)
    for extra in section.extras:
        drunk = drunk + sum(count for _, count in extra.mouthfuls) * _later_than(sips, extra.at_s)
    return float(np.max(np.abs(sips.planned - drunk), initial=0.0))


def _followed(section: Section, sips: Sips) -> FloatArray:
    """Return what has been drunk in a section up to each sip by whoever follows its rhythm."""
    rhythm, until_s = section.rhythm, np.minimum(sips.at_s, section.end_s)
    with_bites = rhythm.with_bites(1) * sips.bites
    if not rhythm.every_min:
        return np.asarray(with_bites)
    return np.asarray((until_s - section.start_s) / 60.0 // rhythm.every_min + with_bites)


def _later_than(sips: Sips, at_s: float) -> FloatArray:
    """Return 1 for each sip at a clock time or later [s], else 0."""
    return np.asarray(at_s <= sips.at_s + 1.0, dtype=np.float64)
