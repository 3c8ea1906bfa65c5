"""The clock under the profile: for whole hours the road on which the ride likely is."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.profile_frame import Frame
from terrain_fuel.outputs.drawing.shapes import Label, Line, Shape, Strokes
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.plan import Plan

ROOM = 3.6
"""Width that a time of day needs, in heights of the lettering."""

HOURS = (1, 2, 3, 6, 12)


def likely_clock(frame: Frame, plan: Plan) -> list[Shape]:
    """Return for each whole hour that has room a bar from where a slow ride is to where a fast one is."""
    hour_px = (frame.right - frame.left) * plan.terrain.length_m / frame.length_m
    hour_px *= 3600.0 / plan.totals.elapsed_s
    steps = (hours for hours in HOURS if hours * hour_px >= ROOM * frame.text)
    times_s, (slow_m, likely_m, fast_m) = next(
        filter(_are_apart, (_hourly(plan, step) for step in steps)), _hourly(plan, HOURS[-1])
    )
    y = frame.base + 3.15 * frame.text
    end = 0.3 * frame.text
    bars: list[Line] = []
    shapes: list[Shape] = []
    for time_s, *places_m in zip(times_s.tolist(), slow_m, likely_m, fast_m, strict=True):
        if not frame.start_m <= places_m[1] < frame.end_m:
            continue
        low, middle, high = (float(frame.x(np.clip(at, frame.start_m, frame.end_m))) for at in places_m)
        bars.append(((low, y), (high, y)))
        bars.extend(((x, y - end), (x, y + end)) for x in (low, middle, high))
        x = float(np.clip(middle, frame.left, frame.width - 0.5 * ROOM * frame.text))
        text = clock_text(plan.day.start, time_s)
        shapes.append(Label("quiet", x, frame.base + 4.45 * frame.text, text, 0.92 * frame.text, "middle"))
    return [Strokes("likely", tuple(bars)), *shapes] if bars else []


def _hourly(plan: Plan, step_h: int) -> tuple[FloatArray, tuple[FloatArray, FloatArray, FloatArray]]:
    """Return the whole hours of a ride [s], some hours apart, and where it likely is then."""
    times_s = 3600.0 * np.arange(step_h, plan.totals.elapsed_s / 3600.0, step_h)
    return times_s, likely_places(plan, times_s)


def _are_apart(hourly: tuple[FloatArray, tuple[FloatArray, FloatArray, FloatArray]]) -> bool:
    """Return whether no bar reaches into the next one."""
    _, (slow_m, _, fast_m) = hourly
    return bool((fast_m[:-1] < slow_m[1:]).all())


def likely_places(plan: Plan, times_s: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return where a slow, the planned and a fast ride are at some times since the start [m].

    Slow and fast are the clocks at which each fuel point is likely reached, latest and earliest.
    """
    points = plan.fuel_points
    at_m = np.array([0.0, *(point.distance_m for point in points), plan.terrain.length_m])
    end_s = plan.totals.elapsed_s
    luck = plan.luck
    early_end, late_end = (luck.finish_earliest_s, luck.finish_latest_s) if luck else (end_s, end_s)
    if luck is None and points:
        last = points[-1]
        early_end = end_s * last.earliest_s / last.time_s
        late_end = end_s * last.latest_s / last.time_s
    early_s = np.maximum.accumulate([0.0, *(point.earliest_s for point in points), early_end])
    late_s = np.maximum.accumulate([0.0, *(point.latest_s for point in points), late_end])
    planned_m = np.interp(times_s, plan.timeline.time_s, plan.timeline.distance_m)
    slow_m, fast_m = (np.interp(times_s, clock_s, at_m) for clock_s in (late_s, early_s))
    return np.minimum(slow_m, planned_m), planned_m, np.maximum(fast_m, planned_m)
