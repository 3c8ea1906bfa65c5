"""Faults that the plan itself admits."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from terrain_fuel.checker.fault import Fault

UNDERSTATED = 1.05  # a fault may exceed what was declared by this factor, for rounding
EDGE = 1.0
EDGES = {"of FTP": 0.01, "%": 0.05, "h": 0.1, "m/s": 0.01}  # units of which one more is much
NEAR_M = 50.0
COUNTED_OTHERWISE = "drink with food"  # in bites, of which each is found here by how long it waits


def mark_declared(faults: Iterable[Fault], violations: Iterable[Mapping[str, Any]]) -> Iterator[Fault]:
    """Return the faults, those the plan declares marked, and after them what it declares beyond."""
    waiting = list(violations)
    matched: list[Mapping[str, Any]] = []
    for fault in faults:
        match = next((violation for violation in waiting if _covers(violation, fault)), None)
        if match is None:
            yield fault
        else:
            matched.append(match)
            yield replace(fault, declared=True, sentence=f"{fault.sentence} (the plan says so)")
    for violation in waiting:
        if violation not in matched:
            yield _as_fault(violation)


def _covers(violation: Mapping[str, Any], fault: Fault) -> bool:
    if not fault.limit or (violation["rule"], violation["name"]) != (fault.rule, fault.limit):
        return False
    if violation["end_m"] < fault.start_m - NEAR_M or violation["start_m"] > fault.end_m + NEAR_M:
        return False
    if violation["unit"] != fault.unit:
        return fault.limit == COUNTED_OTHERWISE
    most = UNDERSTATED * float(violation["amount"]) + EDGES.get(fault.unit, EDGE)
    return fault.amount <= most


def _as_fault(violation: Mapping[str, Any]) -> Fault:
    sentence = f"rule {violation['rule']}, declared by the plan: {violation['sentence']}"
    return Fault(
        "rule", violation["rule"], violation["start_m"], violation["end_m"], violation["amount"],
        violation["unit"], sentence, violation["name"], declared=True,
    )  # fmt: skip
