"""What would help, found by trying it on the same rides."""

from collections.abc import Callable

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.luck import Advice
from terrain_fuel.pantry import Item
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.outcome import Change, Course, Outcome, ride_course

OnShare = Callable[[float], None]

WORTH_SAYING = 0.01
"""A share of rides; in whole per cents, as it is told, it is more too."""

MOST_ADVICE = 3
BOTTLE_ML = 500.0
EARLIEST_CLOCK_SHARE, LATEST_CLOCK_SHARE = 0.25, 0.85


def try_changes(course: Course, outcome: Outcome, on_share: OnShare) -> tuple[Advice, ...]:
    """Return the changes that let more rides go well, best first, at most three.

    Parameters
    ----------
    course : the rides
    outcome : how they went as planned
    on_share : told after each what share of all of them has been ridden

    Notes
    -----
    Every change is ridden on the very same draws, so that the difference is the change's own.
    """
    before = float(np.mean(outcome.all_well))
    tried = []
    changes = _changes(course.plan)
    for ridden, (said, change) in enumerate(changes, start=1):
        after = float(np.mean(ride_course(course, change).all_well))
        if after - before >= WORTH_SAYING and round(100 * after) > round(100 * before):
            sentence = fact("advice", change=said, before_share=before, after_share=after)
            tried.append(Advice(said, before, after, sentence))
        # the rides as planned were the first of all
        on_share((ridden + 1) / (len(changes) + 1))
    best = sorted(tried, key=lambda advice: -advice.after)
    return tuple(best[:MOST_ADVICE])


def _changes(plan: Plan) -> list[tuple[Fact, Change]]:
    """Return what is tried, the simplest first."""
    changes = [
        (fact("larger_mouthfuls"), Change(mouthful_factor=1.25)),
        (fact("more_bottle", bottle_ml=BOTTLE_ML), Change(drink_ml=BOTTLE_ML)),
        (
            fact("more_bottle_larger_mouthfuls", bottle_ml=BOTTLE_ML),
            Change(drink_ml=BOTTLE_ML, mouthful_factor=1.25),
        ),
    ]
    for item in sorted(_light_foods(plan), key=lambda food: food.name):
        for place_m in sorted(_gap_middles_m(plan)[:2]):
            said = fact("more_food", item=item.name, place_m=place_m)
            changes.append((said, Change(eat_m=place_m, eat_g=item.portion_carbohydrate_g)))
    return changes


def _gap_middles_m(plan: Plan) -> list[float]:
    """Return the places in the middle of the longest gaps between food where a hand is free [m]."""
    finish_s = plan.pace.elapsed_s
    eats = [point.time_s for point in plan.fuel_points if point.action == "eat"]
    edges = np.array([0.0, *eats, finish_s])
    middles = 0.5 * (edges[1:] + edges[:-1])
    inside = (middles > EARLIEST_CLOCK_SHARE * finish_s) & (middles < LATEST_CLOCK_SHARE * finish_s)
    order = np.argsort(-np.diff(edges), kind="stable")
    free = np.flatnonzero(~plan.hands.veto)
    if free.size == 0:
        return []
    places = []
    for index in order:
        if inside[index]:
            node = int(np.searchsorted(plan.pace.clock_s[free], middles[index]).clip(0, free.size - 1))
            places.append(float(plan.pace.distance_m[free[node]]))
    return places


def _light_foods(plan: Plan) -> list[Item]:
    """Return the richest food of each kind without caffeine: what one would buy one more of."""
    richest: dict[str, Item] = {}
    for item in plan.pantry.items:
        if item.is_food and item.caffeine_mg == 0:
            best = richest.get(item.kind)
            if best is None or item.portion_carbohydrate_g > best.portion_carbohydrate_g:
                richest[item.kind] = item
    return list(richest.values())
