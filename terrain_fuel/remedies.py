"""What a broken rule or a limit may name: small changes to a rider's files, the smallest first."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from terrain_fuel.bottles.share import usable_foods
from terrain_fuel.day import Day, Feed
from terrain_fuel.facts import fact
from terrain_fuel.kitchen_changes import Change, cut_finer, quiet_changes
from terrain_fuel.limits import (
    DRINK_WITHIN_S,
    LOSS_MOST_SHARE,
    LOSS_SHARE,
    OVER_GAP_MIN,
    OVERFULL,
)
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.ranges import within_range
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, Rider

SHORT_OF_FOOD = ("stock", "drink strength")
"""What limits a plan that more to eat would help: no food is left, whether or not there is mix."""

GAP_STEP_MIN = 5.0
LEAST_RHYTHM_MIN = 10.0
LEAST_FIRST_MIN, FIRST_STEP_MIN = 15.0, 15.0
LONGEST_GAP_MIN = 120.0
LIMIT_STEP_G_PER_H = 10.0
EXTRA_FEED_MIN = 3.0


def remedies(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield the changes to a rider's files that may clear a broken rule, the smallest first."""
    rider, pantry, day = plan.rider, plan.pantry, plan.day
    if broken.name == OVER_GAP_MIN.name:
        yield from _longer_gap(broken, plan)
    elif broken.name in (LOSS_SHARE.name, DRINK_WITHIN_S.name):
        yield from _one_more_tap(broken, plan)
    elif broken.name == LOSS_MOST_SHARE.name:
        yield from _tap_on_longest_leg(plan)
    elif broken.name == OVERFULL.name:
        holds = within_range(Container, "holds_items", int(broken.amount))
        pocket = Container(f"pocket {len(pantry.containers) + 1}", "pocket", holds_items=holds)
        told = fact("add_pocket", name=pocket.name, items=holds)
        yield Change(told, rider, replace(pantry, containers=(*pantry.containers, pocket)), day)


def more_carbohydrate(plan: Plan) -> Iterator[Change]:
    """Yield the changes that may bring a plan nearer to what is wanted: by what limits it, then the others.

    What is done in the kitchen comes before the rider's habits, and those before the gut.
    """
    rider, pantry, day, limited_by = plan.rider, plan.pantry, plan.day, plan.totals.limited_by
    if limited_by == "drink strength" and not usable_foods(pantry):
        yield from _tap_on_longest_leg(plan)
    elif limited_by in SHORT_OF_FOOD:
        yield from _more_at_home(plan)
    own = {"gut": _higher_limit, "rhythm": _oftener, "time": _sooner}.get(limited_by)
    if own is not None:
        yield from own(rider, pantry, day)
    if limited_by == "portions":
        yield from quiet_changes(rider, pantry, day)
    elif limited_by not in SHORT_OF_FOOD and (cut := cut_finer(rider, pantry, day)) is not None:
        yield cut
    for further in (_higher_limit, _oftener, _sooner):
        if further is not own:
            yield from further(rider, pantry, day)


def _more_at_home(plan: Plan) -> Iterator[Change]:
    """Yield so much more of what is most at hand as is missing."""
    item, totals = _most_at_hand(plan.pantry), plan.totals
    if item is not None:
        missing_g_per_h = totals.carbohydrate_wanted_g_per_h - totals.carbohydrate_g_per_h
        missing = math.ceil(totals.elapsed_s / 3600.0 * missing_g_per_h / max(item.carbohydrate_g, 1.0))
        count = within_range(item, "count", item.count + missing)
        told = fact("raise_count", item=item.name, count=count)
        yield Change(told, plan.rider, _with_count(plan.pantry, item.name, count), plan.day)


def _higher_limit(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a gut trained to a little more; without opting in no more than most guts take."""
    limit = min(rider.carbohydrate_limit_g_per_h + LIMIT_STEP_G_PER_H, OPT_IN_ABOVE_G_PER_H)
    raised = replace(rider, carbohydrate_limit_g_per_h=max(limit, rider.carbohydrate_limit_g_per_h))
    if raised.gut_limit_g_per_h > rider.gut_limit_g_per_h:
        yield Change(fact("raise_limit", limit_g_per_h=limit), raised, pantry, day)


def _oftener(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a quicker rhythm."""
    every_min = max(LEAST_RHYTHM_MIN, rider.habits.eat_every_min - GAP_STEP_MIN)
    if every_min < rider.habits.eat_every_min:
        often = replace(rider, habits=replace(rider.habits, eat_every_min=every_min))
        yield Change(fact("eat_oftener", every_min=every_min), often, pantry, day)


def _sooner(rider: Rider, pantry: Pantry, day: Day) -> Iterator[Change]:
    """Yield a first bite that comes sooner, then one as soon as can be with a quicker rhythm."""
    sooner = _first_after(
        max(LEAST_FIRST_MIN, rider.habits.first_food_min - FIRST_STEP_MIN), rider, pantry, day
    )
    soonest = _first_after(LEAST_FIRST_MIN, rider, pantry, day)
    if sooner.rider.habits.first_food_min < rider.habits.first_food_min:
        yield sooner
        for oftener in _oftener(soonest.rider, pantry, day):
            yield replace(oftener, told=fact("one_and_another", first=soonest.told, second=oftener.told))


def _first_after(first_min: float, rider: Rider, pantry: Pantry, day: Day) -> Change:
    """Return the first bite set to come after so many minutes."""
    soon = replace(rider, habits=replace(rider.habits, first_food_min=first_min))
    return Change(fact("eat_sooner", first_min=first_min), soon, pantry, day)


def _most_at_hand(pantry: Pantry) -> Item | None:
    """Return the food without caffeine of which there is most, else the drink; None in an empty kitchen."""
    drinks = [item for item in pantry.items if item.traits.brings_energy]
    plain = [item for item in (*pantry.foods, *drinks) if item.caffeine_mg == 0.0]
    return max(plain, key=lambda item: (item.is_food, item.count), default=None)


def _longer_gap(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield more of the food that is most at hand where little is left of it, then a longer gap.

    No habit brings food that is not there, and each that is tried takes the turn of one that would help.
    """
    rider, pantry, habits = plan.rider, plan.pantry, plan.rider.habits
    if plan.totals.limited_by == "stock":
        yield from _more_at_home(plan)
    worst = max(each.amount for each in plan.violations if each.name == broken.name)
    gap_min = GAP_STEP_MIN * math.ceil((habits.longest_gap_min + worst - OVER_GAP_MIN.value) / GAP_STEP_MIN)
    if gap_min <= LONGEST_GAP_MIN:
        told = fact("longer_gap", gap_min=gap_min)
        longer = replace(rider, habits=replace(habits, longest_gap_min=gap_min))
        yield Change(told, longer, pantry, plan.day)


def _one_more_tap(broken: Violation, plan: Plan) -> Iterator[Change]:
    """Yield one tap more: in the middle of the stretch without, then nearer to its ends; then two."""
    for shares in ((0.5,), (0.3,), (0.7,), (1 / 3, 2 / 3)):
        places_m = [broken.start_m + share * (broken.end_m - broken.start_m) for share in shares]
        kilometres = [round(place_m / 1000.0) for place_m in places_m]
        if all(0 < at_km < plan.terrain.length_m / 1000.0 for at_km in kilometres):
            yield from _with_taps(plan, kilometres)


def _tap_on_longest_leg(plan: Plan) -> Iterator[Change]:
    """Yield one tap more where bottles have to last longest."""
    halts_m = sorted({point.distance_m for point in plan.fuel_points if point.action == "refill"})
    ends_m = [0.0, *halts_m, plan.terrain.length_m]
    start_m, end_m = max(pairwise(ends_m), key=lambda leg: leg[1] - leg[0])
    yield from _with_taps(plan, [round((start_m + end_m) / 2000.0)])


def _with_taps(plan: Plan, kilometres: Sequence[int]) -> Iterator[Change]:
    """Yield the day with a tap at one place or two more, unless they are too far on to be written down."""
    if any(within_range(Feed, "at_km", at_km) < at_km for at_km in kilometres):
        return
    taps = (Feed(at_km=float(at_km), minutes=EXTRA_FEED_MIN) for at_km in kilometres)
    told = fact("add_feed", at_km=kilometres[0])
    if len(kilometres) > 1:
        told = fact("add_two_feeds", first_km=kilometres[0], second_km=kilometres[1])
    yield Change(told, plan.rider, plan.pantry, replace(plan.day, feeds=(*plan.day.feeds, *taps)))


def _with_count(pantry: Pantry, name: str, count: int) -> Pantry:
    items = tuple(replace(item, count=count) if item.name == name else item for item in pantry.items)
    return replace(pantry, items=items)
