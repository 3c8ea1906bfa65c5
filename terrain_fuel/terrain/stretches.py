"""Climbs, descents and flats described: gain, grades, steps, climb index and name."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Step, Stretch, StretchKind
from terrain_fuel.track import Waypoint

ROLLING_M_PER_KM = 10.0
"""A flat whose pieces rise and fall this much a kilometre, three times or more, is rolling."""

LEAST_ROLL_M = 4.0

STEEPEST_OVER_M = 200.0
STEP_DIFFERENCE = 0.015
"""Neighbouring parts of a climb are one step if their grades differ less."""

NAME_REACH_M = 500.0
SUMMIT_FLAT_M = 1500.0
"""A waypoint so near the top, or on so much of a flat that follows it, names the climb [m]."""


def describe_stretches(
    parts: Sequence[tuple[StretchKind, int, int]],
    knot_m: FloatArray,
    distance_m: FloatArray,
    elevation_m: FloatArray,
    waypoints: Sequence[Waypoint],
) -> tuple[Stretch, ...]:
    """Return stretches with gain, grades, steps, climb index and name, from the smoothed profile."""
    height = np.interp(knot_m, distance_m, elevation_m)
    found = [
        _described(kind, knot_m[a : b + 1], height[a : b + 1], distance_m, elevation_m)
        for kind, a, b in parts
    ]
    return tuple(
        replace(stretch, name=_name(waypoints, stretch, after)) if stretch.kind == "climb" else stretch
        for stretch, after in zip(found, [*found[1:], None], strict=True)
    )


def _described(
    kind: StretchKind,
    knot_m: FloatArray,
    height_m: FloatArray,
    distance_m: FloatArray,
    elevation_m: FloatArray,
) -> Stretch:
    start_m, end_m = float(knot_m[0]), float(knot_m[-1])
    gain_m, length_m = float(height_m[-1] - height_m[0]), end_m - start_m
    return Stretch(
        kind=kind,
        start_m=start_m,
        end_m=end_m,
        gain_m=gain_m,
        mean_grade=gain_m / length_m,
        steepest_grade=steepest(distance_m, elevation_m, start_m, end_m, kind),
        rolling=kind == "flat" and _rolls(knot_m, height_m),
        climb_index=climb_index(gain_m, length_m, float(height_m[-1])) if kind == "climb" else 0.0,
        steps=_steps(knot_m, height_m),
    )


def climb_index(gain_m: float, length_m: float, top_m: float) -> float:
    """Return how hard a climb is: H^2 / (10 D) + max(0, (T - 1000) / 1000), all in metres [FI]_."""
    return gain_m**2 / (10.0 * length_m) + max(0.0, (top_m - 1000.0) / 1000.0)


def steepest(
    distance_m: FloatArray, elevation_m: FloatArray, start_m: float, end_m: float, kind: StretchKind
) -> float:
    """Return the steepest grade over 200 m, or over the whole of a shorter stretch.

    On a descent the steepest is the most negative; on a flat the farthest from level.
    """
    over_m = min(STEEPEST_OVER_M, end_m - start_m)
    inside = distance_m[
        np.searchsorted(distance_m, start_m) : np.searchsorted(distance_m, end_m - over_m, "right")
    ]
    starts = np.concatenate(([start_m], inside, [end_m - over_m]))
    rise = np.interp(starts + over_m, distance_m, elevation_m) - np.interp(starts, distance_m, elevation_m)
    grade = rise / over_m
    weight = {"climb": grade, "descent": -grade, "flat": np.abs(grade)}[kind]
    return float(grade[weight.argmax()])


def _rolls(knot_m: FloatArray, height_m: FloatArray) -> bool:
    change = np.diff(height_m)
    rolls = np.abs(change[np.abs(change) >= LEAST_ROLL_M])
    per_km = 1000.0 * float(rolls.sum()) / float(knot_m[-1] - knot_m[0])
    turns = np.count_nonzero(np.diff(np.sign(change)))
    return bool(rolls.size >= 3 and turns >= 2 and per_km >= ROLLING_M_PER_KM)


def _steps(knot_m: FloatArray, height_m: FloatArray) -> tuple[Step, ...]:
    """Return the parts with a grade of their own; none if the whole has but one."""
    kept = [0]
    for index in range(1, knot_m.size - 1):
        before = (height_m[index] - height_m[kept[-1]]) / (knot_m[index] - knot_m[kept[-1]])
        after = (height_m[index + 1] - height_m[index]) / (knot_m[index + 1] - knot_m[index])
        if abs(after - before) >= STEP_DIFFERENCE:
            kept.append(index)
    if len(kept) == 1:
        return ()
    return tuple(
        Step(float(knot_m[a]), float(knot_m[b]), float((height_m[b] - height_m[a]) / (knot_m[b] - knot_m[a])))
        for a, b in pairwise([*kept, knot_m.size - 1])
    )


def _name(waypoints: Sequence[Waypoint], climb: Stretch, after: Stretch | None) -> str:
    low, high = max(climb.start_m, climb.end_m - NAME_REACH_M), climb.end_m + NAME_REACH_M
    if after is not None and after.kind == "flat":
        high = max(high, min(after.end_m, climb.end_m + SUMMIT_FLAT_M))
    near = [
        mark
        for mark in waypoints
        if mark.kind in ("summit", "place") and mark.name and low <= mark.distance_m <= high
    ]
    best = min(
        near, key=lambda mark: (mark.kind != "summit", abs(mark.distance_m - climb.end_m)), default=None
    )
    return best.name if best else ""
