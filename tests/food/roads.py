"""Roads ridden by hand: small terrains, paces and demands made from stretches and times."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.intake import intake_curve_g
from terrain_fuel.demand.model import Demand
from terrain_fuel.frozen import FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import Road, survey_road
from terrain_fuel.terrain.model import Profile, Stretch, StretchKind, Terrain
from terrain_fuel.track import Track
from tests.usual import USUAL

STEP_M = 50.0
SPEED_M_S: dict[StretchKind, float] = {"flat": 8.5, "climb": 3.9, "descent": 12.0}
EFFORT: dict[StretchKind, float] = {"flat": 0.65, "climb": 0.78, "descent": 0.25}
GRADE: dict[StretchKind, float] = {"flat": 0.0, "climb": 0.06, "descent": -0.06}


@dataclass(frozen=True)
class Part:
    """A piece of road: kind, length, grade and how free the hands are on it."""

    kind: StretchKind
    km: float
    grade: float | None = None
    hands: float = 0.9
    flagged: bool = False

    @property
    def slope(self) -> float:
        """Grade, the kind's usual one if none is given."""
        return GRADE[self.kind] if self.grade is None else self.grade


@dataclass(frozen=True)
class Ridden:
    """A road with its pace, demand and hands, and what the rules see of it."""

    demand: Demand
    hands: Hands
    road: Road
    rider: Rider
    day: Day

    def drinking(self, drink_g: FloatArray) -> "Ridden":
        """Return the same with so much carbohydrate from drink by every node [g]."""
        return replace(self, road=replace(self.road, drink_g=drink_g))

    def drinking_g_per_h(self, rate_g_per_h: float) -> "Ridden":
        """Return the same with drink that brings carbohydrate at an even rate."""
        return self.drinking(rate_g_per_h * self.road.clock_s / 3600.0)


def ride(
    parts: Sequence[Part],
    rider: Rider | None = None,
    day: Day | None = None,
    *,
    target_g_per_h: float = 60.0,
    stops: tuple[Stop, ...] = (),
) -> Ridden:
    """Return a road ridden at set speeds, with a front-loaded carbohydrate target."""
    rider, day = rider or USUAL, day or Day()
    pace = _pace(parts, stops)
    terrain = pace.terrain
    target_g = intake_curve_g(pace.clock_s, target_g_per_h, rider)
    sweat = 700.0 * pace.clock_s / 3600.0
    demand = Demand(
        pace=pace, carbohydrate_burned_g=100.0 * pace.clock_s / 3600.0, carbohydrate_target_g=target_g,
        sweat_ml=sweat, fluid_target_ml=0.7 * sweat, sodium_target_mg=0.5 * sweat,
        caffeine_mg_max=rider.caffeine_mg_max, caffeine_mg_single=min(200.0, rider.caffeine_mg_max),
        caffeine_spans_s=((pace.elapsed_s * 2 / 3, pace.elapsed_s),), burned_spread=0.1, sweat_spread=0.2,
        carbohydrate_wanted_g_per_h=target_g_per_h,
    )  # fmt: skip
    hands = _hands(parts, terrain, pace)
    road = survey_road(demand, hands, np.zeros_like(pace.clock_s), rider, day)
    return Ridden(demand, hands, road, rider, day)


def _pace(parts: Sequence[Part], stops: tuple[Stop, ...]) -> Pace:
    ends = np.cumsum([part.km * 1000.0 for part in parts])
    distance = np.append(np.arange(0.0, ends[-1] - 1e-6, STEP_M), ends[-1])
    part_of = np.minimum(np.searchsorted(ends, distance, side="right"), len(parts) - 1)
    grade = np.array([part.slope for part in parts])[part_of]
    speed = np.array([SPEED_M_S[part.kind] for part in parts])[part_of]
    effort = np.array([EFFORT[part.kind] for part in parts])[part_of]
    moving = np.concatenate(([0.0], np.cumsum(np.diff(distance) / speed[:-1])))
    clock = moving.copy()
    for stop in stops:
        clock[distance > stop.distance_m] += stop.duration_s
    return Pace(
        terrain=_terrain(parts, distance, grade), speed_m_s=speed, power_w=220 * effort, effort=effort,
        moving_s=moving, clock_s=clock, limit_m_s=np.full(distance.size, 20.0), stops=stops,
    )  # fmt: skip


def _terrain(parts: Sequence[Part], distance: np.ndarray, grade: np.ndarray) -> Terrain:
    height = 300.0 + np.concatenate(([0.0], np.cumsum(np.diff(distance) * grade[:-1])))
    count = distance.size
    flat = np.zeros(count)
    lat = 46.0 + distance / 111_000.0
    track = Track("made road", "made.gpx", lat, flat + 7.0, distance, height, flat.astype(bool))
    profile = Profile(
        STEP_M, distance, lat, flat + 7.0, flat, height, flat + 1.0, grade, flat + 0.005,
        np.full(count, np.inf), flat.astype(bool),
    )  # fmt: skip
    ends = np.cumsum([part.km * 1000.0 for part in parts])
    stretches = tuple(
        Stretch(part.kind, float(end - part.km * 1000), float(end), part.slope * part.km * 1000,
                part.slope, part.slope)
        for part, end in zip(parts, ends, strict=True)
    )  # fmt: skip
    return Terrain(track, profile, stretches, (), (), 0.0, 0.0)


def _hands(parts: Sequence[Part], terrain: Terrain, pace: Pace) -> Hands:
    distance = terrain.profile.distance_m
    score = np.zeros(distance.size)
    veto = np.zeros(distance.size, dtype=bool)
    for part, stretch in zip(parts, terrain.stretches, strict=True):
        inside = (distance >= stretch.start_m) & (distance <= stretch.end_m)
        score[inside] = part.hands
        if part.flagged:
            start_m = min(
                stretch.start_m - 200.0,
                float(np.interp(pace.clock_at(stretch.start_m) - 20.0, pace.clock_s, distance)),
            )
            veto |= (distance >= start_m) & (distance <= stretch.end_m)
    return Hands(np.where(veto, 0.0, score), veto)


HILLY_LOOP = (
    Part("flat", 18), Part("climb", 5), Part("descent", 6, hands=0.5, flagged=True), Part("flat", 14),
    Part("climb", 8), Part("descent", 9, hands=0.6), Part("flat", 15), Part("climb", 4),
    Part("descent", 4, -0.03), Part("flat", 16), Part("climb", 3), Part("descent", 4), Part("flat", 14),
)  # fmt: skip
"""120 km with four climbs, about four and a half hours at the speeds above."""
