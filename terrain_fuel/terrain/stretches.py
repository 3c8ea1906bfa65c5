"""From straight pieces of profile to climbs, descents and flats that tile the road."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Step, Stretch, StretchKind

STEEP_FROM = 0.03
"""Grade from which a piece is a climb or a descent: common practice (no source)."""

LEAST_GAIN_M = 30.0
"""Height from which it is a stretch of its own: common practice (no source)."""


@dataclass(frozen=True, slots=True)
class _Run:
    kind: StretchKind
    first: int
    last: int


def label_stretches(knot_m: FloatArray, knot_height_m: FloatArray) -> tuple[Stretch, ...]:
    """Return the stretches of a road whose profile is straight between knots.

    Parameters
    ----------
    knot_m : shape (k + 1,), where the grade changes, from 0 to the route's length [m]
    knot_height_m : shape (k + 1,), heights there [m]
    """
    length, rise = np.diff(knot_m), np.diff(knot_height_m)
    kinds = [_kind(grade) for grade in (rise / length).tolist()]
    runs = _joined([_Run(kind, index, index) for index, kind in enumerate(kinds)])
    runs = _bridged(runs, knot_m, knot_height_m)
    runs = _joined([_demoted(run, knot_height_m) for run in runs])
    return tuple(_stretch(run, knot_m, knot_height_m) for run in runs)


def _kind(grade: float) -> StretchKind:
    if grade >= STEEP_FROM:
        return "climb"
    return "descent" if grade <= -STEEP_FROM else "flat"


def _joined(runs: list[_Run]) -> list[_Run]:
    out = runs[:1]
    for run in runs[1:]:
        if run.kind == out[-1].kind:
            out[-1] = replace(out[-1], last=run.last)
        else:
            out.append(run)
    return out


def _bridged(runs: list[_Run], knot_m: FloatArray, height_m: FloatArray) -> list[_Run]:
    while True:
        spans = [
            (knot_m[runs[i].last + 1] - knot_m[runs[i].first], i)
            for i in range(1, len(runs) - 1)
            if _carries_on(runs[i - 1], runs[i], runs[i + 1], knot_m, height_m)
        ]
        if not spans:
            return runs
        _, i = min(spans)
        runs = [*runs[: i - 1], replace(runs[i - 1], last=runs[i + 1].last), *runs[i + 2 :]]


def _carries_on(before: _Run, gap: _Run, after: _Run, knot_m: FloatArray, height_m: FloatArray) -> bool:
    if before.kind != after.kind or before.kind == "flat":
        return False
    sign = 1.0 if before.kind == "climb" else -1.0
    length = knot_m[after.last + 1] - knot_m[before.first]
    gain = sign * (height_m[after.last + 1] - height_m[before.first])
    lost = -sign * (height_m[gap.last + 1] - height_m[gap.first])
    gap_length = knot_m[gap.last + 1] - knot_m[gap.first]
    return bool(gain / length >= STEEP_FROM and lost <= 10.0 and gap_length <= max(500.0, 0.3 * length))


def _demoted(run: _Run, height_m: FloatArray) -> _Run:
    small = abs(height_m[run.last + 1] - height_m[run.first]) < LEAST_GAIN_M
    return replace(run, kind="flat") if small else run


def _stretch(run: _Run, knot_m: FloatArray, height_m: FloatArray) -> Stretch:
    part = slice(run.first, run.last + 2)
    road, height = knot_m[part], height_m[part]
    gain, length = float(height[-1] - height[0]), float(road[-1] - road[0])
    grades = np.diff(height) / np.diff(road)
    steps = tuple(Step(float(a), float(b), float(g)) for a, b, g in zip(road, road[1:], grades, strict=False))
    return Stretch(
        kind=run.kind,
        start_m=float(road[0]),
        end_m=float(road[-1]),
        gain_m=gain,
        mean_grade=gain / length,
        steepest_grade=float(grades[np.abs(grades).argmax()]),
        steps=steps if len(steps) > 1 else (),
    )
