"""Rule 2: no hand leaves the bars in a safety flag or just before, and nothing is eaten at the very end."""

from collections.abc import Iterator

from terrain_fuel.checker.fault import Fault, rule_fault, say_km
from terrain_fuel.checker.plan_file import PlanFile, Point

BEFORE_M = 200.0
LAST_FOOD_S = 600.0
EDGE_M, EDGE_S = 0.05, 0.05  # rounding of the written figures
WINDOW_M = 30.0  # a window may end this far inside: the road is cut into steps


def check_hands_on(plan: PlanFile) -> Iterator[Fault]:
    """No eat or sip inside a span with hands_on, nor within 200 m before it."""
    flags = [caution for caution in plan.data["cautions"] if caution["hands_on"]]
    for point in plan.taken:
        for flag in flags:
            start_m, end_m = flag["start_m"], flag["end_m"]
            inside_m = min(point.distance_m - (start_m - BEFORE_M), end_m - point.distance_m)
            place = f"{flag['kind']}, {say_km(start_m)} to {end_m / 1000:.2f}"
            if inside_m > EDGE_M:
                where = "inside" if point.distance_m >= start_m else "less than 200 m before"
                said = f"{point.called} stands {where} a place for both hands ({place})"
                yield rule_fault(2, point.distance_m, inside_m, "m", said)
            elif _window_overlap_m(point, start_m - BEFORE_M, end_m) > WINDOW_M:
                said = f"the window of {point.called} reaches into a place for both hands ({place})"
                yield rule_fault(
                    2, point.window_m, _window_overlap_m(point, start_m - BEFORE_M, end_m), "m", said
                )


def check_last_food(plan: PlanFile) -> Iterator[Fault]:
    """Nothing to eat in the last ten minutes."""
    for point in plan.eats:
        late_s = point.time_s - (plan.finish_s - LAST_FOOD_S)
        if late_s > EDGE_S:
            before_min = (LAST_FOOD_S - late_s) / 60.0
            said = f"{point.called} is {before_min:.1f} min before the finish; the last 10 are free of food"
            yield rule_fault(2, point.distance_m, late_s, "s", said)


def _window_overlap_m(point: Point, start_m: float, end_m: float) -> float:
    return min(point.window_m[1], end_m) - max(point.window_m[0], start_m)
