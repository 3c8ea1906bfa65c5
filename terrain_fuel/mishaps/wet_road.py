"""Rain before the descent: more of the road wants both hands, and the bites there move."""

from dataclasses import replace

from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.hands.score import score_hands
from terrain_fuel.mishaps.differences import MOST_TOLD, bites_of
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.planner import replan

NOTICED_S = 60.0
"""Less than a minute later is not told."""


def rain(plan: Plan) -> Fact | None:
    """Return which bites move on a wet road; None where it is wet anyway or nowhere goes down.

    The day is planned anew only if a bite stands where the wet wants both hands.
    """
    day = replace(plan.day, surface_wet=True)
    if plan.day.surface_wet or all(stretch.kind != "descent" for stretch in plan.terrain.stretches):
        return None
    pace = set_pace(plan.terrain, plan.rider, day)
    hands = score_hands(pace, find_cautions(pace, plan.rider, day), plan.rider, day)
    slower = _slower(pace.moving_time_s - plan.pace.moving_time_s)
    profile = plan.terrain.profile
    shut = [bite for bite in bites_of(plan) if hands.veto[profile.node(bite.distance_m)]]
    if not shut:
        return fact("mishap_rain_nothing_moves", slower=slower)
    wet = replan(plan, plan.rider, plan.pantry, day)
    rest = len(shut) - MOST_TOLD
    return fact(
        "mishap_rain",
        moves=tuple(_move(bite, wet) for bite in shut[:MOST_TOLD]),
        others=fact("rain_and_more", count=rest) if rest > 0 else NOTHING,
        slower=slower,
    )


def _slower(later_s: float) -> Fact:
    """Return by how much the ride takes longer, if a rider notices it."""
    return fact("rain_slower", later_s=later_s) if later_s >= NOTICED_S else NOTHING


def _move(bite: FuelPoint, wet: Plan) -> Fact:
    """Return where a bite goes whose place is shut in the wet: to the nearest of the plan of that day."""
    places_m = [other.distance_m for other in bites_of(wet)]
    if not places_m:
        return fact("rain_leave_out", item=bite.item, from_m=bite.distance_m)
    to_m = min(places_m, key=lambda place_m: abs(place_m - bite.distance_m))
    return fact("rain_move", item=bite.item, from_m=bite.distance_m, to_m=to_m)
