"""Rides of the demo with known truth: late, early, off the road and back, halts, bites missed."""

from dataclasses import dataclass, field, replace
from datetime import timedelta

import numpy as np
import shapely

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.plan import Plan
from tests.recording_files import Points

DEGREE_M = 111_195.0
STEP_M = 5.0


@dataclass(slots=True)
class Truth:
    """What happened: events as kind and place, halts as place and duration, bites left, the bottle lost.

    In the spans ``unclear`` the ride drifts off the road or towards it: nobody can say where it left.
    """

    events: list[tuple[str, float]] = field(default_factory=list)
    halts: list[tuple[float, float]] = field(default_factory=list)
    arrivals_s: dict[int, float] = field(default_factory=dict)
    left: dict[int, str] = field(default_factory=dict)
    lost: tuple[str, float] | None = None
    unclear: list[tuple[float, float]] = field(default_factory=list)


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """What was ridden: place on the plan's road [m] (NaN beside it), on a plane [m], when [s]."""

    along_m: FloatArray
    east_m: FloatArray
    north_m: FloatArray
    clock_s: FloatArray


def made_ride(plan: Plan, seed: int) -> tuple[Points, Truth]:
    """Return what a device wrote on a ride of a plan, and what was true."""
    rng = np.random.default_rng(seed)
    truth = Truth()
    way = _road(plan, rng, truth)
    way = _off_the_road(plan, way, rng, truth)
    way = _with_halts(plan, way, rng, truth)
    on_road = np.isfinite(way.along_m)
    for point in plan.fuel_points:
        if way.along_m[on_road][0] <= point.distance_m <= way.along_m[on_road][-1] and not _skipped(
            way, point.distance_m
        ):
            first = int(np.argmax(np.where(on_road, way.along_m, -1.0) >= point.distance_m))
            truth.arrivals_s[point.number] = float(way.clock_s[first])
    _forget(plan, rng, truth)
    return _written(plan, way, rng, paused=bool(rng.integers(2))), truth


def _skipped(way: Way, at_m: float) -> bool:
    """Return whether the place lies on a part of the road that was left out."""
    on_road = np.flatnonzero(np.isfinite(way.along_m))
    after = int(np.searchsorted(way.along_m[on_road], at_m))
    before = max(after - 1, 0)
    return bool(
        way.along_m[on_road[min(after, on_road.size - 1)]] - way.along_m[on_road[before]] > 3 * STEP_M
    )


def _road(plan: Plan, rng: np.random.Generator, truth: Truth) -> Way:
    """Return the planned road ridden faster or slower from some place on, from and to some places."""
    start_m = float(rng.uniform(1500.0, 15_000.0)) if rng.random() < 0.35 else 0.0
    end_m = float(rng.uniform(80_000.0, 110_000.0)) if rng.random() < 0.25 else plan.terrain.length_m
    if start_m:
        truth.events.append(("started_late", start_m))
    along_m = np.arange(start_m, end_m, STEP_M)
    track = plan.terrain.track
    change_m, factor = float(rng.uniform(30_000.0, 70_000.0)), float(rng.choice([0.92, 1.0, 1.07, 1.12]))
    took = np.diff(np.interp(along_m, plan.pace.distance_m, plan.pace.moving_s))
    took = took * np.where(along_m[1:] > change_m, factor, 1.0)
    north_m = DEGREE_M * np.interp(along_m, track.distance_m, track.lat_deg)
    east_m = _degree_east_m(plan) * np.interp(along_m, track.distance_m, track.lon_deg)
    truth.unclear += [(start_m - 30.0, start_m), (end_m - 5.0, end_m + 30.0)]
    if end_m < plan.terrain.length_m:
        truth.events.append(("stopped_early", end_m))
    return Way(along_m, east_m, north_m, np.concatenate(([0.0], np.cumsum(took))))


def _degree_east_m(plan: Plan) -> float:
    return float(DEGREE_M * np.cos(np.radians(plan.terrain.track.lat_deg.mean())))


def _off_the_road(plan: Plan, way: Way, rng: np.random.Generator, truth: Truth) -> Way:
    """Return the way with a detour or a shortcut, and with a turn off and back."""
    if rng.random() < 0.5:
        at = float(rng.uniform(20_000.0, 45_000.0))
        passed_m, bulge_m = float(rng.uniform(900.0, 2500.0)), float(rng.uniform(350.0, 700.0))
        first, last = np.searchsorted(way.along_m, (at, at + passed_m)).tolist()
        ends = np.array([[way.east_m[i], way.north_m[i]] for i in (first, last)])
        middle = ends.mean(axis=0) + _aside(ends, bulge_m, rng)
        corners = np.vstack((ends[0], middle, ends[1]))
        leaves_m = _leaves(way, first, corners)
        turned = Way(way.along_m[::-1], way.east_m[::-1], way.north_m[::-1], way.clock_s[::-1])
        joins_m = _leaves(turned, way.along_m.size - 1 - last, corners[::-1])
        truth.unclear += [(at - 50.0, leaves_m + 100.0), (joins_m - 100.0, at + passed_m + 50.0)]
        way, went_m = _insert(way, first, last, corners)
        truth.events.append(("shortcut" if went_m < 0.9 * passed_m else "detour", leaves_m))
    if rng.random() < 0.4:
        at = float(rng.uniform(50_000.0, 75_000.0))
        first = int(np.searchsorted(_filled(way.along_m), at))
        here = np.array([way.east_m[first], way.north_m[first]])
        there = np.array([way.east_m[first + 4], way.north_m[first + 4]])
        tip = here + _aside(np.vstack((here, there)), float(rng.uniform(400.0, 800.0)), rng)
        way, _ = _insert(way, first, first, np.vstack((here, tip, here)))
        truth.events.append(("turned_off", at))
    truth.events.sort(key=lambda event: event[1])
    return way


def _leaves(way: Way, first: int, corners: FloatArray) -> float:
    """Return the place of the road after which the other way is more than 12 m beside it [m]."""
    part = slice(first, first + 200)
    road = shapely.LineString(np.column_stack((way.east_m[part], way.north_m[part])))
    other = shapely.LineString(corners)
    outward = np.arange(0.0, 0.5 * other.length, STEP_M)
    last = max(m for m in outward if other.interpolate(m).distance(road) <= 12.0)
    ahead = 1.0 if way.along_m[first] < way.along_m[first + 1] else -1.0
    return float(way.along_m[first] + ahead * road.project(other.interpolate(last)))


def _filled(along_m: FloatArray) -> FloatArray:
    known = np.isfinite(along_m)
    return np.interp(np.arange(along_m.size), np.flatnonzero(known), along_m[known])


def _aside(ends: FloatArray, by_m: float, rng: np.random.Generator) -> FloatArray:
    ahead = (ends[-1] - ends[0]) / max(float(np.linalg.norm(ends[-1] - ends[0])), 1.0)
    return by_m * np.array([-ahead[1], ahead[0]]) * float(rng.choice([-1.0, 1.0]))


def _insert(way: Way, first: int, last: int, corners: FloatArray) -> tuple[Way, float]:
    """Return the way with the part between two of its points ridden over corners at 7 m/s."""
    legs_m = np.concatenate(([0.0], np.cumsum(np.linalg.norm(np.diff(corners, axis=0), axis=1))))
    went = np.arange(STEP_M, legs_m[-1], STEP_M)
    clock_s = way.clock_s[first] + went / 7.0
    later_s = way.clock_s[last] - way.clock_s[first]
    shift_s = legs_m[-1] / 7.0 - later_s
    return (
        Way(
            np.concatenate((way.along_m[: first + 1], np.full(went.size, np.nan), way.along_m[last:])),
            np.concatenate(
                (way.east_m[: first + 1], np.interp(went, legs_m, corners[:, 0]), way.east_m[last:])
            ),
            np.concatenate(
                (way.north_m[: first + 1], np.interp(went, legs_m, corners[:, 1]), way.north_m[last:])
            ),
            np.concatenate((way.clock_s[: first + 1], clock_s, way.clock_s[last:] + shift_s)),
        ),
        float(legs_m[-1]),
    )


def _with_halts(plan: Plan, way: Way, rng: np.random.Generator, truth: Truth) -> Way:
    """Return the way with the planned halts and up to three of its own, away from all else."""
    told = [point.distance_m for point in plan.fuel_points] + [at for _, at in truth.events]
    clock_s = way.clock_s.copy()
    wanted = [(stop.distance_m, stop.duration_s) for stop in plan.pace.stops]
    for _ in range(int(rng.integers(0, 4))):
        at = float(rng.uniform(20_000.0, 78_000.0))
        if min(abs(at - other) for other in told + [m for m, _ in wanted]) > 400.0 and not _skipped(way, at):
            wanted.append((at, float(rng.uniform(75.0, 900.0))))
    known = _filled(way.along_m)
    for at, lasts_s in sorted(wanted):
        on_road = np.isfinite(way.along_m)
        if not known[on_road][0] < at < known[on_road][-1] or _skipped(way, at):
            continue
        first = int(np.argmax(np.where(on_road, way.along_m, -1.0) >= at))
        clock_s[first + 1 :] += lasts_s
        truth.halts.append((at, lasts_s))
    return replace(way, clock_s=clock_s)


def _forget(plan: Plan, rng: np.random.Generator, truth: Truth) -> None:
    """Choose the bites that were missed, and whether a bottle was lost."""
    eaten = [p for p in plan.fuel_points if p.action == "eat" and p.number in truth.arrivals_s]
    for point in rng.permutation(np.array([p.number for p in eaten]))[: int(rng.integers(0, 4))].tolist():
        truth.left[int(point)] = str(rng.choice(["left", "later"]))
    if rng.random() < 0.3:
        bottles = sorted({p.container for p in plan.fuel_points if p.action == "sip"})
        truth.lost = (str(rng.choice(bottles)), float(rng.uniform(60_000.0, 78_000.0)))


def _written(plan: Plan, way: Way, rng: np.random.Generator, paused: bool) -> Points:
    """Return the way as a receiver writes it down once a second, straying slowly."""
    seconds = np.arange(0.0, np.floor(way.clock_s[-1]) + 1.0)
    east_m, north_m = (np.interp(seconds, way.clock_s, of) for of in (way.east_m, way.north_m))
    went_m = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(way.east_m), np.diff(way.north_m)))))
    distance_m = np.interp(seconds, way.clock_s, went_m)
    east_m, north_m = east_m + _stray(rng, seconds.size), north_m + _stray(rng, seconds.size)
    road_m = np.interp(seconds, way.clock_s, _filled(way.along_m))
    profile = plan.terrain.profile
    moving = np.concatenate(([True], np.diff(distance_m) > 0.2))
    power_w = np.where(moving, np.interp(road_m, plan.pace.distance_m, plan.pace.power_w), 0.0)
    kept: BoolArray = np.ones(seconds.size, dtype=np.bool_)
    pauses: list[tuple[float, float]] = []
    if paused:
        kept, pauses = _autopaused(moving, seconds)
    return Points(
        start=plan.day.start + timedelta(minutes=float(rng.integers(-10, 40))),
        time_s=seconds[kept],
        lat_deg=north_m[kept] / DEGREE_M,
        lon_deg=east_m[kept] / _degree_east_m(plan),
        elevation_m=np.interp(road_m, profile.distance_m, profile.elevation_m)[kept],
        distance_m=distance_m[kept],
        power_w=power_w[kept],
        heart_bpm=np.full(seconds.size, 130.0)[kept],
        temperature_c=np.full(seconds.size, 19.0)[kept],
        pauses_s=tuple(pauses),
    )


def _autopaused(moving: BoolArray, seconds: FloatArray) -> tuple[BoolArray, list[tuple[float, float]]]:
    """Return which seconds a device keeps that switches off four seconds into a halt."""
    kept = np.ones(seconds.size, dtype=np.bool_)
    pauses = []
    edges = np.flatnonzero(
        np.diff(np.concatenate(([False], ~np.asarray(moving, dtype=bool), [False])).astype(int))
    )
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        if last - first > 8:
            kept[first + 4 : last - 1] = False
            pauses.append((float(seconds[first + 3]), float(seconds[last - 1])))
    return kept, pauses


def _stray(rng: np.random.Generator, count: int, sd_m: float = 2.5, over_s: float = 40.0) -> FloatArray:
    """Return a receiver's error: normal, and slow to change."""
    keep = np.exp(-1.0 / over_s)
    noise = rng.normal(0.0, sd_m * np.sqrt(1.0 - keep**2), count)
    stray = np.empty(count)
    here = rng.normal(0.0, sd_m)
    for i in range(count):
        here = keep * here + noise[i]
        stray[i] = here
    return stray
