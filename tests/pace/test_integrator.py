"""The ride against a general-purpose integrator at a tight tolerance; the full lengths run in the bench."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.pace.ride import set_pace
from tests.integrated_ride import ROADS, Case, integrate_ride


@pytest.mark.parametrize("road", ROADS)
def test_speed_and_time_are_the_integrators(road: Callable[[float], Case]) -> None:
    case = road(4000.0)
    pace = set_pace(case.terrain, case.rider, case.day)
    speed, time = integrate_ride(case, pace)
    # the aim is 0.3 km/h and 0.3 %; found is 0.02 km/h and 0.01 %
    assert_allclose(pace.speed_m_s * 3.6, speed * 3.6, atol=0.05)
    assert_allclose(pace.moving_time_s, time[-1], rtol=0.0005)
    assert np.abs(pace.moving_s - time).max() < 1.0
