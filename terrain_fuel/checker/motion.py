"""Clock, speed and power: totals and stretches say the same as the timeline, its columns as each other."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.checker.fault import Fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

EDGE_S, ROW_S = 0.05, 1.5
FASTER = 2.0  # than at either end of a row nobody rides between them, but off a halt or over a crest
MOVING_SHARE, MOVING_S = 0.16, 60.0  # rows 100 m apart miss what speed and power do between them
WORK_SHARE, WORK_KJ = 0.16, 10.0
STEEPEST = 0.45  # where the heights leap as on no road, rows miss most of what is climbed
EDGE_EFFORT = 0.002
SLOWEST_M_S = 0.5


def check_clock(plan: PlanFile) -> Iterator[Fault]:
    """Totals and stretches keep the timeline's clock, from 0 to the finish."""
    totals, clock_s = plan.data["totals"], plan.timeline["time_s"]
    elapsed_s = totals.get("elapsed_s", plan.finish_s)
    if abs(elapsed_s - plan.finish_s) > ROW_S:
        said = f"elapsed_s is {elapsed_s:g}, the timeline ends at {plan.finish_s:g} s"
        yield sum_fault("totals", said, plan.length_m, elapsed_s - plan.finish_s, "s")
    if abs(clock_s[0]) > EDGE_S:
        yield sum_fault("timeline", f"time_s begins at {clock_s[0]:g}; it must at 0")
    before_s = 0.0
    for index, stretch in enumerate(plan.data["stretches"]):
        where = f"stretches[{index}]"
        if abs(stretch["start_s"] - before_s) > EDGE_S:
            said = f"start_s is {stretch['start_s']:g}, the one before ends at {before_s:g}"
            yield sum_fault(where, said, stretch["start_m"], stretch["start_s"] - before_s, "s")
        early_s, late_s = plan.clock_about(stretch["end_m"])
        if not early_s - ROW_S <= stretch["end_s"] <= late_s + ROW_S:
            passes = f"the timeline passes there from {early_s:.0f} to {late_s:.0f}"
            yield sum_fault(where, f"end_s is {stretch['end_s']:g}, {passes}", stretch["end_m"])
        before_s = stretch["end_s"]


def check_speed(plan: PlanFile) -> Iterator[Fault]:
    """No row is ridden faster than the speeds at its ends, and all speeds make up the moving time."""
    road_m, speed_m_s = plan.timeline["distance_m"], plan.timeline["speed_m_s"]
    rows_m, rows_s = np.diff(road_m), np.diff(plan.timeline["time_s"])
    if rows_s.min() <= 0 or speed_m_s.min() <= 0:
        return  # told elsewhere
    ridden_m_s, most_m_s = rows_m / rows_s, np.maximum(speed_m_s[1:], speed_m_s[:-1])
    over = ridden_m_s / most_m_s
    if over.max() > FASTER:
        worst = int(over.argmax())
        said = f"{ridden_m_s[worst]:.2f} m/s by the clock, speed_m_s is {most_m_s[worst]:.2f} at most"
        yield sum_fault(
            "timeline", said, float(road_m[worst]), float(ridden_m_s[worst] - most_m_s[worst]), "m/s"
        )
    worked_s = float((2.0 * rows_m / (speed_m_s[1:] + speed_m_s[:-1])).sum())
    moving_s = plan.data["totals"]["moving_time_s"]
    if abs(worked_s - moving_s) > MOVING_SHARE * moving_s + MOVING_S:
        said = f"moving_time_s is {moving_s:.0f}, the timeline's speeds make {worked_s:.0f}"
        yield sum_fault("totals", said, 0.0, moving_s - worked_s, "s")


def check_power(plan: PlanFile) -> Iterator[Fault]:
    """The effort is the power as a share of FTP, and the power makes up the work."""
    columns = plan.timeline
    road_m, power_w = columns["distance_m"], columns["power_w"]
    if power_w.min() < 0:
        yield sum_fault(
            "timeline", f"power_w is {power_w.min():g}; 0 is the least", float(road_m[power_w.argmin()])
        )
    ftp_w = plan.rider.get("ftp_w")
    if ftp_w is not None:
        off = np.abs(columns["heart_or_effort"] - power_w / ftp_w)
        worst = int(off.argmax())
        if off[worst] > EDGE_EFFORT:
            effort, worked = columns["heart_or_effort"][worst], power_w[worst] / ftp_w
            said = f"heart_or_effort is {effort:.3f}, {power_w[worst]:.0f} W of {ftp_w:g} are {worked:.3f}"
            yield sum_fault("timeline", said, float(road_m[worst]))
    if np.any(np.abs(np.diff(columns["elevation_m"])) > STEEPEST * np.diff(road_m)):
        return
    speed_m_s = np.maximum((columns["speed_m_s"][1:] + columns["speed_m_s"][:-1]) / 2.0, SLOWEST_M_S)
    worked_kj = float(((power_w[1:] + power_w[:-1]) / 2.0 * np.diff(road_m) / speed_m_s).sum()) / 1000.0
    work_kj = plan.data["totals"]["work_kj"]
    if abs(work_kj - worked_kj) > WORK_SHARE * worked_kj + WORK_KJ:
        said = f"work_kj is {work_kj:.0f}, the timeline's power makes {worked_kj:.0f}"
        yield sum_fault("totals", said, 0.0, work_kj - worked_kj, "kJ")
