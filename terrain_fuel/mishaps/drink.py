"""Mishaps with what there is to drink: the tap that is leaned on most is shut; a bottle is lost."""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np

from terrain_fuel.bottles.model import said_name
from terrain_fuel.bottles.places import SAME_PLACE_M, refills_on_road
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML
from terrain_fuel.day import Day
from terrain_fuel.draft import Drunk
from terrain_fuel.facts import NOTHING, Fact, Value, fact
from terrain_fuel.mishaps.differences import MOST_TOLD
from terrain_fuel.pace.model import Pace
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Plan
from terrain_fuel.planner import redrink
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.work import Work

EMPTY_ML = 25.0
"""A mouthful that is no mouthful: nobody is told to count on it (common practice, no source)."""


def tap_shut(plan: Plan, work: Work) -> Fact | None:
    """Return what to do if the tap at which most is filled is shut; None without one."""
    poured = _poured_ml(plan.bottles)
    if not poured:
        return None
    at_m = max(poured, key=lambda place_m: (poured[place_m], -place_m))
    terrain, day = _without_place(plan, at_m)
    other = redrink(replace(plan, terrain=terrain), plan.pantry, day, work=work)
    ahead = [place for place in refills_on_road(terrain, day, plan.pace.clock_s) if place.at_m > at_m]
    left_ml = _left_ml(plan, at_m)
    left = fact("nothing_is_left" if left_ml < EMPTY_ML else "so_much_is_left", left_ml=left_ml)
    before = _new_halts(plan, other, 0.0, at_m)
    beforehand = fact("if_known_fill", places=before) if before else NOTHING
    if ahead:
        then = fact(
            "shut_ride_on",
            left=left,
            next=ahead[0].said,
            next_m=ahead[0].at_m,
            gap_m=ahead[0].at_m - at_m,
            ask=_ask(plan, left_ml, at_m, ahead[0].at_m),
        )
    else:
        then = fact("shut_to_finish", left=left)
    return fact(
        "mishap_tap_shut",
        place=said_name(_halt_name(plan.pace, at_m)),
        at_m=at_m,
        then=then,
        beforehand=beforehand,
        too_little=_too_little(other),
    )


def bottle_lost(plan: Plan, work: Work) -> Fact | None:
    """Return what to do if the largest bottle in reach is lost; None without a bottle."""
    in_reach = [bottle for bottle in plan.pantry.bottles if bottle.reach == "riding"]
    if not in_reach:
        return None
    lost = max(in_reach, key=lambda bottle: bottle.holds_ml)
    if len(in_reach) == 1:
        return fact("mishap_only_bottle_lost", bottle=lost.name)
    left = tuple(container for container in plan.pantry.containers if container != lost)
    day = replace(plan.day, fills=tuple(fill for fill in plan.day.fills if fill.container != lost.name))
    other = redrink(plan, Pantry(plan.pantry.items, left), day, work=work)
    more = _new_halts(plan, other, 0.0, plan.terrain.length_m)
    then = fact("lost_halt_also", places=more) if more else fact("lost_halts_stay")
    return fact("mishap_bottle_lost", bottle=lost.name, then=then, too_little=_too_little(other))


def _poured_ml(pours: Iterable[BottleFill]) -> dict[float, float]:
    """Return what each tap gives [ml], by its place on the road [m]."""
    poured: dict[float, float] = {}
    for fill in pours:
        if fill.at_m > 0.0 and fill.why.code != "poured_over":
            poured[fill.at_m] = poured.get(fill.at_m, 0.0) + fill.fluid_ml
    return poured


def _left_ml(plan: Plan, at_m: float) -> float:
    """Return what all bottles still hold on arrival at a place [ml]."""
    filled_ml = sum(
        fill.fluid_ml for fill in plan.bottles if fill.at_m < at_m and fill.why.code != "poured_over"
    )
    sips = (point for point in plan.fuel_points if point.action == "sip" and point.distance_m < at_m)
    return max(0.0, filled_ml - sum(sip.fluid_ml for sip in sips))


def _ask(plan: Plan, left_ml: float, from_m: float, to_m: float) -> Fact:
    """Return what is wanted up to the next tap, where the bottles hold less; nothing if they do."""
    demand = plan.demand
    wanted_ml = float(np.diff(np.interp([from_m, to_m], plan.pace.distance_m, demand.fluid_target_ml))[0])
    return fact("shut_ask", wanted_ml=wanted_ml) if wanted_ml > left_ml + TOLERATED_SHORT_ML else NOTHING


def _without_place(plan: Plan, at_m: float) -> tuple[Terrain, Day]:
    """Return road and day without one place that gives water, however often the road passes it."""
    name = _halt_name(plan.pace, at_m)
    feeds = tuple(feed for feed in plan.day.feeds if abs(feed.at_km * 1000.0 - at_m) >= SAME_PLACE_M)
    track = plan.terrain.track
    waypoints = tuple(
        point
        for point in track.waypoints
        if point.kind not in ("refill", "feed")
        or (point.name != name and abs(point.distance_m - at_m) >= SAME_PLACE_M)
    )
    mapped = track.mapped and replace(
        track.mapped,
        places=tuple(place for place in track.mapped.places if abs(place.at_m - at_m) >= SAME_PLACE_M),
    )
    track = replace(track, waypoints=waypoints, mapped=mapped)
    return replace(plan.terrain, track=track), replace(plan.day, feeds=feeds)


def _halt_name(pace: Pace, at_m: float) -> str:
    return next((stop.name for stop in pace.stops if stop.distance_m == at_m), "")


def _new_halts(plan: Plan, other: Drunk, from_m: float, to_m: float) -> tuple[Value, ...]:
    """Return the first places at which bottles are filled then and in the plan are not."""
    used = _poured_ml(plan.bottles)
    new = sorted(at_m for at_m in _poured_ml(other.pours) if from_m <= at_m < to_m and at_m not in used)
    return tuple(
        fact("named_place", name=said_name(_halt_name(other.pace, at_m)), at_m=at_m)
        for at_m in new[:MOST_TOLD]
    )


def _too_little(other: Drunk) -> Fact:
    """Return where the drink no longer does on a day like that; nothing if it does all the way."""
    gaps = other.water_gaps
    return fact("mishap_too_little", from_m=min(gap.start_m for gap in gaps)) if gaps else NOTHING
