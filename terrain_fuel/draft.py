"""One plan under given settings, as it comes: nothing is tried against what it cannot keep."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.assembly.plan import Prepared, assemble_plan, state_optimality
from terrain_fuel.assembly.points import with_told_bites
from terrain_fuel.bottles.drink_as_food import drink_as_food
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.food_stops import first_shop_m
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.bottles.sleep import choose_sleeps, hold_caffeine
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.intake import is_full_race
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.sips import mouthful_g
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.flags.model import Caution
from terrain_fuel.food.kept_back import choose_reserve
from terrain_fuel.food.model import Bite, Care, FoodPlan
from terrain_fuel.food.pins import Pin
from terrain_fuel.food.place import bound_food, may_keep_gaps, place_food, within_reach
from terrain_fuel.food.told import tell_food
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.pace.stops import awake, with_sleep, with_stops
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, FilledBy, FuelPoint, Plan, Violation
from terrain_fuel.pouring import pour_beside
from terrain_fuel.rules.asking import ASKED, USUAL
from terrain_fuel.rules.road import Road, survey_road
from terrain_fuel.work import FOR_PROOF, Work

NODE_NUMBERS = 700
"""What a node of the road counts as work, before food and sips have their places."""


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A plan, the food in it and what was known before it had its place."""

    plan: Plan
    food: FoodPlan
    ready: Prepared


def draft_plan(
    ridden: RiddenRoad,
    pantry: Pantry,
    halts: Sequence[Stop] = (),
    *,
    care: Care = "whole",
    filled_by: FilledBy = "bites",
    work: Work | None = None,
) -> Draft:
    """Return the plan of a ridden road; ``halts`` are made beside those of the plan."""
    return place(prepare(ridden, pantry, halts, filled_by=filled_by, work=work), care=care)


@dataclass(frozen=True, slots=True, eq=False)
class Drunk:
    """What there is to drink beside what is eaten: the clock, what is poured, where it is too little."""

    pace: Pace
    pours: tuple[BottleFill, ...]
    water_gaps: tuple[Violation, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """What is known of a ride with certain halts, whatever is in the kitchen; the clock is that awake."""

    sleeps: tuple[Stop, ...]
    pace: Pace
    demand: Demand
    cautions: tuple[Caution, ...]


@lru_cache(maxsize=2)
def _before_halts(ridden: RiddenRoad) -> _Known:
    """Return what is known of a ride without halts but its sleeps."""
    sleeps = choose_sleeps(ridden.pace, ridden.day)
    return _known(ridden, awake(ridden.pace, sleeps), sleeps)


@lru_cache(maxsize=4)
def _with_halts(ridden: RiddenRoad, halts: tuple[Stop, ...]) -> _Known:
    """Return what is known of a ride with its halts: kitchens tried one after another often share them."""
    bare = _before_halts(ridden)
    if halts == bare.pace.stops:
        return bare
    return _known(ridden, with_stops(bare.pace, halts), bare.sleeps)


def _known(ridden: RiddenRoad, pace: Pace, sleeps: tuple[Stop, ...]) -> _Known:
    rider, day = ridden.rider, ridden.day
    cautions = find_cautions(with_sleep(pace, sleeps), rider, day)
    return _Known(sleeps, pace, estimate_demand(pace, rider, day), cautions)


def wanted_g_per_h(ridden: RiddenRoad) -> float:
    """Return the carbohydrate that is wanted on a ridden road, whatever is in the kitchen [g/h]."""
    return _before_halts(ridden).demand.carbohydrate_wanted_g_per_h


def prepare(
    ridden: RiddenRoad,
    pantry: Pantry,
    halts: Sequence[Stop] = (),
    *,
    filled_by: FilledBy = "bites",
    work: Work | None = None,
) -> Prepared:
    """Return what is known of a ride before food and sips have their places.

    ``filled_by`` is what fills the hours of a race that would fill them; what is done for the plan counts as
    ``work``.
    """
    work = work or Work()
    work.add(NODE_NUMBERS * ridden.pace.clock_s.size)
    rider, day = ridden.rider, ridden.day
    bare = _before_halts(ridden)
    need = drink_as_food(bare.demand, rider, pantry)
    refills = choose_refills(need, bare.cautions, pantry, day, bare.sleeps)
    known = _with_halts(ridden, (*(refill.stop for refill in refills), *halts))
    demand = hold_caffeine(drink_as_food(known.demand, rider, pantry), bare.sleeps)
    hands = score_hands(known.pace, known.cautions, rider, day)
    asking = ASKED[filled_by] if is_full_race(demand, rider, day) else USUAL
    drinks = plan_drinks(demand, refills, rider, pantry, day, mix_share=asking.mix_share)
    road = within_reach(survey_road(demand, hands, drinks.carbohydrate_g, rider, day, asking), pantry)
    reserved = choose_reserve(
        demand,
        pantry,
        day,
        float(drinks.carbohydrate_g[-1]),
        first_shop_m(refills, demand, pantry),
        breath_is_short=road.longest_out_of_breath_s >= road.eat_every_s,
    )
    return Prepared(
        demand, hands, road, drinks, reserved, rider, pantry, day, bare.sleeps, filled_by=filled_by, work=work
    )


def place(
    ready: Prepared,
    pins: Sequence[Pin] = (),
    previous: FoodPlan | None = None,
    *,
    begun: FoodPlan | None = None,
    care: Care = "whole",
) -> Draft:
    """Return the plan once food and sips have their places; ``begun`` is the food of its own draft."""
    food = place_food(
        ready.road,
        ready.pantry,
        ready.rider,
        pins,
        lump_g=_lump_g(ready),
        reserved=ready.reserved,
        previous=previous,
        begun=begun,
        care=care,
        work=ready.work,
    )
    poured = pour_beside(ready, food.bites)
    changes = change_notices(previous.bites, food.bites) if previous is not None else ()
    return Draft(assemble_plan(poured.ready, food, poured.sips, changes), food, ready)


def drink_beside(
    ridden: RiddenRoad,
    pantry: Pantry,
    eaten: Sequence[FuelPoint],
    *,
    filled_by: FilledBy,
    work: Work | None = None,
) -> Drunk:
    """Return what there is to drink on a ridden road where what is eaten stands already."""
    ready = prepare(ridden, pantry, filled_by=filled_by, work=work)
    poured = pour_beside(ready, [_as_bite(point, ready.road) for point in eaten])
    return Drunk(ready.demand.pace, poured.sips.pours, poured.ready.drinks.violations)


def _as_bite(point: FuelPoint, road: Road) -> Bite:
    """Return what is eaten at a point as a bite by the clock of another day on its road."""
    node = int(np.searchsorted(road.distance_m, point.distance_m))
    return Bite(
        place=node,
        distance_m=point.distance_m,
        clock_s=float(road.clock_s[node]),
        item=point.item,
        portions=point.portions,
        carbohydrate_g=point.carbohydrate_g,
        caffeine_mg=point.caffeine_mg,
        window_start_m=point.window_start_m,
        window_end_m=point.window_end_m,
        rules=point.rules,
        reason=point.reason,
    )


def may_keep_every_gap(ready: Prepared) -> bool:
    """Return whether food and drink leave any plan a way to keep the rider's longest gap."""
    return may_keep_gaps(
        ready.road,
        ready.pantry,
        ready.rider,
        lump_g=_lump_g(ready),
        reserved=ready.reserved,
        work=ready.work,
    )


def told(draft: Draft) -> Draft:
    """Return a draft whose bites have their windows, reasons and alternatives."""
    food = tell_food(draft.ready.road, draft.food)
    plan = replace(draft.plan, fuel_points=with_told_bites(draft.plan.fuel_points, food.bites))
    return replace(draft, plan=plan, food=food)


def with_bound(draft: Draft) -> Plan:
    """Return the plan of a draft with how much better any plan could be."""
    food = draft.food
    with draft.ready.work.up_to(FOR_PROOF, "proof"):
        food = bound_food(draft.ready.road, draft.ready.pantry, food)
    return replace(draft.plan, optimality=state_optimality(food))


def _lump_g(ready: Prepared) -> float:
    """Return what stays free under the gut's limit for a sip that comes before a bite [g]."""
    return ready.road.asking.mouthful_free * mouthful_g(ready.drinks, ready.rider, ready.pantry)
