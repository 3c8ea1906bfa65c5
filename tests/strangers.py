"""Riders of whom a plan knows only what they say of themselves, and when they really come by.

What they say and what is true are drawn here, apart from the model's own doubts: uniform, Rayleigh
and log-normal where the model takes other shapes. Common practice (no source) throughout; the halts
have the median and the reach of eleven recorded rides (11 % and 64 % of the moving time).
"""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.momentum import ride_spans
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.spans import lay_spans, span_grade
from terrain_fuel.pace.windows import lay_windows
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.made_roads import Road, make_track

POINTS_APART_S = 1200.0

ROADS = (
    Road(60.0, hilliness=0.0, bends=0.2, seed=1),
    Road(90.0, hilliness=0.02, bends=0.3, hill_km=1.0, seed=2),
    Road(110.0, hilliness=0.05, bends=0.5, hill_km=4.0, seed=3),
    Road(140.0, hilliness=0.07, bends=0.6, hill_km=12.0, seed=4),
)


@dataclass(frozen=True, slots=True)
class World:
    """How unlike what they say riders and days are.

    ``windy`` scales the wind, ``halting`` the median of the halts (share of the moving time), which
    is told; ``unlike`` scales all that is not known of rider and bicycle.
    """

    windy: float = 1.0
    halting: float = 0.11
    unlike: float = 1.0


@dataclass(frozen=True, slots=True)
class Told:
    """What the plan is made from."""

    terrain: Terrain
    pace: Pace
    rider: Rider
    day: Day


def plan_for(road: Road, world: World) -> Told:
    """Return the pace of a rider who says the usual things."""
    rider, day = Rider(), Day()
    rider = replace(rider, habits=replace(rider.habits, halting_min_per_h=60.0 * world.halting))
    terrain = measure_terrain(make_track(road))
    return Told(terrain, set_pace(terrain, rider, day), rider, day)


def inside_windows(told: Told, world: World, strangers: int, seed: int) -> BoolArray:
    """Return whether each stranger comes inside each window, shape (r, k): one point each 20 min."""
    windows, pace = lay_windows(told.pace), told.pace
    times_s = np.arange(POINTS_APART_S, pace.moving_time_s, POINTS_APART_S)
    points_m = np.interp(times_s, pace.moving_s, pace.distance_m)
    edges = np.array([windows.at(float(point_m)) for point_m in points_m])
    rng = np.random.default_rng(seed)
    came = np.array([_ride_once(told, world, rng, points_m) for _ in range(strangers)])
    return np.asarray((came >= edges[:, 0]) & (came <= edges[:, 1]))


def _ride_once(told: Told, world: World, rng: np.random.Generator, points_m: FloatArray) -> FloatArray:
    """Return when one stranger really comes by the points [s]."""
    moving_s = _true_moving_s(told, world, rng)
    at_points = np.interp(points_m, told.pace.distance_m, moving_s)
    # halts as they come: about one in 20 min, their lengths as unlike as the rides
    count = 1 + rng.poisson(moving_s[-1] / 1200.0)
    sizes = rng.pareto(1.5, count)
    halted_s = moving_s[-1] * world.halting * np.exp(rng.normal(0.0, 1.1))
    after_s = rng.uniform(0.0, moving_s[-1], count)
    begun = after_s < at_points[:, None]
    return np.asarray(at_points + halted_s * (begun @ sizes) / sizes.sum())


def _true_moving_s(told: Told, world: World, rng: np.random.Generator) -> FloatArray:
    """Return the moving time at every node of a ride with the power, mass, drag and wind that are true."""
    rider, day, bike = told.rider, told.day, told.rider.bike
    off = world.unlike
    heavier_kg = off * rng.uniform(-6.0, 6.0)
    bike = replace(
        bike,
        cda_m2=bike.cda_m2 * float(np.exp(off * rng.uniform(-0.25, 0.25))),
        crr=bike.crr * float(np.exp(off * rng.uniform(-0.45, 0.35))),
    )
    stronger = float(np.exp(off * (rng.uniform(-0.12, 0.12) + rng.normal(0.0, 0.05))))
    truth = replace(
        rider,
        body_mass_kg=rider.body_mass_kg + heavier_kg,
        ftp_w=rider.ftp_w * stronger,
        bike=bike,
        descending=str(rng.choice(["cautious", "steady", "steady", "practised"])),
    )
    sky = replace(
        day,
        wind_m_s=float(np.clip(world.windy * rng.rayleigh(1.6), 0.0, 12.0)),
        wind_from_deg=float(rng.uniform(0.0, 360.0)),
    )
    profile = told.terrain.profile
    meant_w = intended_power(told.terrain, span_grade(profile), truth, sky)
    # the legs are better and worse from one ten-minute piece to the next
    pieces = np.asarray(told.pace.moving_s[1:] // 600.0, dtype=np.int_)
    meant_w = meant_w * np.exp(rng.normal(0.0, 0.06, int(pieces[-1]) + 1))[pieces]
    ridden = ride_spans(lay_spans(profile, truth, sky, meant_w), speed_limit(profile, truth, sky))
    return np.concatenate(([0.0], np.cumsum(ridden.duration_s)))
