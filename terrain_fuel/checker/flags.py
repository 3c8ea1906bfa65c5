"""Cautions: on the road, with both hands on the bars where their kind asks for it, none left out."""

from collections.abc import Iterator, Mapping
from typing import Any

from terrain_fuel.checker.fault import Fault, route_fault, rule_fault, say_km, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_M = 0.01
BOTH_HANDS = (
    "technical_descent", "no_stop", "waypoint", "tunnel", "tram_rails", "level_crossing", "tram_crossing",
)  # fmt: skip
WARNING_MARKS = ("no_stop", "caution")
STEEP_FROM = {"cautious": -0.03, "steady": -0.04, "practised": -0.05}  # from memory
EDGE_GRADE = 1e-5


def check_cautions(plan: PlanFile) -> Iterator[Fault]:
    """Cautions lie on the road in order; those of a dangerous kind are safety flags."""
    before_m = 0.0
    for index, caution in enumerate(plan.data["cautions"]):
        where, start_m, end_m = f"cautions[{index}]", caution["start_m"], caution["end_m"]
        if not before_m - EDGE_M <= start_m <= end_m <= plan.length_m + EDGE_M:
            said = f"{start_m:.0f} to {end_m:.0f} m is no span of the road from {before_m:.0f} m on"
            yield route_fault(where, said, start_m)
        if caution["kind"] in BOTH_HANDS and not caution["hands_on"]:
            said = f"{caution['kind']} with hands_on false; there both hands belong on the bars"
            yield rule_fault(2, (start_m, end_m), end_m - start_m, "m", f"{where} is {said}")
        before_m = max(before_m, start_m)


def check_technical(plan: PlanFile) -> Iterator[Fault]:
    """A descent is technical where a technical descent's flag falls into it, and only there."""
    flags = [flag for flag in plan.data["cautions"] if flag["kind"] == "technical_descent"]
    for index, stretch in enumerate(plan.data["stretches"]):
        flagged = stretch["kind"] == "descent" and any(
            flag["start_m"] < stretch["end_m"] and flag["end_m"] > stretch["start_m"] for flag in flags
        )
        if stretch["technical"] != flagged:
            said = "a flag falls into it" if flagged else "no technical descent is among the cautions there"
            written = str(stretch["technical"]).lower()
            yield sum_fault(f"stretches[{index}]", f"technical is {written}; {said}", stretch["start_m"])


def check_bends_of_flags(plan: PlanFile) -> Iterator[Fault]:
    """A technical descent has a bend that makes it one."""
    for index, flag in enumerate(plan.data["cautions"]):
        if flag["kind"] == "technical_descent" and not any(
            corner["start_m"] <= flag["end_m"] and corner["end_m"] >= flag["start_m"]
            for corner in plan.data["corners"]
        ):
            said = "a technical descent without a bend; what makes it one must stand among the corners"
            yield sum_fault(f"cautions[{index}]", said, flag["start_m"])


def check_marked_dangers(plan: PlanFile) -> Iterator[Fault]:
    """A waypoint that warns, or forbids a stop, lies in a safety flag."""
    for mark in plan.data["route"].get("waypoints", []):
        if mark["kind"] in WARNING_MARKS and not _both_hands_at(plan, mark["distance_m"]):
            said = f"{mark['name']!r} ({mark['kind']}) lies in no caution with hands_on"
            yield rule_fault(2, mark["distance_m"], 0.0, "m", said)


def check_hairpins(plan: PlanFile) -> Iterator[Fault]:
    """A hairpin on a part of road as steep down as the rider's habit counts lies in a safety flag."""
    steep_from = STEEP_FROM.get(plan.rider.get("descending", ""))
    if steep_from is None:
        return
    parts = [part for part in _parts(plan) if part["mean_grade"] <= steep_from - EDGE_GRADE]
    for corner in plan.data["corners"]:
        middle_m = (corner["start_m"] + corner["end_m"]) / 2.0
        steep = any(part["start_m"] <= middle_m < part["end_m"] for part in parts)
        if corner["hairpin"] and steep and not _both_hands_at(plan, middle_m):
            said = f"the hairpin at {say_km(middle_m)} is steep down and lies in no caution with hands_on"
            yield rule_fault(2, (corner["start_m"], corner["end_m"]), 0.0, "m", said)


def _both_hands_at(plan: PlanFile, at_m: float) -> bool:
    return any(
        flag["hands_on"] and flag["start_m"] - EDGE_M <= at_m <= flag["end_m"] + EDGE_M
        for flag in plan.data["cautions"]
    )


def _parts(plan: PlanFile) -> Iterator[Mapping[str, Any]]:
    """Yield the parts of the road with a grade of their own."""
    for stretch in plan.data["stretches"]:
        yield from stretch.get("steps") or [stretch]
