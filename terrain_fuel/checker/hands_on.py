"""Rule 2: no hand leaves the bars in a safety flag, just before one or in a leaned bend; nothing late."""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from terrain_fuel.checker.fault import Fault, rule_fault, say_km
from terrain_fuel.checker.plan_file import PlanFile, Point

BEFORE_M = 200.0
LAST_FOOD_S = 600.0
EDGE_M, EDGE_S = 0.05, 0.05  # rounding of the written figures
WINDOW_M = 30.0  # a window may end this far inside: the road is cut into steps
TIGHT_M, TURN_DEG, LEAN_M_S = 60.0, 30.0, 18.0 / 3.6  # a bend beyond all three is ridden with a lean
HALT_M = 1.0  # what is taken at a halt is taken standing


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


def check_bends(plan: PlanFile) -> Iterator[Fault]:
    """No eat or sip inside a bend ridden with a lean; at a halt both feet are down."""
    halts_m = [fill["at_m"] for fill in plan.data["bottles"]]
    halts_m += [1000.0 * feed["at_km"] for feed in plan.data["day"].get("feed", [])]
    bends = [corner for corner in plan.data["corners"] if _is_leaned(plan, corner)]
    for point in plan.taken:
        if any(abs(point.distance_m - halt_m) <= HALT_M for halt_m in halts_m):
            continue
        for bend in bends:
            inside_m = min(point.distance_m - bend["start_m"], bend["end_m"] - point.distance_m)
            if inside_m > EDGE_M:
                place = f"radius {bend['radius_m']:.0f} m, {say_km(bend['start_m'])}"
                said = f"{point.called} stands inside a bend ridden with a lean ({place})"
                yield rule_fault(2, point.distance_m, inside_m, "m", said)


def _is_leaned(plan: PlanFile, corner: Mapping[str, Any]) -> bool:
    """Return whether a bend is tight, long and anywhere fast.

    The timeline's rows inside it count; where none is, the slowest of those about it.
    """
    if corner["radius_m"] >= TIGHT_M or corner["turn_deg"] <= TURN_DEG:
        return False
    road_m, speed_m_s = plan.timeline["distance_m"], plan.timeline["speed_m_s"]
    first, end = np.searchsorted(road_m, [corner["start_m"], corner["end_m"]])
    if first < end:
        return bool(speed_m_s[first:end].max() > LEAN_M_S)
    before, behind = np.clip([end - 1, first], 0, road_m.size - 1)
    return bool(min(speed_m_s[before], speed_m_s[behind]) > LEAN_M_S)


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
