"""One fuel point explained: what decided it, and what the next best would have cost."""

from collections.abc import Mapping
from typing import Any

from terrain_fuel.errors import PlanFileError
from terrain_fuel.outputs.words import Words, words_in

MOST_ALTERNATIVES = 6
AS_GOOD = 0.05
MUCH_WORSE = 10.0
"""From here on a figure says no more than that."""

BREAKS = 100.0
"""What a gap over the rider's longest costs at the least."""


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
    point, words = points[number], words_in(plan["rider"]["habits"])
    lines = [_headline(point, words), words.label("why.reason", reason=point["reason"])]
    if point["rules"]:
        lines.append(words.label("why.rules", rules=tuple(point["rules"])))
    start, end = words.place(point["window_start_m"], 1), words.distance(point["window_end_m"])
    lines.append(words.label("why.anywhere", start=start, end=end))
    lines += [_alternative(other, words) for other in point["alternatives"][:MOST_ALTERNATIVES]]
    if point["action"] == "eat":
        lines.append(words.label("why.cost"))
    return tuple(lines)


def _headline(point: Mapping[str, Any], words: Words) -> str:
    return words.label(
        f"why.{point['action']}",
        number=point["number"],
        at_m=point["distance_m"],
        portions=point["portions"],
        item=point["item"],
        container=point["from"],
    )


def _alternative(other: Mapping[str, Any], words: Words) -> str:
    change = words.label(
        f"why.other.{other['change']}",
        distance=words.length(other["distance_m"]),
        portions=other["portions"],
        item=other["item"],
    )
    if other["extra_cost"] is None:
        return words.label("why.forbidden", change=change, rule=other["forbidden_by"])
    extra_cost = float(other["extra_cost"])
    if extra_cost >= BREAKS:
        return words.label("why.breaks", change=change)
    if extra_cost >= MUCH_WORSE:
        return words.label("why.much_worse", change=change)
    if extra_cost < AS_GOOD:
        return words.label("why.as_good", change=change)
    return words.label("why.costs", change=change, extra_cost=extra_cost)
