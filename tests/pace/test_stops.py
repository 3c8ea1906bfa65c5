"""Halts pass in clock time, not in moving time."""

import numpy as np
from numpy.testing import assert_allclose

from terrain_fuel.day import Day, Feed
from terrain_fuel.pace.model import Stop
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.stops import with_stops
from terrain_fuel.rider import Rider
from tests.exact_roads import exact_terrain

STOPS = (Stop(2000.0, 300.0, "shop"), Stop(1000.0, 180.0, "tap"))


def test_the_clock_shows_the_arrival_and_the_halt_after_it() -> None:
    ride = set_pace(exact_terrain(np.zeros(300)), Rider(), Day())
    halted = with_stops(ride, STOPS)
    assert_allclose(halted.moving_s, ride.moving_s)
    assert_allclose(halted.clock_s[:101], ride.moving_s[:101])
    assert_allclose(halted.clock_s[101:201], ride.moving_s[101:201] + 180.0)
    assert_allclose(halted.clock_s[201:], ride.moving_s[201:] + 480.0)
    assert halted.elapsed_s == ride.moving_time_s + 480.0
    assert [stop.name for stop in halted.stops] == ["tap", "shop"]


def test_stops_replace_those_before() -> None:
    ride = set_pace(exact_terrain(np.zeros(300)), Rider(), Day())
    again = with_stops(with_stops(ride, STOPS), STOPS[:1])
    assert again.elapsed_s == ride.moving_time_s + 300.0
    assert with_stops(again, ()).elapsed_s == ride.moving_time_s


def test_feeds_of_the_day_are_no_halt_until_they_are_used() -> None:
    day = Day(feeds=(Feed(at_km=1.0, minutes=10.0),))
    assert set_pace(exact_terrain(np.zeros(300)), Rider(), day).stops == ()
