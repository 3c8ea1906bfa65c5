"""Mishaps with when and what to eat: a halt of 20 min that nobody planned; a stomach that turns."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import numpy as np

from terrain_fuel.assembly.kitchen import names_taken
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.mishaps.differences import MOST_TOLD, bites_of, half_way_m
from terrain_fuel.pace.model import Stop
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import replan
from terrain_fuel.work import Work

# Common practice (no source).
LATE_S = 1200.0
"""A puncture, or a train that shuts the road."""
STANDING_M = 300.0
"""What is eaten this near to the halt is eaten standing."""
HALVED = 0.5
SMALL_BITE_G = 20.0
"""What a turned stomach may take again: soft, and no larger than this."""
LEAST_LIMIT_G_PER_H = 20.0
TASTE_G_PER_H = 5.0
"""Less is no food: then water is what there is."""


def late(plan: Plan, work: Work) -> Fact:
    """Return what to do about a halt of 20 min that nobody planned, half-way."""
    half_m = half_way_m(plan)
    halt = Stop(half_m, LATE_S, "")
    other = replan(plan, plan.rider, plan.pantry, plan.day, [halt], care="draft", work=work)
    near = [bite for bite in bites_of(other) if abs(bite.distance_m - half_m) <= STANDING_M]
    extra = len(bites_of(other)) - len(bites_of(plan))
    home = plan.day.start + timedelta(seconds=other.pace.elapsed_s)
    return fact(
        "mishap_late",
        minutes=LATE_S / 60.0,
        half_m=half_m,
        eat=fact("late_eat_standing", item=near[0].item) if near else NOTHING,
        bites=_bites_more_or_less(extra),
        home=home,
        lights=fact("late_lights") if other.daylight is not None and other.daylight.finish_dark else NOTHING,
    )


def _bites_more_or_less(extra: int) -> Fact:
    if extra > 0:
        return fact("late_bites_more", count=extra)
    return fact("late_bites_less", count=-extra) if extra < 0 else fact("late_bites_same")


def stomach_turned(plan: Plan, work: Work) -> Fact | None:
    """Return what to take and leave out once the stomach turns; None where nothing is eaten from half-way."""
    half_m = half_way_m(plan)
    planned = [bite for bite in bites_of(plan) if bite.distance_m >= half_m]
    if not planned:
        return None
    limit_g_per_h = max(LEAST_LIMIT_G_PER_H, HALVED * plan.rider.gut_limit_g_per_h)
    habits = replace(plan.rider.habits, carbohydrate_target_g_per_h=None)
    rider = replace(plan.rider, carbohydrate_limit_g_per_h=limit_g_per_h, caffeine_mg_max=0.0, habits=habits)
    kitchen = Pantry(tuple(_gentle(plan)), plan.pantry.containers)
    other = replan(plan, rider, kitchen, plan.day, care="draft", work=work)
    kept = tuple(dict.fromkeys(bite.item for bite in bites_of(other) if bite.distance_m >= half_m))
    dropped = tuple(dict.fromkeys(bite.item for bite in planned if bite.item not in kept))
    calm = fact("stomach_water")
    if (rate_g_per_h := _rate_after(other, half_m)) >= TASTE_G_PER_H:
        calm = fact(
            "stomach_calm",
            rate_g_per_h=rate_g_per_h,
            small=fact("stomach_small", items=kept[:MOST_TOLD]) if kept else fact("stomach_drink_only"),
            dropped=fact("stomach_leave_out", items=dropped[:MOST_TOLD]) if dropped else NOTHING,
        )
    return fact("mishap_stomach", next_m=planned[0].distance_m, item=planned[0].item, calm=calm)


def _gentle(plan: Plan) -> Iterator[Item]:
    """Yield what a turned stomach may take again, of what is carried or handed up, and what bottles hold."""
    taken = names_taken(plan.fuel_points, plan.packing)
    for item in plan.pantry.items:
        is_gentle = not item.is_food or (item.soft and item.portion_carbohydrate_g <= SMALL_BITE_G)
        if is_gentle and (item.traits.endless or item.name in taken):
            yield item


def _rate_after(plan: Plan, from_m: float) -> float:
    """Return the carbohydrate an hour that a plan brings from a place on [g/h]."""
    timeline = plan.timeline
    columns = (timeline.carbohydrate_eaten_g, timeline.time_s)
    eaten_g, time_s = (column[-1] - np.interp(from_m, timeline.distance_m, column) for column in columns)
    return float(3600.0 * eaten_g / time_s)
