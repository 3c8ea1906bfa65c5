"""Fuel points explained: what decided them, and what the next best would have cost."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from terrain_fuel.errors import PlanFileError
from terrain_fuel.outputs.at_best import AS_GOOD, MUCH_WORSE, at_best
from terrain_fuel.outputs.units import KILOMETRES, MILES
from terrain_fuel.outputs.words import Words, words_in
from terrain_fuel.plan import Optimality

PLACE = re.compile(r"(km|mi|miles?)\s*(\d+(?:[.,]\d*)?)", re.IGNORECASE)

NEAR_M = 500.0
"""A sip is named by a place no farther from it than this."""

MOST_ALTERNATIVES = 6
BREAKS = 100.0
"""What a gap over the rider's longest costs at the least."""


def explain_label(plan: Mapping[str, Any], label: str) -> tuple[str, ...]:
    """Return the lines that explain what has a label.

    Parameters
    ----------
    plan : a plan.json, read back
    label : "7" for a bite, "B" for a halt, for a sip its place, "km12.5" or "mile7.8"

    Raises
    ------
    PlanFileError
        If nothing in the plan is called so.
    """
    words = words_in(plan["rider"]["habits"])
    found = _called(plan["fuel_points"], label)
    if not found:
        bites, halts = (_ends(plan["fuel_points"], action) for action in ("eat", "refill"))
        raise PlanFileError(
            f"{label!r} is not in the plan; allowed is a bite ({bites}), a halt ({halts}), or the place of a"
            " sip such as km12.5; look at the map's list"
        )
    return tuple(line for point in found for line in _explained(plan, point, words))


def _called(points: Sequence[Mapping[str, Any]], label: str) -> list[Mapping[str, Any]]:
    """Return the points of a label, or the sip nearest to a place if one is near."""
    place = PLACE.fullmatch(label.strip())
    if place is None:
        return [point for point in points if point["label"] == label.strip().upper() != ""]
    unit_m = KILOMETRES.road_m if place[1].casefold() == "km" else MILES.road_m
    at_m = float(place[2].replace(",", ".")) * unit_m
    sips = [point for point in points if point["action"] == "sip"]
    nearest = min(sips, key=lambda point: abs(point["distance_m"] - at_m), default=None)
    return [nearest] if nearest and abs(nearest["distance_m"] - at_m) <= NEAR_M else []


def _ends(points: Sequence[Mapping[str, Any]], action: str) -> str:
    """Return the first and the last label of an action, the only one, or "none"."""
    labels = [point["label"] for point in points if point["action"] == action]
    if labels and labels[0] == labels[-1]:
        return str(labels[0])
    return f"{labels[0]} to {labels[-1]}" if labels else "none"


def _explained(plan: Mapping[str, Any], point: Mapping[str, Any], words: Words) -> tuple[str, ...]:
    """Return the lines that explain one fuel point."""
    lines = [_headline(point, words), words.label("why.reason", reason=point["reason"])]
    if point["rules"]:
        lines.append(words.label("why.rules", rules=tuple(point["rules"])))
    start, end = words.place(point["window_start_m"], 1), words.distance(point["window_end_m"])
    lines.append(words.label("why.anywhere", start=start, end=end))
    lines += [_alternative(other, words) for other in point["alternatives"][:MOST_ALTERNATIVES]]
    if point["action"] == "eat":
        lines.append(words.label("why.cost"))
    if point["action"] == "eat" and "optimality" in plan:
        lines.append(at_best(words, _stated(plan["optimality"]), "why"))
    return tuple(lines)


def _stated(optimality: Mapping[str, Any]) -> Optimality:
    return Optimality(
        optimality["objective"],
        optimality["lower_bound"],
        optimality["gap_share"],
        optimality.get("without_pins"),
    )


def _headline(point: Mapping[str, Any], words: Words) -> str:
    return words.label(
        f"why.{point['action']}",
        label=point["label"],
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
