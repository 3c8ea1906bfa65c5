"""Stopping, cornering and one-handed braking against printed tables."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.equations.braking import (
    WET_FRICTION,
    corner_speed,
    one_handed_stop,
    rear_brake_g,
    stopping_distance,
)

# The printed form S = V^2 / (254 (f + G)) + V / 1.4 with V in km/h; V / 1.4 is 3.6 / 1.4 s of travel
PRINTED_REACTION_S = 3.6 / 1.4

SIGHT_M = {
    # km/h: at +5 %, 0, -5 %, -8 %, -10 %
    20: (19.54, 20.58, 22.16, 23.55, 24.78),
    30: (33.24, 35.60, 39.15, 42.27, 45.05),
    40: (49.57, 53.77, 60.07, 65.63, 70.57),
    50: (68.52, 75.08, 84.93, 93.61, 101.33),
    60: (90.10, 99.55, 113.72, 126.23, 137.35),
}


@pytest.mark.parametrize("speed_km_h", SIGHT_M)
def test_stopping_sight_distance(speed_km_h: int) -> None:
    ours = stopping_distance(
        speed_km_h / 3.6, np.array([0.05, 0.0, -0.05, -0.08, -0.10]), 0.25, PRINTED_REACTION_S
    )
    assert_allclose(ours, SIGHT_M[speed_km_h], rtol=0.001)  # 254 rounds 2 g 3.6^2 = 254.19


@pytest.mark.source("AA99", "20 mph on the level: 127 ft")
def test_stopping_sight_in_feet() -> None:
    metres = float(stopping_distance(20 * 1609.344 / 3600, 0.0, 0.25, 2.5))
    assert_allclose(metres, 38.7, atol=0.1)
    assert_allclose(metres / 0.3048, 127.0, atol=0.6)


def test_alert_rider_on_a_dry_road() -> None:
    # f 0.5 and 1.5 s: V / 2.4 + V^2 / (254 (0.5 + G)), worked by hand
    cases = [(30.0, 0.0, 12.5 + 900.0 / 127.0), (50.0, 0.0, 20.833 + 2500.0 / 127.0)]
    cases.append((50.0, -0.08, 20.833 + 2500.0 / (254.0 * 0.42)))
    for speed, grade, metres in cases:
        assert_allclose(stopping_distance(speed / 3.6, grade, 0.5, 1.5), metres, rtol=0.001)


def test_rear_brake_alone() -> None:
    # mu l / (L + mu h) = 0.7 * 0.6 / (1.0 + 0.7 * 1.2) = 0.42 / 1.84
    assert_allclose(rear_brake_g(), 0.42 / 1.84)
    assert rear_brake_g(WET_FRICTION) < rear_brake_g()


def test_one_hand_takes_half_as_far_again() -> None:
    # 40 km/h: 16.67 m in 1.5 s and 1600 / (254 * 0.2283) = 27.6 m of braking
    assert_allclose(one_handed_stop(40.0 / 3.6, 0.0), 44.3, atol=0.1)
    assert_allclose(stopping_distance(40.0 / 3.6, 0.0, 0.5), 29.3, atol=0.1)
    assert one_handed_stop(10.0, 0.0, wet=True) > one_handed_stop(10.0, 0.0)
    assert one_handed_stop(10.0, -0.06) > one_handed_stop(10.0, 0.0) > one_handed_stop(10.0, 0.06)


def test_a_grade_too_steep_for_the_brake_is_still_finite() -> None:
    assert np.isfinite(one_handed_stop(15.0, -0.30))
    assert one_handed_stop(15.0, -0.30) > 500.0


@pytest.mark.source("FH04", "27 m at 30 km/h, leaning 15 degrees")
def test_leaning_fifteen_degrees() -> None:
    lean_g = float(np.tan(np.radians(15.0)))
    assert_allclose(3.6 * corner_speed(27.0, lean_g), 30.0, rtol=0.02)


def test_comfortable_speeds() -> None:
    # sqrt(a g R) by hand: 0.25 g and 25 m give sqrt(61.29) = 7.829 m/s
    assert_allclose(3.6 * corner_speed(25.0, 0.25), 28.18, atol=0.01)
    assert_allclose(
        3.6 * corner_speed(np.array([10.0, 25.0, 50.0, 100.0]), 0.30), [19.53, 30.87, 43.66, 61.75], atol=0.01
    )
    assert np.isinf(corner_speed(np.inf, 0.3))
