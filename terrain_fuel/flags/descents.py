"""Descents that want both hands: hairpins, and bends too tight for the speed the road gives."""

from collections.abc import Iterable

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.air import air_density
from terrain_fuel.equations.braking import corner_speed
from terrain_fuel.equations.cycling import coasting_speed
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Corner, Step, Stretch, Terrain

DRY_LEAN_G, WET_LEAN_G = 0.3, 0.2
"""Sideways acceleration planned for in bends, far from the 1 g that tyres hold [Br]_; from memory."""

RUN_IN_M = 200.0
"""The grade over this length before a bend sets the speed into it [m]."""

BRAKING_M = 100.0
"""A flag begins so far before its first bend: from 60 to 20 km/h at 0.25 g and 8 % down take 75 m [m]."""

FEWEST_BENDS = 2
"""One bend makes no technical descent, unless it is a hairpin."""


def technical_descents(terrain: Terrain, rider: Rider, day: Day) -> tuple[Caution, ...]:
    """Return a safety flag for every technical part of a descent; its note says what makes it so.

    Parameters
    ----------
    terrain : the road
    rider : whose ``descending`` habit draws the line
    day : a wet surface lowers what a bend allows

    Notes
    -----
    A flag goes from where one brakes for its first bend to the end of its last: not over the whole
    descent. Where the rider turns round there is no bend of the road.
    """
    habit = rider.descending_habit
    fast = _too_fast(terrain, rider, day)
    marked = [
        corner
        for corner, too_fast in zip(terrain.corners, fast, strict=True)
        if corner.hairpin or (too_fast and corner.kind != "turn_round")
    ]
    flags = []
    for part in _steep_parts(terrain.stretches, habit.steep_from * terrain.kept_share):
        inside = [c for c in marked if part.start_m <= (c.start_m + c.end_m) / 2 < part.end_m]
        for bends in _one_after_the_other(inside, 1000.0 / habit.bends_per_km):
            hairpins = sum(corner.hairpin for corner in bends)
            if hairpins or len(bends) >= FEWEST_BENDS:
                start_m = max(bends[0].start_m - BRAKING_M, part.start_m)
                end_m = min(bends[-1].end_m, part.end_m)
                note = _reason(hairpins, len(bends), end_m - start_m, part.mean_grade, day)
                flags.append(Caution("technical_descent", start_m, end_m, True, note))
    return tuple(flags)


def _one_after_the_other(corners: list[Corner], apart_m: float) -> list[list[Corner]]:
    """Return corners in groups with no longer way from one to the next."""
    groups: list[list[Corner]] = []
    for corner in corners:
        if groups and corner.start_m - groups[-1][-1].end_m <= apart_m:
            groups[-1].append(corner)
        else:
            groups.append([corner])
    return groups


def is_technical(stretch: Stretch, cautions: Iterable[Caution]) -> bool:
    """Return whether a technical descent's flag falls into a descent."""
    return stretch.kind == "descent" and any(
        flag.kind == "technical_descent" and flag.start_m < stretch.end_m and flag.end_m > stretch.start_m
        for flag in cautions
    )


def _steep_parts(stretches: tuple[Stretch, ...], steep_from: float) -> list[Step]:
    """Return the parts of road that are steep down, neighbours joined."""
    parts: list[Step] = []
    for stretch in stretches:
        for step in stretch.steps or (Step(stretch.start_m, stretch.end_m, stretch.mean_grade),):
            if step.mean_grade > steep_from:
                continue
            if parts and parts[-1].end_m == step.start_m:
                step = _joined(parts.pop(), step)
            parts.append(step)
    return parts


def _joined(a: Step, b: Step) -> Step:
    fall = a.mean_grade * (a.end_m - a.start_m) + b.mean_grade * (b.end_m - b.start_m)
    return Step(a.start_m, b.end_m, fall / (b.end_m - a.start_m))


def _too_fast(terrain: Terrain, rider: Rider, day: Day) -> BoolArray:
    """Tell for each corner whether the bicycle, left to roll, would come too fast into it."""
    corners = terrain.corners
    if not corners:
        return np.zeros(0, dtype=bool)
    start = np.array([corner.start_m for corner in corners])
    radius = np.array([corner.radius_m for corner in corners])
    rolling = _coasting(terrain, start, rider, day)
    allowed = corner_speed(radius, WET_LEAN_G if day.surface_wet else DRY_LEAN_G)
    return np.asarray(rolling > rider.descending_habit.speed_ratio * allowed)


def _coasting(terrain: Terrain, at_m: FloatArray, rider: Rider, day: Day) -> FloatArray:
    """Return the speed at which the bicycle rolls down to places [m/s]."""
    profile = terrain.profile
    before = np.maximum(at_m - RUN_IN_M, 0.0)
    height = np.interp(at_m, profile.distance_m, profile.elevation_m)
    rise = height - np.interp(before, profile.distance_m, profile.elevation_m)
    return coasting_speed(
        rise / np.maximum(terrain.kept_share * (at_m - before), profile.step_m),
        mass_kg=rider.total_mass_kg,
        cda_m2=rider.bike.cda_m2,
        crr=rider.bike.crr,
        density_kg_m3=air_density(
            height, day.temperature_c, day.humidity_pct, measured_at_m=float(profile.elevation_m[0])
        ),
    )


def _reason(hairpins: int, bends: int, length_m: float, grade: float, day: Day) -> Fact:
    wet = fact("on_wet_road") if day.surface_wet else NOTHING
    return fact(
        "hairpins" if hairpins else "tight_bends",
        count=hairpins or bends,
        length_m=length_m,
        grade=grade,
        wet=wet,
    )
