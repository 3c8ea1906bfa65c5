"""Heights: stretches, ascent and grades say the same as the timeline's column of heights."""

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.checker.fault import Fault, say_km, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_M, EDGE_GRADE, EDGE_INDEX = 0.01, 1e-4, 0.03
ROW_M = 8.0  # a stretch may turn between two rows, where the column cuts its crest ...
ROAD_KINK_M = 10.0  # ... and where it bends more than roads do from row to row, it cuts more
ENDS_M, ROUNDED_M = 0.05, 0.001
UP_SHARE, UP_M = 1.2, 40.0  # rows 100 m apart miss the smallest ups and downs
WINDOW, GRADE_M, GRADE_SHARE = 10, 8.0, 0.05


def check_stretch_heights(plan: PlanFile) -> Iterator[Fault]:
    """A stretch's gain is the difference of its heights, its grades follow from it, and so does its kind."""
    for index, stretch in enumerate(plan.data["stretches"]):
        where, start_m, end_m = f"stretches[{index}]", stretch["start_m"], stretch["end_m"]
        length_m, gain_m = end_m - start_m, stretch["gain_m"]
        if length_m <= 0:
            continue
        rise_m = plan.along("elevation_m", end_m) - plan.along("elevation_m", start_m)
        if abs(gain_m - rise_m) > max(ROW_M, _cut_m(plan, start_m), _cut_m(plan, end_m)):
            said = f"gain_m is {gain_m:.1f}, the timeline rises by {rise_m:.1f}"
            yield sum_fault(where, said, start_m, gain_m - rise_m, "m")
        if abs(stretch["mean_grade"] - gain_m / length_m) > EDGE_GRADE + ROUNDED_M / length_m:
            said = f"mean_grade is {stretch['mean_grade']:.4f}, gain and length make {gain_m / length_m:.4f}"
            yield sum_fault(where, said, start_m)
        if {"climb": gain_m <= 0, "descent": gain_m >= 0}.get(stretch["kind"], False):
            yield sum_fault(where, f"a {stretch['kind']} with a gain of {gain_m:.1f} m", start_m)
        yield from _check_steepness(plan, where, stretch)
        yield from _check_steps(where, stretch)


def _check_steepness(plan: PlanFile, where: str, stretch: Mapping[str, Any]) -> Iterator[Fault]:
    """The steepest part is no gentler than the mean; a climb's index follows from its height [FI]."""
    mean, steepest = stretch["mean_grade"], stretch.get("steepest_grade", stretch["mean_grade"])
    sign = {"climb": 1.0, "descent": -1.0}.get(stretch["kind"], 0.0)
    if sign * (steepest - mean) < -EDGE_GRADE:
        yield sum_fault(where, f"steepest_grade is {steepest:.4f}, the mean {mean:.4f}", stretch["start_m"])
    if stretch.get("rolling", False) and stretch["kind"] != "flat":
        yield sum_fault(
            where, f"a {stretch['kind']} is said to be rolling; only a flat is", stretch["start_m"]
        )
    index, worked = stretch.get("climb_index"), 0.0
    if stretch["kind"] == "climb":
        top_m = plan.along("elevation_m", stretch["end_m"])
        worked = stretch["gain_m"] ** 2 / (10.0 * (stretch["end_m"] - stretch["start_m"]))
        worked += max(0.0, (top_m - 1000.0) / 1000.0)
    edge = max(EDGE_INDEX, _cut_m(plan, stretch["end_m"]) / 1000.0)
    if index is not None and abs(index - worked) > edge:
        yield sum_fault(
            where, f"climb_index is {index:.2f}, its heights make {worked:.2f}", stretch["start_m"]
        )


def _cut_m(plan: PlanFile, at_m: float) -> float:
    """Return how far the road's height at a place may lie from the straight line between rows [m]."""
    kinks_m, road_m = _kinks_m(plan), plan.timeline["distance_m"]
    after = int(np.clip(np.searchsorted(road_m, at_m), 1, road_m.size - 1))
    return float(kinks_m[after - 1 : after + 1].max())


def _kinks_m(plan: PlanFile) -> NDArray[np.float64]:
    """Return at each row how far off the height is that the two rows before, or behind, point to [m]."""
    return np.pad(np.abs(np.diff(plan.timeline["elevation_m"], 2)), 1)


def _no_road_m(plan: PlanFile) -> NDArray[np.float64]:
    """Return by how much the heights bend more at each row than roads do [m]."""
    return np.maximum(_kinks_m(plan) - ROAD_KINK_M, 0.0)


def _check_steps(where: str, stretch: Mapping[str, Any]) -> Iterator[Fault]:
    """The parts of a stretch tile it, and their heights add up to its own."""
    steps = stretch.get("steps", [])
    if not steps:
        return
    starts = [*(step["start_m"] for step in steps), stretch["end_m"]]
    ends = [stretch["start_m"], *(step["end_m"] for step in steps)]
    if max(abs(start_m - end_m) for start_m, end_m in zip(starts, ends, strict=True)) > EDGE_M:
        said = f"its {len(steps)} steps do not tile it from {say_km(stretch['start_m'])} on"
        yield sum_fault(where, said, stretch["start_m"])
        return
    rise_m = sum(step["mean_grade"] * (step["end_m"] - step["start_m"]) for step in steps)
    if abs(rise_m - stretch["gain_m"]) > EDGE_GRADE * (stretch["end_m"] - stretch["start_m"]) + EDGE_M:
        said = f"its steps rise by {rise_m:.1f} m, gain_m is {stretch['gain_m']:.1f}"
        yield sum_fault(where, said, stretch["start_m"], rise_m - stretch["gain_m"], "m")


def check_ascent(plan: PlanFile) -> Iterator[Fault]:
    """Ascent less descent is the height won; the ascent lies between the longest way up and all of them."""
    route, height_m = plan.data["route"], plan.timeline["elevation_m"]
    won_m, said_m = float(height_m[-1] - height_m[0]), route["ascent_m"] - route["descent_m"]
    if abs(won_m - said_m) > ENDS_M:
        said = f"ascent_m less descent_m is {said_m:.1f}, the timeline ends {won_m:.1f} m above its start"
        yield sum_fault("route", said, 0.0, said_m - won_m, "m")
    up_m = float(np.maximum(np.diff(height_m), 0.0).sum())
    highest_m = float((height_m - np.minimum.accumulate(height_m)).max())
    most_m = UP_SHARE * up_m + UP_M + float(_no_road_m(plan).sum()) / 2.0
    if not highest_m - ROW_M <= route["ascent_m"] <= most_m:
        said = f"ascent_m is {route['ascent_m']:.0f}, the timeline climbs {up_m:.0f}, {highest_m:.0f} at once"
        yield sum_fault("route", said, 0.0, route["ascent_m"] - up_m, "m")


def check_grades(plan: PlanFile) -> Iterator[Fault]:
    """Over a kilometre the grades add up to the height won."""
    columns = plan.timeline
    road_m, height_m = columns["distance_m"], columns["elevation_m"]
    rows = min(WINDOW, road_m.size - 1)
    mean = (columns["grade"][1:] + columns["grade"][:-1]) / 2.0
    summed_m = np.concatenate([[0.0], np.cumsum(mean * np.diff(road_m))])
    rise_m, worked_m = height_m[rows:] - height_m[:-rows], summed_m[rows:] - summed_m[:-rows]
    # a grade that leaps from row to row may have been anything between them
    leaps_m = np.abs(np.diff(columns["grade"])) * np.diff(road_m)
    leaps_m = np.maximum(leaps_m - ROAD_KINK_M, 0.0) + _no_road_m(plan)[1:]
    cut_m = np.convolve(leaps_m, np.ones(rows), "valid") / 2.0
    off_m = np.abs(worked_m - rise_m) - GRADE_M - GRADE_SHARE * np.abs(rise_m) - cut_m
    if off_m.max() > 0:
        worst = int(off_m.argmax())
        said = (
            f"grade adds up to {worked_m[worst]:.1f} m over {rows} rows, elevation_m to {rise_m[worst]:.1f}"
        )
        yield sum_fault("timeline", said, float(road_m[worst]), float(worked_m[worst] - rise_m[worst]), "m")
