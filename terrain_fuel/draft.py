"""One plan under given settings, as it comes: nothing is tried against what it cannot keep."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from terrain_fuel.assembly.changes import change_notices
from terrain_fuel.assembly.plan import Prepared, assemble_plan, state_optimality
from terrain_fuel.bottles.drink_as_food import drink_as_food
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.food_stops import first_shop_m
from terrain_fuel.bottles.refills import choose_refills
from terrain_fuel.bottles.sleep import choose_sleeps, hold_caffeine
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.intake import is_full_race
from terrain_fuel.drink.sips import mouthful_g, place_sips
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.food.kept_back import choose_reserve
from terrain_fuel.food.model import Care, FoodPlan
from terrain_fuel.food.pins import Pin
from terrain_fuel.food.place import bound_food, place_food, within_reach
from terrain_fuel.hands.score import score_hands
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.pace.stops import awake, with_sleep, with_stops
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.rules.road import survey_road

FULL_LUMP_SHARE = 0.25
"""In a race that fills the gut's hours sips give way to the last grams: common practice (no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A plan, the food in it and what was known before it had its place."""

    plan: Plan
    food: FoodPlan
    ready: Prepared


def draft_plan(
    ridden: RiddenRoad, pantry: Pantry, halts: Sequence[Stop] = (), *, care: Care = "whole"
) -> Draft:
    """Return the plan of a ridden road; ``halts`` are made beside those of the plan."""
    return place(prepare(ridden, pantry, halts), care=care)


def prepare(ridden: RiddenRoad, pantry: Pantry, halts: Sequence[Stop] = ()) -> Prepared:
    """Return what is known of a ride before food and sips have their places."""
    rider, day = ridden.rider, ridden.day
    sleeps = choose_sleeps(ridden.pace, day)
    bare = awake(ridden.pace, sleeps)
    need = drink_as_food(estimate_demand(bare, rider, day), rider, pantry)
    cautions = find_cautions(with_sleep(bare, sleeps), rider, day)
    refills = choose_refills(need, cautions, pantry, day, sleeps)
    pace = with_stops(bare, [*(refill.stop for refill in refills), *halts])
    demand = hold_caffeine(drink_as_food(estimate_demand(pace, rider, day), rider, pantry), sleeps)
    hands = score_hands(pace, find_cautions(with_sleep(pace, sleeps), rider, day), rider, day)
    drinks = plan_drinks(demand, refills, rider, pantry, day)
    shop_m = first_shop_m(refills, demand, pantry)
    reserved = choose_reserve(demand, pantry, day, float(drinks.carbohydrate_g[-1]), shop_m)
    road = within_reach(survey_road(demand, hands, drinks.carbohydrate_g, rider, day), pantry)
    return Prepared(demand, hands, road, drinks, reserved, rider, pantry, day, sleeps)


def place(
    ready: Prepared,
    pins: Sequence[Pin] = (),
    previous: FoodPlan | None = None,
    *,
    care: Care = "whole",
) -> Draft:
    """Return the plan once food and sips have their places."""
    food = place_food(
        ready.road,
        ready.pantry,
        ready.rider,
        pins,
        lump_g=_lump_g(ready),
        reserved=ready.reserved,
        previous=previous,
        care=care,
    )
    sips = place_sips(
        ready.demand,
        ready.hands,
        ready.road,
        ready.drinks,
        food.bites,
        ready.rider,
        ready.pantry,
        fills_hours=is_full_race(ready.demand, ready.rider, ready.day),
    )
    changes = change_notices(previous.bites, food.bites) if previous is not None else ()
    return Draft(assemble_plan(ready, food, sips, changes), food, ready)


def with_bound(draft: Draft) -> Plan:
    """Return the plan of a draft with how much better any plan could be."""
    food = bound_food(draft.ready.road, draft.ready.pantry, draft.food)
    return replace(draft.plan, optimality=state_optimality(food))


def _lump_g(ready: Prepared) -> float:
    """Return what stays free under the gut's limit for a sip that comes before a bite [g]."""
    share = FULL_LUMP_SHARE if is_full_race(ready.demand, ready.rider, ready.day) else 1.0
    return share * mouthful_g(ready.drinks, ready.rider, ready.pantry)
