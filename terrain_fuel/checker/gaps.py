"""Rule 6: never longer without food than the rider said."""

from collections.abc import Iterator
from itertools import pairwise

from terrain_fuel.checker.fault import Fault, rule_fault
from terrain_fuel.checker.plan_file import PlanFile

LAST_FOOD_S = 600.0
SHORT_RIDE_S = 4500.0  # little or nothing is needed up to 75 min [ACSM16]
EDGE_S = 0.5
OVER_S = 120.0  # so much over is let be, and told
FEEDS_G = 8.0  # drink that has brought so much is food
EDGE_G = 0.05


def check_gaps(plan: PlanFile) -> Iterator[Fault]:
    """Return each gap without food that is too long, from the start to the last ten minutes."""
    eats = plan.eats
    if not eats and plan.finish_s <= SHORT_RIDE_S:
        return
    longest_s = 60.0 * plan.habits["longest_gap_min"]
    first_s = max(longest_s, 60.0 * plan.habits["first_food_min"])
    marks = [
        (0.0, 0.0),
        *_feedings(plan),
        (max(plan.finish_s - LAST_FOOD_S, 0.0), plan.length_m),
    ]
    for index, ((from_s, from_m), (to_s, to_m)) in enumerate(pairwise(marks)):
        allowed_s = first_s if index == 0 else longest_s
        over_s = to_s - from_s - allowed_s - OVER_S
        if over_s > EDGE_S:
            said = f"{(to_s - from_s) / 60:.1f} min without food; at most {allowed_s / 60:.4g}"
            yield rule_fault(6, (from_m, max(to_m, from_m)), over_s / 60.0, "min", said)


def _feedings(plan: PlanFile) -> Iterator[tuple[float, float]]:
    """Return when and where food arrives: a bite, or the sip with which drink has brought 8 g since."""
    drunk_g = 0.0
    for point in plan.points:
        if point.action == "sip":
            drunk_g += point.carbohydrate_g
        if point.action == "eat" or drunk_g >= FEEDS_G - EDGE_G:
            yield point.time_s, point.distance_m
            drunk_g = 0.0
