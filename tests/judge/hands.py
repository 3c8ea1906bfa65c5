"""A hand off the bars is a veto: nothing in a bend ridden with a lean, no bite where it is steep or fast."""

from collections.abc import Iterator

from tests.judge.finding import Finding
from tests.judge.reading import PlanDict, Row, at, at_halt, speed_km_h

FAMILY = "hands"
TIGHT_M, TURN_DEG, LEAN_KM_H, BEFORE_S = 60.0, 30.0, 18.0, 3.0
BRAKING_M, FLAG_BEFORE_M = 25.0, 200.0
LIMITS = {"cautious": (-0.045, 38.0), "steady": (-0.05, 44.0), "practised": (-0.06, 50.0)}
GRADE_SLACK, SPEED_SLACK_KM_H = 0.002, 1.0
"""The timeline has a row every 100 m; between them grade and speed are read off a straight line."""


def judge_hands(plan: PlanDict) -> Iterator[Finding]:
    """Find bites and sips in bends and just before them, and bites where it is too steep or too fast."""
    bends = leaning_bends(plan)
    for point in plan["fuel_points"]:
        if point["action"] == "refill":
            continue
        yield from _at_flags(plan, point)
        if at_halt(plan, point):
            continue
        yield from _in_bends(plan, point, bends)
        if point["action"] == "eat":
            yield from _too_fast(plan, point)


def leaning_bends(plan: PlanDict) -> list[Row]:
    """Return the bends tighter than 60 m that turn by more than 30 degrees and are ridden above 18 km/h.

    Or come to so fast: who brakes for a hairpin has both hands on the bars.
    """
    return [
        corner
        for corner in plan["corners"]
        if corner["radius_m"] < TIGHT_M
        and abs(corner["turn_deg"]) > TURN_DEG
        and max(
            speed_km_h(plan, (corner["start_m"] + corner["end_m"]) / 2),
            speed_km_h(plan, corner["start_m"] - BRAKING_M),
        )
        > LEAN_KM_H
    ]


def _in_bends(plan: PlanDict, point: Row, bends: list[Row]) -> Iterator[Finding]:
    here = point["distance_m"]
    ahead_m = BEFORE_S * at(plan, "speed_m_s", here)
    for bend in bends:
        if bend["start_m"] <= here <= bend["end_m"]:
            how = f"{bend['radius_m']:.0f} m at {speed_km_h(plan, here):.0f} km/h"
            what = f"{point['action']} in a bend of {how}"
            yield Finding(FAMILY, "in_a_bend", here, what)
        elif here < bend["start_m"] < here + ahead_m:
            yield Finding(FAMILY, "before_a_bend", here, f"{point['action']} within 3 s before a bend")


def _at_flags(plan: PlanDict, point: Row) -> Iterator[Finding]:
    """Nothing in a stretch for both hands, nor in the 200 m before it, standing or not."""
    here = point["distance_m"]
    for flag in plan["cautions"]:
        if flag["hands_on"] and flag["start_m"] - FLAG_BEFORE_M + 1.0 < here < flag["end_m"] - 1.0:
            yield Finding(FAMILY, "both_hands", here, f"{point['action']} where both hands are wanted")


def _too_fast(plan: PlanDict, point: Row) -> Iterator[Finding]:
    here = point["distance_m"]
    steepest, fastest_km_h = LIMITS[plan["rider"]["rider"]["descending"]]
    grade, speed = at(plan, "grade", here), speed_km_h(plan, here)
    if grade < steepest - GRADE_SLACK:
        yield Finding(FAMILY, "too_steep", here, f"a bite on {100 * grade:.1f} % at {speed:.0f} km/h")
    if speed > fastest_km_h + SPEED_SLACK_KM_H:
        yield Finding(FAMILY, "too_fast", here, f"a bite at {speed:.0f} km/h on {100 * grade:.1f} %")
