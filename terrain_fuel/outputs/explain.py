"""One fuel point explained: what decided it, and what the next best would have cost."""

from collections.abc import Mapping
from typing import Any

from terrain_fuel.errors import PlanFileError

MOST_ALTERNATIVES = 6


def explain_point(plan: Mapping[str, Any], number: int) -> tuple[str, ...]:
    """Return the lines that explain a fuel point.

    Parameters
    ----------
    plan : a plan.json, read back
    number : the fuel point's number

    Raises
    ------
    PlanFileError
        If the plan has no such number.
    """
    points = {point["number"]: point for point in plan["fuel_points"]}
    if number not in points:
        allowed = f"1 to {max(points)}" if points else "none: the plan has no fuel points"
        raise PlanFileError(
            f"number {number} is not in the plan; allowed is {allowed}; look at the map's list"
        )
    point = points[number]
    lines = [_headline(point), f"why here: {point['reason']}"]
    if point["rules"]:
        lines.append(f"decided by: {', '.join(point['rules'])}")
    lines.append(
        f"good anywhere from km {point['window_start_m'] / 1000:.1f} to {point['window_end_m'] / 1000:.1f}"
    )
    lines += [_alternative(other) for other in point["alternatives"][:MOST_ALTERNATIVES]]
    if point["action"] == "eat":
        lines.append("cost is in the units of the plan's own score: the lower, the better")
    return tuple(lines)


def _headline(point: Mapping[str, Any]) -> str:
    amount = {"eat": f"{point['portions']} bite(s) of", "sip": "sip", "refill": f"fill {point['from']} with"}
    source = "" if point["action"] == "refill" else f" from the {point['from']}"
    place = f"{point['number']} at km {point['distance_m'] / 1000:.1f}"
    return f"{place}: {amount[point['action']]} {point['item']}{source}"


def _alternative(other: Mapping[str, Any]) -> str:
    words = {
        "place": f"the same {other['distance_m'] / 1000:.1f} km into the ride",
        "item": f"{other['portions']} bite(s) of {other['item']} here instead",
        "leave out": "leaving it out",
    }[other["change"]]
    if other["extra_cost"] is None:
        return f"  not allowed: {words} ({other['forbidden_by']})"
    return f"  would cost {other['extra_cost']:.2f} more: {words}"
