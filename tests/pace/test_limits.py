"""Bends, braking before them, wet roads, unknown bends."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.pace.limits import braked, speed_limit
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from tests.exact_roads import exact_terrain


@pytest.mark.parametrize(
    ("radius_m", "cautious", "steady", "practised"),
    [(10.0, 15.94, 17.83, 19.53), (25.0, 25.21, 28.18, 30.87), (50.0, 35.65, 39.86, 43.66)],
)
def test_speed_in_bends_by_habit(radius_m: float, cautious: float, steady: float, practised: float) -> None:
    profile = exact_terrain(np.zeros(50), radius_m=radius_m).profile
    for habit, printed in (("cautious", cautious), ("steady", steady), ("practised", practised)):
        limit = speed_limit(profile, replace(Rider(), descending=habit), Day())
        assert_allclose(limit * 3.6, printed, atol=0.0051)


def test_a_wet_bend_is_taken_at_two_thirds_of_the_lean() -> None:
    profile = exact_terrain(np.zeros(50), radius_m=20.0).profile
    dry, wet = (speed_limit(profile, Rider(), Day(surface_wet=state)) for state in (False, True))
    assert_allclose(wet, dry * np.sqrt(2.0 / 3.0))


def test_unknown_bends_get_a_moderate_limit_and_straights_the_habit() -> None:
    radius = np.where(np.arange(101) < 50, np.inf, np.nan)
    limit = speed_limit(exact_terrain(np.zeros(100), radius_m=radius).profile, Rider(), Day())
    top = 55.0 / 3.6
    assert_allclose(limit[0], top)
    assert_allclose(limit[-1], 0.75 * top)


def test_braking_begins_in_time_and_is_even() -> None:
    distance = np.arange(0.0, 1001.0, 10.0)
    limit = np.where(np.arange(101) == 80, 5.0, 15.0)
    found = braked(distance, limit, 1.5)
    # (15^2 - 5^2) / (2 x 1.5) = 66.7 m before the bend
    assert_allclose(found[:74], 15.0)
    assert_allclose(found[74:81] ** 2, 25.0 + 3.0 * (800.0 - distance[74:81]))
    assert_allclose(found[81:], 15.0)


def test_the_rider_brakes_before_a_hairpin_and_speeds_up_after_it() -> None:
    radius = np.where(np.abs(np.arange(201) - 100) < 3, 8.0, np.inf)
    terrain = exact_terrain(np.full(200, -0.06), radius_m=radius, start_elevation_m=500.0)
    pace = set_pace(terrain, Rider(), Day())
    slowing = -np.diff(pace.speed_m_s**2) / 20.0
    assert np.argmin(pace.speed_m_s[50:150]) + 50 == pytest.approx(100, abs=3)
    assert slowing.max() == pytest.approx(0.15 * 9.80665, rel=0.01)
    assert pace.speed_m_s[60] > 2.0 * pace.speed_m_s[100]
    assert pace.speed_m_s[150] > 2.0 * pace.speed_m_s[100]
