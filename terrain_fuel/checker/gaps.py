"""Rule 6: never longer without food than the rider said; drink that brings enough carbohydrate is food."""

from collections.abc import Iterator
from itertools import pairwise

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile

LAST_FOOD_S = 600.0
SHORT_RIDE_S = 4500.0  # little or nothing is needed up to 75 min [ACSM16]
EDGE_S = 0.5
FEEDS_G = 8.0  # drink that has brought so much since the last food ends a gap
OVER_MIN = 2.0  # a gap longer by no more than this is no fault
EDGE_G = 0.003  # amounts are written to a milligram: six sips are that far off at the most


def check_gaps(plan: PlanFile) -> Iterator[Fault]:
    """Return each gap without food that is too long, from the start to the last ten minutes."""
    eats = plan.eats
    if not eats and plan.finish_s <= SHORT_RIDE_S:
        return
    longest_s = 60.0 * plan.habits["longest_gap_min"]
    first_s = max(longest_s, 60.0 * plan.habits["first_food_min"])
    marks = [
        (0.0, 0.0),
        *feedings(plan),
        (max(plan.finish_s - LAST_FOOD_S, 0.0), plan.length_m),
    ]
    for index, ((from_s, from_m), (to_s, to_m)) in enumerate(pairwise(marks)):
        allowed_s = first_s if index == 0 else longest_s
        over_s = to_s - from_s - _asleep_s(plan, from_s, to_s) - allowed_s
        if over_s > 60.0 * OVER_MIN + EDGE_S:
            said = f"{(to_s - from_s) / 60:.1f} min without food; at most {allowed_s / 60:.4g}"
            yield rule_fault(6, (from_m, max(to_m, from_m)), over_s / 60.0, "min", said, "longest_gap")


def _asleep_s(plan: PlanFile, from_s: float, to_s: float) -> float:
    """Return how long of a time the rider sleeps, as far as the clock of the timeline stands still then."""
    asleep_s = 0.0
    for sleep in plan.data.get("sleeps", []):
        stood_s = _stood_s(plan.data["timeline"], sleep["at_m"])
        within_s = min(to_s, sleep["to_s"]) - max(from_s, sleep["from_s"])
        asleep_s += max(0.0, min(within_s, stood_s))
    return asleep_s


def _stood_s(line: dict[str, list[float]], at_m: float) -> float:
    """Return how long the timeline takes from the row before a place to the row behind it [s]."""
    behind = next((row for row, along_m in enumerate(line["distance_m"]) if along_m > at_m), 0)
    return line["time_s"][behind] - line["time_s"][behind - 1] if behind > 0 else 0.0


def feedings(plan: PlanFile) -> Iterator[tuple[float, float]]:
    """Yield when and where food comes: every bite, and the sip with which drink has brought 8 g since."""
    came_g, end_s = 0.0, plan.finish_s - LAST_FOOD_S
    for point in sorted(plan.taken, key=lambda point: point.time_s):
        came_g += point.carbohydrate_g
        if point.action == "eat" or came_g >= FEEDS_G - EDGE_G:
            came_g = 0.0
            if point.action == "eat" or point.time_s < end_s:
                yield point.time_s, point.distance_m
