"""Fuel points in order, the timeline and the sums, against the plan they were made from."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.assembly.timeline import draw_timeline, sum_up
from terrain_fuel.day import Day, Feed
from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.food.kept_back import reserve_need_g
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track
from tests.made_roads import Road, make_track

ROAD = Road(110.0, hilliness=0.04, bends=0.3, taps=(48.0,), seed=5)


@pytest.fixture(scope="module")
def hot() -> Plan:
    """A hot day that needs refills."""
    day = Day(temperature_c=30.0, feeds=(Feed(at_km=80.0, name="farm shop", minutes=4.0),))
    return plan_ride(make_track(ROAD), Rider(), Pantry(), day)


def test_numbers_distances_and_times_rise(hot: Plan) -> None:
    points = hot.fuel_points
    assert [point.number for point in points] == list(range(1, len(points) + 1))
    assert np.all(np.diff([point.distance_m for point in points]) > 0)
    assert np.all(np.diff([point.time_s for point in points]) > 0)


def test_each_point_lies_in_its_stretch_and_its_windows(hot: Plan) -> None:
    for point in hot.fuel_points:
        part = hot.terrain.stretches[point.stretch]
        assert part.start_m <= point.distance_m <= part.end_m
        assert point.window_start_m <= point.distance_m <= point.window_end_m
        assert point.earliest_s < point.time_s < point.latest_s


def test_refills_are_points_just_before_their_halt(hot: Plan) -> None:
    """Every bottle filled on the way is one point, within 100 m before the halt, at arrival."""
    refills = [point for point in hot.fuel_points if point.action == "refill"]
    poured = [bottle for bottle in hot.bottles if bottle.at_m > 0]
    assert len(refills) == len(poured) >= 2
    halts = {stop.distance_m: hot.pace.clock_at(stop.distance_m) for stop in hot.pace.stops}
    for point, bottle in zip(refills, poured, strict=True):
        assert point.container == bottle.container
        assert point.fluid_ml == bottle.fluid_ml
        assert 0.0 <= bottle.at_m - point.distance_m < 100.0
        assert point.time_s <= halts[bottle.at_m] + 1e-6
        assert (point.portions, point.carbohydrate_g) == (0, 0.0)


def test_the_timeline_holds_both_ends_and_steps_of_100_m(hot: Plan) -> None:
    road_m = hot.timeline.distance_m
    assert (road_m[0], road_m[-1]) == (0.0, hot.terrain.length_m)
    assert 90.0 <= np.diff(road_m).max() <= 100.0
    assert_allclose(hot.timeline.time_s[-1], hot.pace.elapsed_s)


def test_the_timeline_ends_with_the_totals(hot: Plan) -> None:
    assert_allclose(hot.timeline.carbohydrate_eaten_g[-1], hot.totals.carbohydrate_g)
    assert_allclose(hot.timeline.fluid_drunk_ml[-1], hot.totals.fluid_ml)
    assert hot.timeline.carbohydrate_eaten_g[0] == 0.0


def test_sums_by_hand(hot: Plan) -> None:
    """Three points: 20 g at a quarter of the clock, 10 g at three quarters, a refill of 500 ml."""
    eat, sip = hot.fuel_points[0], hot.fuel_points[1]
    finish_s = hot.pace.elapsed_s
    points = (
        replace(eat, action="eat", time_s=0.25 * finish_s, carbohydrate_g=20.0, fluid_ml=0.0, sodium_mg=50.0),
        replace(
            sip, action="refill", time_s=0.5 * finish_s, carbohydrate_g=0.0, fluid_ml=500.0, sodium_mg=0.0
        ),
        replace(
            sip, action="sip", time_s=0.75 * finish_s, carbohydrate_g=10.0, fluid_ml=60.0, sodium_mg=30.0
        ),
    )
    sums = sum_up(hot.demand, points)
    assert_allclose(
        [sums.carbohydrate_g, sums.fluid_ml, sums.sodium_mg, sums.first_half_share], [30.0, 60.0, 80.0, 2 / 3]
    )
    assert_allclose(sums.carbohydrate_g_per_h, 30.0 * 3600.0 / finish_s)
    placed = [replace(point, distance_m=km * 1000.0) for point, km in zip(points, (10, 20, 30), strict=True)]
    eaten_g = draw_timeline(hot.demand, hot.balance, placed).carbohydrate_eaten_g
    road_m = hot.timeline.distance_m
    assert set(eaten_g[road_m < 9_900]) == {0.0}
    assert set(eaten_g[(road_m > 10_100) & (road_m < 29_900)]) == {20.0}
    assert set(eaten_g[road_m > 30_100]) == {30.0}


def test_what_is_packed_is_planned_and_reserve(hot: Plan) -> None:
    carried = sum(
        row.portions_planned * hot.pantry.item(row.item).portion_carbohydrate_g
        for row in hot.packing
        if row.form != "powder"
    )
    eaten = sum(point.carbohydrate_g for point in hot.fuel_points if point.action == "eat")
    assert_allclose(carried, eaten)
    kept = sum(row.portions_reserve for row in hot.packing)
    assert kept == sum(row.portions for row in hot.reserve) > 0


def test_no_more_is_kept_back_than_the_reserve_minutes_want(hot: Plan) -> None:
    """Whole items kept only for the reserve: without any one of them it would fall short."""
    kept_g = sum(row.carbohydrate_g for row in hot.reserve)
    need_g = reserve_need_g(hot.demand, hot.day)
    assert kept_g >= need_g
    for row in hot.packing:
        if row.portions_planned == 0 and row.form != "powder":
            assert kept_g - hot.pantry.item(row.item).carbohydrate_g < need_g


def test_positions_across_the_date_line() -> None:
    """A road east over the 180th meridian with its tap on it: bottles are filled between two nodes
    on either side, and every point lies beside its node."""
    east_deg = np.linspace(179.6, 180.4, 3000)
    lat_deg = np.full(3000, -17.0)
    spans_m, _ = geodesic_m(lat_deg[:-1], east_deg[:-1], lat_deg[1:], east_deg[1:])
    road_m = np.concatenate(([0.0], np.cumsum(spans_m)))
    crossing = Track(
        name="over the line",
        source="made",
        lat_deg=lat_deg,
        lon_deg=np.where(east_deg > 180.0, east_deg - 360.0, east_deg),
        distance_m=road_m,
        elevation_m=100.0 + 40.0 * np.sin(road_m / 3000.0),
        interpolated=np.zeros(3000, dtype=np.bool_),
    )
    profile = measure_terrain(crossing).profile
    beyond = int(np.flatnonzero(np.abs(np.diff(profile.lon_deg)) > 180.0)[0]) + 1
    day = Day(temperature_c=36.0, feeds=(Feed(at_km=profile.distance_m[beyond] / 1000.0, name="pump"),))
    plan = plan_ride(crossing, Rider(), Pantry(), day)
    assert any(point.action == "refill" for point in plan.fuel_points)
    for point in plan.fuel_points:
        node = plan.terrain.profile.node(point.distance_m)
        off_deg = (point.lon_deg - plan.terrain.profile.lon_deg[node] + 180.0) % 360.0 - 180.0
        assert abs(off_deg) < 1e-3
        assert -180.0 <= point.lon_deg <= 180.0
