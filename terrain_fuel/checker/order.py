"""Rules 1 and 7: stretches tile the road; numbers, places and times rise together."""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from terrain_fuel.checker.fault import Fault, rule_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_M = 0.01  # figures are written to a millimetre
CLOCK_S = 1.5  # the timeline is written every hundred metres
HALT_M = 50.0  # bottles filled this near to the first of a halt are filled at one halt


def check_tiling(plan: PlanFile) -> Iterator[Fault]:
    """Rule 1: stretches cover the road from 0 to its length, in order, without gap or overlap."""
    stretches = plan.data["stretches"]
    if not stretches:
        yield rule_fault(
            1, (0.0, plan.length_m), plan.length_m, "m", "there is no stretch; they must tile the road"
        )
        return
    ends = [0.0, *(stretch["end_m"] for stretch in stretches)]
    starts = [*(stretch["start_m"] for stretch in stretches), plan.length_m]
    for end_m, start_m in zip(ends, starts, strict=True):
        off_m = start_m - end_m
        if abs(off_m) > EDGE_M:
            what = "gap" if off_m > 0 else "overlap"
            span = (min(end_m, start_m), max(end_m, start_m))
            yield rule_fault(
                1, span, abs(off_m), "m", f"{what} of {abs(off_m):.1f} m between stretches; none allowed"
            )
    for index, stretch in enumerate(stretches):
        if stretch["end_m"] <= stretch["start_m"]:
            yield rule_fault(1, stretch["start_m"], 0.0, "m", f"stretch {index} has no length")
        if stretch["end_s"] < stretch["start_s"]:
            yield sum_fault(f"stretches[{index}]", "ends before it starts on the clock", stretch["start_m"])


def check_order(plan: PlanFile) -> Iterator[Fault]:
    """Rule 7: numbers count from 1, and distance and time rise with them."""
    for index, point in enumerate(plan.points, start=1):
        if point.number != index:
            said = f"number {point.number} stands where number {index} belongs"
            yield rule_fault(7, point.distance_m, abs(point.number - index), "numbers", said)
    for before, after in pairwise(plan.points):
        back_m, back_s = before.distance_m - after.distance_m, before.time_s - after.time_s
        if back_m > EDGE_M:
            yield rule_fault(
                7, after.distance_m, back_m, "m", f"{after.called} lies {back_m:.0f} m before {before.called}"
            )
        if back_s > EDGE_M:
            yield rule_fault(
                7,
                after.distance_m,
                back_s,
                "s",
                f"{after.called} comes {back_s:.0f} s before {before.called}",
            )
    for column in ("distance_m", "time_s"):
        falls = np.flatnonzero(np.diff(plan.timeline[column]) <= 0)
        if falls.size:
            at_m = float(plan.timeline["distance_m"][falls[0]])
            yield rule_fault(7, at_m, 0.0, "", f"the timeline's {column} does not rise; it must, all the way")


def check_labels(plan: PlanFile) -> Iterator[Fault]:
    """Rule 7: bites are labelled 1, 2 … and halts A, B …, one for all filled there; sips are not."""
    bites, letter, halt_m = 0, "", -np.inf
    for point in plan.points:
        due = ""
        if point.action == "eat":
            bites += 1
            due = str(bites)
        elif point.action == "refill":
            if point.distance_m - halt_m > HALT_M:
                letter, halt_m = _letter_after(letter), point.distance_m
            due = letter
        if point.label != due:
            said = f"label {point.label!r} of number {point.number} stands where {due!r} belongs"
            yield rule_fault(7, point.distance_m, 1.0, "labels", said)


def _letter_after(letters: str) -> str:
    """Return what follows in A, B … Z, AA, AB and so on."""
    rest, last = letters[:-1], letters[-1:]
    if not last:
        return "A"
    return rest + chr(ord(last) + 1) if last < "Z" else _letter_after(rest) + "A"


def check_places(plan: PlanFile) -> Iterator[Fault]:
    """Each point lies on the road, in its stretch, at the clock that the timeline gives."""
    stretches = plan.data["stretches"]
    for point in plan.points:
        if not -EDGE_M <= point.distance_m <= plan.length_m + EDGE_M:
            said = f"{point.called} at {point.distance_m:.0f} m is off the road of {plan.length_m:.0f} m"
            yield rule_fault(7, point.distance_m, abs(point.distance_m - plan.length_m), "m", said)
            continue
        early_s, late_s = plan.clock_about(point.distance_m)
        early_s, late_s = early_s - CLOCK_S, late_s + CLOCK_S
        if not early_s <= point.time_s <= late_s:
            off_s = max(early_s - point.time_s, point.time_s - late_s)
            passes = f"the timeline passes there from {early_s:.0f} to {late_s:.0f}"
            said = f"{point.called} is at {point.time_s:.0f} s, {passes}"
            yield sum_fault("fuel_points", said, point.distance_m, float(off_s), "s")
        if not 0 <= point.stretch < len(stretches) or not (
            stretches[point.stretch]["start_m"] - EDGE_M
            <= point.distance_m
            <= stretches[point.stretch]["end_m"] + EDGE_M
        ):
            yield sum_fault(
                "fuel_points", f"{point.called} is not in stretch {point.stretch}", point.distance_m
            )
