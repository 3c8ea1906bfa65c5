"""The gut's limit from what was eaten and how the stomach took it: steps of gut training.

Common practice (no source): a limit that was nearly reached three times with a quiet stomach is raised
by a step; one at which the stomach twice made trouble is lowered to what went well. Never above 90 g an
hour by itself [J14]_.
"""

from collections.abc import Sequence

from terrain_fuel.log.model import LoggedRide
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H

QUIET, TROUBLE = 7.0, 4.0
"""Marks of the stomach from which it was quiet, and up to which it made trouble, of 10."""

STEP_G_PER_H = 5.0
NEARLY = 0.9
LONG_S = 2.0 * 3600.0
TIMES_QUIET, TIMES_TROUBLE = 3, 2
LOOKED_AT = 8
"""So many of the latest rides are looked at."""


def gut_limit_step(log: Sequence[LoggedRide], limit_g_per_h: float) -> tuple[float, int] | None:
    """Return the next limit [g/h] and from how many rides it is taken; None to stay.

    Parameters
    ----------
    log : rides in order
    limit_g_per_h : the limit now
    """
    told = [
        (ride.eaten_g_per_h, ride.stomach)
        for ride in log
        if ride.elapsed_s >= LONG_S and ride.eaten_g_per_h is not None and ride.stomach is not None
    ][-LOOKED_AT:]
    near = [(rate, mark) for rate, mark in told if rate >= NEARLY * limit_g_per_h]
    troubled = [rate for rate, mark in near if mark <= TROUBLE]
    if len(troubled) >= TIMES_TROUBLE:
        well = [rate for rate, mark in told if mark >= QUIET and rate < min(troubled)]
        lower = max(well, default=limit_g_per_h - 2.0 * STEP_G_PER_H)
        return max(STEP_G_PER_H * round(lower / STEP_G_PER_H), 30.0), len(told)
    quiet = [rate for rate, mark in near if mark >= QUIET]
    if len(quiet) >= TIMES_QUIET and not troubled and limit_g_per_h < OPT_IN_ABOVE_G_PER_H:
        return min(limit_g_per_h + STEP_G_PER_H, OPT_IN_ABOVE_G_PER_H), len(quiet)
    return None
