"""Many riders along one road at once: the same forces and the same balance, followed span by span."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.descending import DESCENDING
from terrain_fuel.equations.air import air_density, headwind
from terrain_fuel.equations.cycling import (
    BEARING_FORCE_N,
    SPOKE_DRAG_AREA_M2,
    WHEEL_MASS_KG,
    gravity_force,
    rolling_force,
)
from terrain_fuel.frozen import FloatArray, IntArray
from terrain_fuel.pace.effort import SHORT_RISE_SHARE, Slopes, long_climb_share, read_slopes
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.mapped_road import rolling_share, surface_top_m_s
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.pace.momentum import steady_on_spans, weight_of
from terrain_fuel.pace.spans import (
    EASE_FROM_M_S,
    SHELTER,
    SLIGHT_DOWNHILL,
    Spans,
    span_grade,
    span_heading,
)
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

ROUNDS = 2
"""Rounds of Newton's method a span. From one span to the next a speed changes little, so that a third
moves no arrival by a tenth of a second in two hours."""

HABITS = tuple(DESCENDING)


@dataclass(frozen=True, slots=True, eq=False)
class Abreast:
    """Riders side by side; columns have shape (r,), units as in `Rider`, `Bike` and `Day`.

    ``habit`` is the place of each rider's way of descending in `HABITS`.
    """

    total_mass_kg: FloatArray
    ftp_w: FloatArray
    effort_flat: FloatArray
    effort_climb: FloatArray
    cda_m2: FloatArray
    crr: FloatArray
    drafting_share: FloatArray
    habit: IntArray
    drivetrain_efficiency: float

    @property
    def count(self) -> int:
        """How many there are."""
        return int(self.ftp_w.size)


@dataclass(frozen=True, slots=True, eq=False)
class OpenRoad:
    """A road on a day, whoever rides it; columns have shape (n - 1,).

    Parameters
    ----------
    length_m : length of the spans [m]
    pull_n_per_kg, rolling_n_per_kg : slope's pull on a kilogram, rolling resistance at a coefficient of one
    half_density : half the density of the air [kg/m3]
    headwind_m_s, crosswind_m_s : the wind along and across the road [m/s]
    ease_from_m_s : speed from which the power falls away there [m/s], inf for nowhere
    slopes : what the road says of effort
    limit_m_s : shape (h, n), the speed not to be passed at the nodes by way of descending [m/s]
    """

    length_m: FloatArray
    pull_n_per_kg: FloatArray
    rolling_n_per_kg: FloatArray
    half_density: FloatArray
    headwind_m_s: FloatArray
    crosswind_m_s: FloatArray
    ease_from_m_s: FloatArray
    slopes: Slopes
    limit_m_s: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class RiddenAbreast:
    """What came of it on each of s legs of the road, shape (s, r).

    ``duration_s``, ``work_j`` at the wheel, and ``air_m``, the way through the air [m].
    """

    duration_s: FloatArray
    work_j: FloatArray
    air_m: FloatArray


def open_road(terrain: Terrain, day: Day) -> OpenRoad:
    """Return the road on a day, with the surfaces that a map knows; for signals nobody waits."""
    profile, mapped = terrain.profile, terrain.track.mapped
    top_m_s = surface_top_m_s(profile.distance_m, mapped)
    grade = span_grade(profile)
    height = 0.5 * (profile.elevation_m[1:] + profile.elevation_m[:-1])
    heading = span_heading(profile)
    return OpenRoad(
        length_m=np.diff(profile.distance_m),
        pull_n_per_kg=gravity_force(grade, 1.0),
        rolling_n_per_kg=rolling_share(profile.distance_m, mapped) * rolling_force(grade, 1.0, 1.0),
        half_density=0.5
        * air_density(height, day.temperature_c, day.humidity_pct, float(profile.elevation_m[0])),
        headwind_m_s=headwind(day.wind_m_s, day.wind_from_deg, heading),
        crosswind_m_s=headwind(day.wind_m_s, day.wind_from_deg, heading + 90.0),
        ease_from_m_s=np.where(grade < SLIGHT_DOWNHILL, EASE_FROM_M_S, np.inf),
        slopes=read_slopes(terrain, grade),
        limit_m_s=np.array([speed_limit(profile, Rider(descending=habit), day, top_m_s) for habit in HABITS]),
    )


def ride_abreast(road: OpenRoad, riders: Abreast, ends: IntArray) -> RiddenAbreast:
    """Return how r riders ride a road, each for themselves.

    Parameters
    ----------
    road : n - 1 spans
    riders : r riders
    ends : shape (s,), rising; each leg of the road ends before this span, the last at ``n - 1``

    Notes
    -----
    On every span the balance of `momentum.ride_spans`, with its weights. Where that cuts a long span into
    parts this does not: see the tests for how far the two differ. No rider's result depends on
    who else is ridden beside: every step works on each rider alone.
    """
    push = _Push(road, riders)
    shape = (ends.size, riders.count)
    duration, work, air = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    top = road.limit_m_s[:, 0][riders.habit]
    before = np.minimum(steady_on_spans(push.spans(0), top), top)
    first = 0
    for leg, last in enumerate(ends.tolist()):
        for span in range(first, last):
            before = _ride_span(push.spans(span), before, push.ceiling(span), road.crosswind_m_s[span],
                                duration[leg], work[leg], air[leg])  # fmt: skip
        first = last
    return RiddenAbreast(duration, work, air)


def _ride_span(
    span: Spans,
    before: FloatArray,
    ceiling: FloatArray,
    across_m_s: float,
    duration: FloatArray,
    work: FloatArray,
    air: FloatArray,
) -> FloatArray:
    """Return the speed at a span's end, shape (r,) [m/s], and add what the span takes to its leg's sums."""
    begun, after = before * before, before
    step = span.length_m / span.inertia_kg
    lack, stiffness = span.net_force(before)
    late = weight_of(step * stiffness / before)
    for turn in range(ROUNDS):
        if turn:
            lack, stiffness = span.net_force(before + late * (after - before))
        balance = 0.5 * (after * after - begun) + step * lack
        yielding = 1.0 + late * step * stiffness / after
        square = np.maximum(after * after - 2.0 * balance / yielding, WALKING_PACE_M_S**2)
        after = np.minimum(np.sqrt(square), ceiling)
    carried = before + late * (after - before)
    lasted = span.length_m / carried
    duration += lasted
    speeding_up = 0.5 * span.inertia_kg * (after * after - begun)
    work += np.maximum(span.force(carried) * span.length_m + speeding_up, 0.0)
    air += lasted * np.hypot(carried + span.headwind_m_s, across_m_s) if across_m_s else span.length_m
    return after


class _Push:
    """The forces on all riders on one span after the other."""

    def __init__(self, road: OpenRoad, riders: Abreast) -> None:
        self._road, self._habit = road, riders.habit
        self._mass = riders.total_mass_kg
        self._rolling = riders.crr * riders.total_mass_kg
        area = riders.cda_m2 * (1.0 - SHELTER * riders.drafting_share) + SPOKE_DRAG_AREA_M2
        self._area = area
        self._inertia = riders.total_mass_kg + WHEEL_MASS_KG
        self._flat_w = riders.ftp_w * riders.effort_flat * riders.drivetrain_efficiency
        climb_w = riders.ftp_w * riders.effort_climb * riders.drivetrain_efficiency
        self._rise_w, self._short_w = climb_w, SHORT_RISE_SHARE * climb_w
        self._climb_of = np.full(road.length_m.size, -1)
        self._climb_w = []
        for number, (climb, first, last) in enumerate(road.slopes.climbs):
            self._climb_of[first:last] = number
            self._climb_w.append(climb_w * long_climb_share(climb, riders.total_mass_kg, riders.crr, climb_w))

    def ceiling(self, span: int) -> FloatArray:
        """Return the speed not to be passed at a span's end, shape (r,) [m/s]."""
        return np.asarray(self._road.limit_m_s[:, span + 1][self._habit])

    def spans(self, span: int) -> Spans:
        """Return one span as each rider meets it, columns of shape (r,)."""
        road = self._road
        rolling = road.rolling_n_per_kg[span] * self._rolling
        return Spans(
            length_m=road.length_m[span],
            rolling_n=rolling,
            constant_n=rolling + road.pull_n_per_kg[span] * self._mass + BEARING_FORCE_N,
            air_kg_m=road.half_density[span] * self._area,
            headwind_m_s=road.headwind_m_s[span],
            wheel_w=self._meant_w(span),
            ease_from_m_s=road.ease_from_m_s[span],
            inertia_kg=self._inertia,
        )

    def _meant_w(self, span: int) -> FloatArray:
        slopes, climb = self._road.slopes, self._climb_of[span]
        uphill = slopes.uphill[span]
        if not uphill:
            return np.asarray(slopes.downhill[span] * self._flat_w)
        rise = self._short_w if slopes.short[span] else self._rise_w
        rise = rise if climb < 0 else self._climb_w[climb]
        return np.asarray(slopes.downhill[span] * (self._flat_w + (rise - self._flat_w) * uphill))
