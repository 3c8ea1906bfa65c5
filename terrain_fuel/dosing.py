"""Caffeine that the rider allows, asked of one bite of a plan that has found no room for it."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice, pairwise

from terrain_fuel.assembly.plan import Prepared
from terrain_fuel.comparing import KEPT_SHARE, mendable
from terrain_fuel.draft import Draft, place
from terrain_fuel.kitchen_changes import doses_halved
from terrain_fuel.plan import Plan
from terrain_fuel.rules.order import ACTS_SHARE
from terrain_fuel.work import FOR_CHANGES

CAFFEINE_FROM_S = 5400.0
"""On shorter rides caffeine may stay at home (common practice, no source)."""


def with_caffeine(draft: Draft, most_plans: int) -> Draft:
    """Return a plan with the caffeine that the rider allows and has at hand, where little else is given up.

    What the gut takes in an hour may leave no room for a whole dose beside small bites: then one of them is
    asked to be it, the last that it can act from or the first, and next a dose is cut as they are. Nobody is
    talked into what would keep them awake. No more than ``most_plans`` are tried.
    """
    if not _misses_caffeine(draft):
        return draft
    for asked in islice(_asked_for_caffeine(draft), most_plans):
        with asked.work.up_to(FOR_CHANGES, "changes"):
            tried = place(asked, care="draft")
            if _holds_caffeine(tried.plan, draft.plan):
                finished = place(asked, begun=tried.food, care="bites")
                return finished if _holds_caffeine(finished.plan, draft.plan) else tried
    return draft


def _asked_for_caffeine(draft: Draft) -> Iterator[Prepared]:
    """Yield what is known of a ride with one of its bites asked to be caffeine."""
    ready, road = draft.ready, draft.ready.road
    times_s = [bite.clock_s for bite in draft.food.bites if bite.clock_s <= ACTS_SHARE * road.elapsed_s]
    in_time = [at for at in times_s if any(start <= at <= end for start, end in road.caffeine_spans_s)]
    halved = doses_halved(ready.rider, ready.pantry, ready.day)
    kitchens = [ready]
    if halved is not None:
        kitchens.append(replace(ready, pantry=halved.pantry, told=(*ready.told, halved.told)))
    for known in kitchens:
        for at_s in dict.fromkeys((*in_time[-1:], *in_time[:1])):
            due_s = (at_s - road.eat_every_s / 2, at_s + road.eat_every_s / 2)
            yield replace(known, road=replace(road, asking=replace(road.asking, caffeine_due_s=due_s)))


def _misses_caffeine(draft: Draft) -> bool:
    """Return whether a ride on which caffeine could act holds none of what is at hand."""
    road, plan = draft.ready.road, draft.plan
    dose_mg = min(road.caffeine_mg_max, road.caffeine_mg_single)
    at_hand = any(0.0 < item.caffeine_mg / item.portions <= dose_mg for item in draft.ready.pantry.foods)
    return at_hand and plan.totals.caffeine_mg == 0.0 and plan.totals.elapsed_s >= CAFFEINE_FROM_S


def _holds_caffeine(plan: Plan, without: Plan) -> bool:
    """Return whether a plan holds caffeine, breaks no more than one without, brings about as much."""
    kept = plan.totals.carbohydrate_g >= KEPT_SHARE * without.totals.carbohydrate_g
    allowed_s = max(_longest_without_s(without), 60.0 * plan.rider.habits.longest_gap_min)
    kept &= _longest_without_s(plan) <= allowed_s
    disturbs = "caffeine_sleep" in {each.code for each in plan.warnings}
    return plan.totals.caffeine_mg > 0.0 and kept and not disturbs and mendable(plan) <= mendable(without)


def _longest_without_s(plan: Plan) -> float:
    """Return the longest time from the start, or from one bite to the next, and to the finish [s]."""
    times_s = [point.time_s for point in plan.fuel_points if point.action == "eat"]
    return max(after - before for before, after in pairwise([0.0, *times_s, plan.totals.elapsed_s]))
