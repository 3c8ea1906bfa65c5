"""Rain before the descent: more of the road wants both hands, and the bites there move."""

from dataclasses import replace

from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.find import find_cautions
from terrain_fuel.hands.score import score_hands
from terrain_fuel.mishaps.differences import MOST_TOLD, bites_of
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.planner import replan
from terrain_fuel.work import Work

LESS_FREE = 0.5
SAME_PLACE_M = 200.0
NOTICED_S = 60.0
"""Less than a minute later is not told."""


def rain(plan: Plan, work: Work) -> Fact | None:
    """Return which bites move on a wet road; None where it is wet anyway or nowhere goes down.

    The day is planned anew only if a bite stands where the wet wants both hands, or where it leaves
    less than half of the freedom that a dry road does.
    """
    day = replace(plan.day, surface_wet=True)
    if plan.day.surface_wet or all(stretch.kind != "descent" for stretch in plan.terrain.stretches):
        return None
    pace = set_pace(plan.terrain, plan.rider, day)
    hands = score_hands(pace, find_cautions(pace, plan.rider, day), plan.rider, day)
    slower = _slower(pace.moving_time_s - plan.pace.moving_time_s)
    shut = hands.veto | (hands.score < LESS_FREE * plan.hands.score)
    node = plan.terrain.profile.node
    in_doubt = [bite for bite in bites_of(plan) if shut[node(bite.distance_m)]]
    wet = replan(plan, plan.rider, plan.pantry, day, care="bites", work=work) if in_doubt else plan
    moves = tuple(move for bite in in_doubt if (move := _move(bite, wet)) is not None)
    if not moves:
        return fact("mishap_rain_nothing_moves", slower=slower)
    rest = len(moves) - MOST_TOLD
    return fact(
        "mishap_rain",
        moves=moves[:MOST_TOLD],
        others=fact("rain_and_more", count=rest) if rest > 0 else NOTHING,
        slower=slower,
    )


def _slower(later_s: float) -> Fact:
    """Return by how much the ride takes longer, if a rider notices it."""
    return fact("rain_slower", later_s=later_s) if later_s >= NOTICED_S else NOTHING


def _move(bite: FuelPoint, wet: Plan) -> Fact | None:
    """Return where a bite goes in the wet: to the nearest of that day's plan; None where it stays."""
    places_m = [other.distance_m for other in bites_of(wet)]
    if not places_m:
        return fact("rain_leave_out", item=bite.item, from_m=bite.distance_m)
    to_m = min(places_m, key=lambda place_m: abs(place_m - bite.distance_m))
    if abs(to_m - bite.distance_m) < SAME_PLACE_M:
        return None
    return fact("rain_move", item=bite.item, from_m=bite.distance_m, to_m=to_m)
