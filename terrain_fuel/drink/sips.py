"""Sips and refills: a mouthful with every bite, steady drinking between, bottles dry just before refills."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.bottles.filling import LAST_MOUTHFULS_ML
from terrain_fuel.bottles.model import DrinkPlan, Leg
from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.hunger import hunger_of
from terrain_fuel.drink.levels import BottleLevels, Draught
from terrain_fuel.drink.room import (
    HOUR_S,
    DrinkLimits,
    bite_fluid_ml,
)
from terrain_fuel.drink.sip_places import OpenRoad, SipPlace, find_sip_places, open_road
from terrain_fuel.facts import Fact, fact
from terrain_fuel.food.model import Bite
from terrain_fuel.hands import Hands
from terrain_fuel.limits import DRINK_WITHIN_S, HOUR_ML, OVER_SWEAT_ML
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Violation, broken
from terrain_fuel.rider import Rider
from terrain_fuel.rules.model import SipKind
from terrain_fuel.rules.road import Road

LEAST_MOUTHFUL_ML = 15.0
"""Below this a mouthful is none: common practice (no source)."""
LAST_SIP_WAITS_S = 300.0
"""After the last sip of a leg the next comes about so long after the halt."""
DRAUGHT_ML = 180.0
"""The most drunk at one place while riding: common practice (no source)."""
INTO_THE_HALT_M = 20.0
MOST_TO_FEED_ML = 250.0
"""So much is drunk at one place where it has to end a gap between food."""

REASONS: dict[SipKind, Fact] = {
    "bite": fact("sip_with_the_bite"),
    "climb": fact("sip_on_the_way_up"),
    "steady": fact("sip_little_and_often"),
    "refill": fact("sip_before_the_halt"),
}


@dataclass(frozen=True, slots=True)
class Sip:
    """Some mouthfuls from one bottle at one place."""

    place: SipPlace
    draught: Draught
    mouthfuls: int
    emptied: bool = False
    finishes: bool = False
    """True where it empties a bottle that is filled in a moment."""

    @property
    def reason(self) -> Fact:
        """How the rider is told."""
        if self.finishes:
            return fact("sip_the_rest", container=self.draught.container)
        return REASONS[self.place.kind]


@dataclass(frozen=True, slots=True)
class SipPlan:
    """Sips and pours in road order; ``violations`` name bites without drink, or with too much."""

    sips: tuple[Sip, ...]
    pours: tuple[BottleFill, ...]
    violations: tuple[Violation, ...]


def place_sips(
    demand: Demand,
    hands: Hands,
    road: Road,
    drinks: DrinkPlan,
    bites: Sequence[Bite],
    rider: Rider,
    pantry: Pantry,
) -> SipPlan:
    """Return where to drink, how much and from which bottle.

    Parameters
    ----------
    demand : sweat and clock along the road
    hands, road : where a hand may leave the bars; the road as the rules see it
    drinks : what the bottles hold from refill to refill and what may be drunk by when
    bites : food already placed, in road order
    rider, pantry : mouthful, gut limit; items and bottles

    Notes
    -----
    Places first: a sip after each bite, one just before each refill, and between them as many as
    keep the gap and the draught small. Then amounts, in road order: up to the planned curve
    half-way to the next sip, within what the bottle holds, sweat plus 500 ml, 1 l in an hour and
    the gut's limit for carbohydrate.
    """
    way = open_road(demand, hands, road, bites, rider)
    levels = BottleLevels(pantry)
    limits = DrinkLimits(demand, bites, rider, pantry)
    hunger = hunger_of(road, bites)
    sips: list[Sip] = []
    for leg in drinks.legs:
        poured = len(levels.pours)
        levels.fill(leg)
        _say_what_is_finished(sips, {pour.container for pour in levels.pours[poured:]}, leg)
        places = find_sip_places(way, leg, drinks, bites, _draught_ml(rider))
        ration_ml = _ration_ml(places, levels.in_reach_ml, rider)
        for index, place in enumerate(places):
            ahead = places[index + 1 :]
            wanted_ml = _wanted_ml(demand, drinks, leg, place, ahead, limits, rider)
            kept_ml = ration_ml * sum(other.kind == "bite" for other in ahead)
            if place.kind == "bite":
                wanted_ml = max(wanted_ml, ration_ml)
            free_ml = max(levels.in_reach_ml - kept_ml, ration_ml if place.kind == "bite" else 0.0)
            # Between bites the next bite's mouthful stays allowed, by the hour and by the sweat.
            room_ml = limits.fluid_room_ml(place.clock_s) - (0.0 if place.kind == "bite" else ration_ml)
            soon = sum(0.0 < bite.clock_s - place.clock_s <= HOUR_S for bite in bites)
            next_s = ahead[0].clock_s if ahead else way.clock_at(leg.end_m) + LAST_SIP_WAITS_S
            food_g = hunger.wanted_g(place.clock_s, next_s)
            drops = levels.last_drops() if not ahead and leg is not drinks.legs[-1] else None
            given_ml = min(wanted_ml, free_ml, room_ml)
            # Of what the bites ahead need for their mouthfuls, nothing ends a gap.
            sip = _take(place, given_ml, min(room_ml, free_ml), food_g, soon, levels, limits, rider, drops)
            if sip is not None:
                sips.append(sip)
                hunger.add(place.clock_s, sip.draught.carbohydrate_g)
        if leg is not drinks.legs[-1]:
            sips += _last_drops(way, leg, sips, levels, limits)
    violations = (*_bites_without_drink(bites, sips, pantry), *_too_much_fluid(demand, bites, sips, pantry))
    return SipPlan(tuple(sips), tuple(levels.pours), violations)


def _last_drops(
    way: OpenRoad, leg: Leg, sips: list[Sip], levels: BottleLevels, limits: DrinkLimits
) -> list[Sip]:
    """Return the sip that empties a bottle on the way into a halt, where powder wants an empty one."""
    drops = levels.last_drops()
    at_m = leg.end_m - INTO_THE_HALT_M
    if drops is None or levels.is_empty(drops[0]) or not way.is_clear(at_m):
        return []
    if at_m <= max(leg.start_m, sips[-1].place.distance_m if sips else 0.0):
        return []
    place = SipPlace(at_m, way.clock_at(at_m), "refill")
    room_ml = min(limits.fluid_room_ml(place.clock_s), LAST_MOUTHFULS_ML)
    if drops[1] > room_ml or drops[1] * drops[2] > limits.carbohydrate_room_g(place.clock_s):
        return []
    draught = levels.take(drops[0], drops[1])
    limits.add(place.clock_s, draught)
    return [Sip(place, draught, 1, emptied=True)]


def _say_what_is_finished(sips: list[Sip], filled: set[str], leg: Leg) -> None:
    """Mark the last sip before a halt where it has emptied a bottle that is filled there."""
    if not sips or leg.refill is None or leg.refill.kind != "tap":
        return
    last = sips[-1]
    if last.place.kind == "refill" and last.emptied and last.draught.container in filled:
        sips[-1] = replace(last, finishes=True)


def mouthful_g(drinks: DrinkPlan, rider: Rider, pantry: Pantry) -> float:
    """Return the carbohydrate in a mouthful of the strongest drink of the plan [g].

    By about this much the sips, which come one by one, may run ahead of the smooth curve that
    food is placed against; where an hour becomes too full all the same, water is drunk instead.
    """
    loaded = {load.item for leg in drinks.legs for load in leg.loads}
    per_ml = (millilitre_of(pantry.item(name)).carbohydrate_g for name in loaded)
    return rider.habits.sip_ml * max(per_ml, default=0.0)


def _draught_ml(rider: Rider) -> float:
    return max(DRAUGHT_ML, rider.habits.sip_ml)


def _ration_ml(places: list[SipPlace], in_reach_ml: float, rider: Rider) -> float:
    """Return the mouthful each bite is sure of: the habit, or an equal share of a leg's last drops [ml]."""
    bites = sum(place.kind == "bite" for place in places)
    return min(rider.habits.sip_ml, in_reach_ml / bites) if bites else 0.0


def _wanted_ml(
    demand: Demand,
    drinks: DrinkPlan,
    leg: Leg,
    place: SipPlace,
    ahead: list[SipPlace],
    limits: DrinkLimits,
    rider: Rider,
) -> float:
    """Return what brings the drink up to the planned curve half-way to the next sip [ml]."""
    clock_s = demand.pace.clock_s
    if ahead:
        upto_s = 0.5 * (place.clock_s + ahead[0].clock_s)
        due_ml = float(np.interp(upto_s, clock_s, drinks.fluid_ml))
    else:
        due_ml = float(np.interp(leg.end_m, demand.pace.distance_m, drinks.fluid_ml))
    wanted_ml = min(due_ml - limits.drunk_ml(place.clock_s), _draught_ml(rider))
    mouthful_ml = rider.habits.sip_ml
    whole_ml = max(0.0, math.floor(wanted_ml / mouthful_ml + 0.5) * mouthful_ml)
    # The last sip of a leg takes what is left, unless that is less than half a mouthful.
    return wanted_ml if whole_ml > 0.0 and not ahead else whole_ml


def _take(
    place: SipPlace,
    wanted_ml: float,
    most_ml: float,
    food_g: float,
    bites_soon: int,
    levels: BottleLevels,
    limits: DrinkLimits,
    rider: Rider,
    drops: tuple[str, float, float] | None = None,
) -> Sip | None:
    """Drink from the bottle that gives most of what is wanted; less than a mouthful is nothing.

    The gut's room for carbohydrate is shared with the least mouthfuls of the bites of the next hour.
    Where drink has to end a gap, ``food_g`` being what this draught must bring, it comes from the
    bottle with carbohydrate, more than was wanted if need be. ``drops`` are the last of a bottle that
    should be empty before it is filled.
    """
    room_g = limits.carbohydrate_room_g(place.clock_s)
    own_ml = LEAST_MOUTHFUL_ML if place.kind == "bite" else 0.0
    best: tuple[str, float] | None = None
    choices = levels.choices(place.kind == "bite")
    if food_g > 0:
        strong = [choice for choice in choices if min(choice[1], MOST_TO_FEED_ML) * choice[2] >= food_g]
        mixed = [choice for choice in choices if choice[2] > 0 and choice[1] >= LEAST_MOUTHFUL_ML]
        feeding = strong or mixed
        choices = feeding or choices
    if drops is not None and drops[1] * drops[2] >= food_g:
        choices, wanted_ml = [drops], min(max(wanted_ml, drops[1]), most_ml)
    for name, held_ml, g_per_ml in choices:
        given_ml = min(wanted_ml, held_ml)
        if food_g > 0 and g_per_ml > 0:
            fed_ml = max(food_g / g_per_ml, LEAST_MOUTHFUL_ML, min(wanted_ml, rider.habits.sip_ml))
            given_ml = min(fed_ml, most_ml, held_ml, max(wanted_ml, MOST_TO_FEED_ML))
        if g_per_ml > 0:
            room_ml = room_g / g_per_ml
            shared_ml = max(room_ml - bites_soon * LEAST_MOUTHFUL_ML, min(room_ml, own_ml))
            given_ml = min(given_ml, shared_ml)
        if best is None or given_ml > 1.6 * best[1]:
            best = (name, given_ml)
    if best is None or best[1] < LEAST_MOUTHFUL_ML - 1e-9:
        return None
    draught = levels.take(*best)
    limits.add(place.clock_s, draught)
    mouthfuls = max(1, round(draught.fluid_ml / rider.habits.sip_ml))
    return Sip(place, draught, mouthfuls, emptied=levels.is_empty(draught.container))


def _bites_without_drink(bites: Sequence[Bite], sips: Sequence[Sip], pantry: Pantry) -> tuple[Violation, ...]:
    """Return one violation for the bites that neither bring fluid nor have a sip in time."""
    sip_s = np.array([sip.place.clock_s for sip in sips])
    dry = [
        bite
        for bite in bites
        if bite_fluid_ml(bite, pantry) <= 0.0
        and not np.any((sip_s > bite.clock_s) & (sip_s <= bite.clock_s + DRINK_WITHIN_S.value))
    ]
    if not dry:
        return ()
    sentence = fact("no_drink_with_bites", count=len(dry))
    if len(dry) == 1:
        sentence = fact("no_drink_with_bite", item=dry[0].item)
    first_m, last_m = dry[0].distance_m, dry[-1].distance_m
    return (broken(DRINK_WITHIN_S, first_m, last_m, float(len(dry)), "bites", sentence),)


def _too_much_fluid(
    demand: Demand, bites: Sequence[Bite], sips: Sequence[Sip], pantry: Pantry
) -> tuple[Violation, ...]:
    """Return a violation where food that is half a drink brings more than an hour or the sweat allows."""
    taken = sorted(
        [(bite.clock_s, bite.distance_m, bite_fluid_ml(bite, pantry)) for bite in bites]
        + [(sip.place.clock_s, sip.place.distance_m, sip.draught.fluid_ml) for sip in sips]
    )
    at_s, at_m, fluid_ml = np.array(taken, dtype=np.float64).reshape(-1, 3).T
    drunk_ml = np.concatenate(([0.0], np.cumsum(fluid_ml)))
    hour_ml = drunk_ml[1:] - drunk_ml[np.searchsorted(at_s, at_s - HOUR_S)]
    ahead_ml = drunk_ml[1:] - np.interp(at_s, demand.pace.clock_s, demand.sweat_ml)
    over_ml = np.maximum(hour_ml - HOUR_ML.value, ahead_ml - OVER_SWEAT_ML.value)
    over = np.flatnonzero(over_ml > 0.0)
    if over.size == 0:
        return ()
    most_ml = float(over_ml.max())
    sentence = fact("fluid_in_food", over_ml=most_ml)
    first = int(np.searchsorted(at_s, at_s[over[0]] - HOUR_S))
    return (broken(HOUR_ML, float(at_m[first]), float(at_m[over[-1]]), most_ml, "ml", sentence),)
