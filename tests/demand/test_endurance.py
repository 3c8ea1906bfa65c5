"""How hard can be ridden for how long: harder than FTP within the hour, less beyond it."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand.endurance import effort_allowed


@pytest.mark.source("Mc19", "abstract: 95 % of what is held for 20 min is held for an hour")
def test_twenty_minutes_allow_a_twentieth_more_than_the_hour() -> None:
    assert_allclose(effort_allowed(1.0) / effort_allowed(20.0 / 60.0), 0.95, atol=0.005)


def test_the_longer_the_less_and_no_step_at_the_hour() -> None:
    hours = np.geomspace(0.05, 30.0, 200)
    assert np.all(np.diff([effort_allowed(each) for each in hours]) < 0.0)
    assert_allclose(effort_allowed(0.99999), effort_allowed(1.00001), atol=1e-5)
    # by hand: 100 s of reserve are 1 + 100/360 - 100/3600 in six minutes; 4^-.06 = .9202
    assert_allclose([effort_allowed(0.1), effort_allowed(4.0)], [1.25, 0.9202], atol=0.00005)
    assert effort_allowed(0.0) == np.inf


def test_a_day_and_a_night_are_ridden_far_below_what_eight_hours_are() -> None:
    """By hand: 8^-.06 = .8827, and 3^-.15 = .8481 of it in 24 h; no step at eight hours (common practice)."""
    assert_allclose([effort_allowed(8.0), effort_allowed(24.0)], [0.8827, 0.7486], atol=0.00005)
    assert_allclose(effort_allowed(7.9999), effort_allowed(8.0001), atol=1e-5)
