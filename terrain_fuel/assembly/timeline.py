"""The ride in equal-length columns, about every 100 m, and its sums."""

import math
from collections.abc import Sequence

import numpy as np

from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import FuelPoint, Timeline, Totals

EVERY_M = 100.0


def draw_timeline(demand: Demand, balance: FuelBalance, points: Sequence[FuelPoint]) -> Timeline:
    """Return the columns of the ride, both ends included, shape (m,)."""
    pace, profile = demand.pace, demand.pace.terrain.profile
    road = profile.distance_m
    length_m = float(road[-1])
    distance_m = np.linspace(0.0, length_m, max(2, math.ceil(length_m / EVERY_M) + 1))

    def column(values: FloatArray) -> FloatArray:
        return np.interp(distance_m, road, values)

    return Timeline(
        distance_m=distance_m,
        time_s=column(pace.clock_s),
        elevation_m=column(profile.elevation_m),
        grade=column(profile.grade),
        speed_m_s=column(pace.speed_m_s),
        power_w=column(pace.power_w),
        effort=column(pace.effort),
        carbohydrate_burned_g=column(demand.carbohydrate_burned_g),
        carbohydrate_eaten_g=_taken(distance_m, points, [point.carbohydrate_g for point in points]),
        glycogen_g=column(balance.glycogen_g),
        sweat_ml=column(demand.sweat_ml),
        fluid_drunk_ml=_taken(distance_m, points, _drunk_ml(points)),
    )


def sum_up(
    demand: Demand, points: Sequence[FuelPoint], limited_by: str = "", asleep_s: float = 0.0
) -> Totals:
    """Return the sums over the ride; refills are not drunk, and an hour asleep is none of eating."""
    pace = demand.pace
    carbohydrate_g = math.fsum(point.carbohydrate_g for point in points)
    half_s = pace.elapsed_s / 2.0
    first_g = math.fsum(point.carbohydrate_g for point in points if point.time_s <= half_s)
    return Totals(
        moving_time_s=pace.moving_time_s,
        elapsed_s=pace.elapsed_s,
        work_kj=pace.work_j / 1000.0,
        carbohydrate_g=carbohydrate_g,
        carbohydrate_g_per_h=carbohydrate_g / ((pace.elapsed_s - asleep_s) / 3600.0),
        fluid_ml=math.fsum(_drunk_ml(points)),
        sodium_mg=math.fsum(point.sodium_mg for point in points),
        caffeine_mg=math.fsum(point.caffeine_mg for point in points),
        first_half_share=first_g / carbohydrate_g if carbohydrate_g > 0 else 0.0,
        carbohydrate_wanted_g_per_h=demand.carbohydrate_wanted_g_per_h,
        limited_by=limited_by,
        asleep_s=asleep_s,
    )


def _drunk_ml(points: Sequence[FuelPoint]) -> list[float]:
    return [0.0 if point.action == "refill" else point.fluid_ml for point in points]


def _taken(distance_m: FloatArray, points: Sequence[FuelPoint], amounts: Sequence[float]) -> FloatArray:
    """Return what has been taken by each distance, shape (m,)."""
    at_m = np.array([point.distance_m for point in points])
    sums = np.concatenate(([0.0], np.cumsum(amounts)))
    return sums[np.searchsorted(at_m, distance_m, side="right")]
