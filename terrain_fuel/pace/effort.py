"""What the rider means to give where: on the flat, on climbs, over short rises, downhill."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.day import Day
from terrain_fuel.equations.cycling import GRAVITY_M_S2
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Stretch, Terrain

RISE_GRADE = 0.03
"""From this grade on a rise gets the climb's effort, below it a part; common practice (no source)."""

DOWNHILL_FULL, DOWNHILL_NONE = -0.005, -0.06
"""Power is whole down to the first grade and gone at the second, where the road pulls enough by
itself; common practice (no source)."""

LONG_CLIMB_FROM_S, LONG_CLIMB_TO_S, LONG_CLIMB_SHARE = 3600.0, 5400.0, 0.95
"""From an hour on a climb is held back, from an hour and a half it gets this share of the climb's
effort; common practice (no source)."""

SHORT_RISE_M, SHORT_RISE_GRADE, SHORT_RISE_SHARE = 300.0, 0.05, 1.10
"""A rise no longer, and steeper, is carried over on momentum, with this share of the climb's effort;
common practice (no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Slopes:
    """What the road itself says of effort, whoever rides it; columns have shape (n - 1,).

    ``uphill`` and ``downhill`` are shares in [0, 1]: how far the climb's effort stands in the place of the
    flat's, and how much of the power is pedalled at all. ``short`` marks short steep rises outside the
    ``climbs``, each a stretch with its first span and the one behind its last.
    """

    uphill: FloatArray
    downhill: FloatArray
    short: BoolArray
    climbs: tuple[tuple[Stretch, int, int], ...]


def read_slopes(terrain: Terrain, grade: FloatArray) -> Slopes:
    """Return the slopes of a road; ``grade`` is rise over run of its spans, shape (n - 1,)."""
    uphill = np.clip(grade / RISE_GRADE, 0.0, 1.0)
    distance = terrain.profile.distance_m
    rising = grade > 0.0
    short = _short_rises(grade, np.diff(distance))
    climbs = []
    for climb in (stretch for stretch in terrain.stretches if stretch.kind == "climb"):
        first, last = np.searchsorted(distance, (climb.start_m, climb.end_m)).tolist()
        uphill[first:last][rising[first:last]] = 1.0
        short[first:last] = False
        climbs.append((climb, first, last))
    downhill = np.clip((grade - DOWNHILL_NONE) / (DOWNHILL_FULL - DOWNHILL_NONE), 0.0, 1.0)
    return Slopes(uphill, downhill, short, tuple(climbs))


def intended_power(terrain: Terrain, grade: FloatArray, rider: Rider, day: Day) -> FloatArray:
    """Return the power the rider means to give at the pedals on each span [W], shape (n - 1,).

    Parameters
    ----------
    terrain : the road, n nodes
    grade : shape (n - 1,), rise over run of the spans
    rider, day : FTP, mass and the day's efforts as fractions of FTP

    Notes
    -----
    Up to the day: ``effort_flat`` on the level and ``effort_climb`` on every rise inside a climb
    and on other rises of 3 % and more.
    """
    slopes = read_slopes(terrain, grade)
    share = np.ones_like(grade)
    for climb, first, last in slopes.climbs:
        climb_w = day.effort_climb * rider.ftp_w * rider.bike.drivetrain_efficiency
        share[first:last] = long_climb_share(climb, rider.total_mass_kg, rider.bike.crr, climb_w)
    share[slopes.short] = SHORT_RISE_SHARE
    effort = day.effort_flat + (share * day.effort_climb - day.effort_flat) * slopes.uphill
    return np.asarray(rider.ftp_w * effort * slopes.downhill)


def long_climb_share(climb: Stretch, mass_kg: ArrayLike, crr: ArrayLike, climb_w: ArrayLike) -> FloatArray:
    """Return how much of the climb's effort its length leaves; time from lifting and rolling alone.

    ``climb_w`` is the climb's effort at the wheel [W]; one rider, or as many as the shapes say.
    """
    lift_j = np.asarray(mass_kg) * GRAVITY_M_S2 * (climb.gain_m + np.asarray(crr) * climb.length_m)
    lasts_s = lift_j / np.asarray(climb_w)
    held_back = np.interp(lasts_s, (LONG_CLIMB_FROM_S, LONG_CLIMB_TO_S), (1.0, LONG_CLIMB_SHARE))
    return np.asarray(held_back)


def _short_rises(grade: FloatArray, length: FloatArray) -> BoolArray:
    """Return where the road rises steeply but not for long, shape (n - 1,)."""
    rise = grade >= RISE_GRADE
    starts = np.concatenate(([0], np.flatnonzero(np.diff(rise)) + 1))
    run_m = np.add.reduceat(length, starts)
    mean = np.add.reduceat(grade * length, starts) / run_m
    short = rise[starts] & (run_m <= SHORT_RISE_M) & (mean >= SHORT_RISE_GRADE)
    return np.repeat(short, np.diff(np.append(starts, grade.size)))
