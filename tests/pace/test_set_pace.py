"""The ride on uniform roads against speeds worked out by hand; energy, walking and shelter on others."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import ride_with_power, set_pace
from terrain_fuel.rider import Bike, Rider
from tests.exact_roads import exact_terrain
from tests.integrated_ride import ROADS, Case, braked_share

BIKE = Bike(bike_mass_kg=9.0, carried_mass_kg=5.0, cda_m2=0.32, crr=0.004)
RIDER = Rider(body_mass_kg=70.0, ftp_w=200.0, bike=BIKE, descending="practised")
STANDARD_DAY = Day(temperature_c=15.0, humidity_pct=0.0, effort_flat=1.0, effort_climb=1.0)


def speed_kmh_at(pace: Pace, distance_m: float) -> float:
    """Return the speed at a distance [km/h]."""
    return float(np.interp(distance_m, pace.distance_m, pace.speed_m_s)) * 3.6


@pytest.mark.parametrize(
    ("grade", "speed_kmh"), [(0.0, 33.696), (0.03, 20.385), (0.05, 14.696), (0.08, 9.962), (0.10, 8.144)]
)
def test_a_uniform_road_rides_at_its_steady_speed(grade: float, speed_kmh: float) -> None:
    pace = set_pace(exact_terrain(np.full(300, grade)), RIDER, STANDARD_DAY)
    # 0.05 %: the air thins on the way up
    assert_allclose(speed_kmh_at(pace, 400.0), speed_kmh, rtol=0.0005)
    assert_allclose(pace.power_w, 200.0, rtol=1e-6)


@pytest.mark.parametrize(
    ("power_w", "speed_kmh"), [(54.40, 20.0), (92.61, 25.0), (147.20, 30.0), (221.43, 35.0), (318.59, 40.0)]
)
def test_flat_power_and_speed(power_w: float, speed_kmh: float) -> None:
    pace = set_pace(exact_terrain(np.zeros(300)), replace(RIDER, ftp_w=power_w), STANDARD_DAY)
    assert_allclose(speed_kmh_at(pace, 3000.0), speed_kmh, rtol=0.0002)
    assert_allclose(pace.moving_time_s, 3000.0 / (speed_kmh / 3.6), rtol=0.0002)


def test_a_steep_descent_is_coasted() -> None:
    day = replace(STANDARD_DAY, temperature_c=15.0 - 6.5 * 0.2)
    pace = set_pace(exact_terrain(np.full(400, -0.08), start_elevation_m=200.0), RIDER, day)
    at_sea_level_m = 200.0 / 0.08
    assert_allclose(speed_kmh_at(pace, at_sea_level_m), 63.68, rtol=0.001)  # still gaining on thicker air
    assert_allclose(pace.power_w, 0.0, atol=1e-6)


@pytest.mark.parametrize(("from_deg", "speed_kmh"), [(90.0, 27.328), (270.0, 40.769)])
def test_wind_by_heading(from_deg: float, speed_kmh: float) -> None:
    day = replace(STANDARD_DAY, wind_m_s=3.0, wind_from_deg=from_deg)
    pace = set_pace(exact_terrain(np.zeros(300), heading_deg=90.0), RIDER, day)
    assert_allclose(speed_kmh_at(pace, 3000.0), speed_kmh, rtol=0.0002)


def test_thin_air_is_fast() -> None:
    cold = replace(STANDARD_DAY, temperature_c=15.0 - 6.5 * 2.0)
    pace = set_pace(exact_terrain(np.zeros(300), start_elevation_m=2000.0), RIDER, cold)
    assert_allclose(speed_kmh_at(pace, 3000.0), 35.822, rtol=0.0002)


@pytest.mark.parametrize("road", ROADS)
def test_energy_balances_on_every_span(road: Callable[[float], Case]) -> None:
    case = road(6000.0)
    pace = set_pace(case.terrain, case.rider, case.day)
    braked = braked_share(pace, case)
    at_limit = pace.speed_m_s >= pace.limit_m_s - 1e-9
    assert_allclose(braked[~(at_limit[1:] | at_limit[:-1])], 0.0, atol=0.001)
    assert np.all(braked >= -0.001)


def test_a_wall_too_steep_is_walked() -> None:
    weak = replace(RIDER, ftp_w=50.0)
    grade = np.concatenate((np.zeros(40), np.full(40, 0.30), np.zeros(40)))
    pace = set_pace(exact_terrain(grade), weak, replace(STANDARD_DAY, effort_flat=0.5, effort_climb=0.5))
    assert pace.walking[60]
    assert not pace.walking[20]
    assert_allclose(pace.speed_m_s[60], 1.0)
    # walking costs what the slope asks for: 84 kg x g x (0.2873 + 0.004) plus air, over 0.97698
    assert_allclose(pace.power_w[60], 84.0 * 9.80665 * (0.28735 + 0.00383) / 0.97698, rtol=0.005)


def test_shelter_makes_a_flat_faster_and_a_wall_no_slower() -> None:
    sheltered = replace(RIDER, bike=replace(BIKE, drafting_share=0.8))
    flat, wall = exact_terrain(np.zeros(200)), exact_terrain(np.full(200, 0.08))
    alone, together = (set_pace(flat, rider, STANDARD_DAY).moving_time_s for rider in (RIDER, sheltered))
    assert 0.85 < together / alone < 0.93
    alone, together = (set_pace(wall, rider, STANDARD_DAY).moving_time_s for rider in (RIDER, sheltered))
    assert 0.98 < together / alone < 1.0


def test_momentum_carries_over_a_short_rise() -> None:
    road = exact_terrain(np.concatenate((np.zeros(100), np.full(5, 0.06), np.zeros(100))))
    pace = set_pace(road, RIDER, STANDARD_DAY)
    steady_kmh = 12.8  # at 200 W and 6 %
    assert speed_kmh_at(pace, 1050.0) > steady_kmh + 8.0
    assert speed_kmh_at(pace, 2000.0) > speed_kmh_at(pace, 1050.0)


def test_two_nodes_and_forty_thousand() -> None:
    assert set_pace(exact_terrain([0.02]), RIDER, STANDARD_DAY).moving_time_s > 0.0
    at = np.arange(40_000)
    long = set_pace(exact_terrain(0.06 * np.sin(at / 150.0)), RIDER, STANDARD_DAY)
    assert np.all(np.diff(long.moving_s) > 0.0)


def test_a_given_power_is_ridden() -> None:
    pedal_w = np.concatenate((np.full(150, 150.0), np.full(150, 250.0)))
    pace = ride_with_power(exact_terrain(np.zeros(300)), RIDER, STANDARD_DAY, pedal_w)
    assert_allclose(pace.power_w[:-1], pedal_w, rtol=1e-6)
    assert pace.speed_m_s[-1] > pace.speed_m_s[149]


def test_an_unknown_road_state_widens_the_spread() -> None:
    flat, wall = (set_pace(exact_terrain(np.full(300, grade)), RIDER, STANDARD_DAY) for grade in (0.0, 0.08))
    assert 0.03 < flat.own_sd_s[-1] / flat.moving_time_s < 0.12
    assert 0.03 < wall.own_sd_s[-1] / wall.moving_time_s < 0.15
    assert flat.wind_sd_s[-1] / flat.moving_time_s > 3.0 * wall.wind_sd_s[-1] / wall.moving_time_s
