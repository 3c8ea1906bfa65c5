"""What the plan drinks from one filling of the bottles to the next: what a rhythm is sought for."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.assembly.labels import ONE_HALT_M
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import DRINK_WITHIN_S
from terrain_fuel.outputs.rhythm import bites_between
from terrain_fuel.plan import FuelPoint, Plan

LAST_DROPS = 0.75
"""The last mouthful of a bottle may be smaller than the others by this part of one."""

CLIMB_BONUS, SAME_BOTTLE_BONUS = 0.4, 0.2
"""Mouthfuls by which a place on a climb, or of a sip from the bottle, is preferred for drinking more."""


def leaving_s(plan: Plan, halt_m: float) -> float:
    """Return the clock at which a halt ends [s]; 0 at the start."""
    stops = (stop.duration_s for stop in plan.pace.stops if abs(stop.distance_m - halt_m) <= ONE_HALT_M)
    return plan.pace.clock_at(halt_m) + sum(stops)


@dataclass(frozen=True, slots=True, eq=False)
class Sips:
    """Sips, shape (n,) each: place [m], clock [s], mouthfuls drunk with it and before, bites eaten before."""

    at_m: FloatArray
    at_s: FloatArray
    planned: FloatArray
    bites: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Need:
    """What a section of the plan drinks, in mouthfuls.

    Parameters
    ----------
    minutes : clock time from leaving its first halt to its end
    sips, all_sips : those that go with no bite, and all
    bites : how many are eaten
    by_bottle, held : drunk of each bottle, and in it when the section begins, by its sign
    bite_bottle : the one that most mouthfuls with a bite come from, "" for none
    on_climb, from_bottle : mouthfuls by which each of ``sips`` is preferred for drinking more: for standing
        on a climb, and for the bottle that is drunk from there
    """

    minutes: float
    sips: Sips
    all_sips: Sips
    bites: int
    by_bottle: Mapping[str, float]
    held: Mapping[str, float]
    bite_bottle: str
    on_climb: FloatArray
    from_bottle: Mapping[str, FloatArray]


def find_need(plan: Plan, signs: Mapping[str, str], start_m: float, end_m: float) -> Need:
    """Return what a section drinks; ``signs`` are those of the bottles."""
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
    minutes = (plan.pace.clock_at(end_m) - leaving_s(plan, start_m)) / 60.0
    planned = _drunk_by_then([(sip.time_s, sip.fluid_ml / sip_ml) for sip in sips])
    beside = [sip for sip in sips if sip.number not in with_food]
    on_climb = [plan.terrain.stretches[sip.stretch].kind == "climb" for sip in beside]
    return Need(
        minutes=minutes,
        sips=_sips(beside, bites, planned),
        all_sips=_sips(sips, bites, planned),
        bites=len(bites),
        by_bottle=by_bottle,
        held=held,
        bite_bottle=usual[0] if usual and 2 * len(with_food) >= len(bites) > 0 else "",
        on_climb=CLIMB_BONUS * np.array(on_climb, dtype=np.float64),
        from_bottle={
            sign: np.array([SAME_BOTTLE_BONUS * (signs[sip.container] == sign) for sip in beside])
            for sign in by_bottle
        },
    )


def _sips(sips: Sequence[FuelPoint], bites: Sequence[FuelPoint], planned: Mapping[float, float]) -> Sips:
    return Sips(
        np.array([sip.distance_m for sip in sips]),
        np.array([sip.time_s for sip in sips]),
        np.array([planned[sip.time_s] for sip in sips]),
        np.array([sum(bite.time_s <= sip.time_s for bite in bites) for sip in sips], dtype=np.float64),
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
