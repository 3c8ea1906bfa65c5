"""Where a long ride lies down, on a road of which every kilometre takes half an hour: sums done by hand."""

from dataclasses import replace

import pytest

from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.sleep import at_sleeps, choose_sleeps
from terrain_fuel.day import Day, Feed
from terrain_fuel.pace.model import Pace, Stop
from tests.made_rides import made_demand
from tests.made_roads import Road

NODE_M = 30.0
"""Halts are made at nodes of the road, which lie no farther apart."""


@pytest.fixture(scope="module")
def slow() -> Pace:
    """48 km in 24 hours."""
    pace = made_demand(Road(48.0, hilliness=0.0, bends=0.0)).pace
    half_hours_s = 1.8 * pace.distance_m
    return replace(pace, moving_s=half_hours_s, clock_s=half_hours_s)


def slept(pace: Pace, *feeds: Feed, after_h: float = 9.0, hours: float = 2.0) -> list[tuple[float, str]]:
    """Return where one sleeps [km] and what the place is called."""
    day = Day(feeds=feeds, sleep_h=hours, sleep_after_h=after_h)
    return [(stop.distance_m / 1000.0, stop.name) for stop in choose_sleeps(pace, day)]


def near(*places: tuple[float, str]) -> list[tuple[object, str]]:
    return [(pytest.approx(km, abs=NODE_M / 1000.0), name) for km, name in places]


def test_one_sleeps_at_the_feeds_that_say_so_as_long_as_they_say(slow: Pace) -> None:
    feeds = (
        Feed(20.0, name="barn", sleep_h=4.0),
        Feed(30.0, name="tap"),
        Feed(60.0, name="far", sleep_h=3.0),
    )
    barn, loft = choose_sleeps(slow, Day(feeds=(*feeds, Feed(44.0, name="loft", sleep_h=1.0))))
    assert (barn.name, barn.duration_s, loft.name, loft.duration_s) == ("barn", 14_400.0, "loft", 3600.0)
    assert barn.distance_m == pytest.approx(20_000.0, abs=NODE_M)


def test_where_nothing_is_said_one_sleeps_after_so_many_hours_awake(slow: Pace) -> None:
    assert slept(slow) == near((18.0, ""), (36.0, ""))
    (stop, _) = choose_sleeps(slow, Day(sleep_h=2.0, sleep_after_h=9.0))
    assert stop.duration_s == 7200.0
    assert slept(slow, hours=0.0) == []


@pytest.mark.parametrize(("after_h", "sleeps"), [(10.9, 2), (11.1, 1)])
def test_nobody_lies_down_in_the_last_two_hours(slow: Pace, after_h: float, sleeps: int) -> None:
    # twice 10.9 h are 2.2 h before the end of 24
    assert len(slept(slow, after_h=after_h)) == sleeps


def test_a_place_with_water_within_an_hour_and_a_half_is_ridden_on_to(slow: Pace) -> None:
    # due at 9 h and 18 km; 20.9 km are 10.45 h, from where nine hours more are 38.9 km
    assert slept(slow, Feed(20.9, name="inn")) == near((20.9, "inn"), (38.9, ""))
    assert slept(slow, Feed(21.1, name="inn")) == near((18.0, ""), (36.0, ""))
    assert slept(slow, Feed(16.0, name="inn"), Feed(19.0, name="spring"))[0] == near((19.0, "spring"))[0]
    assert slept(slow, Feed(17.0, name="inn"), Feed(20.0, name="spring"))[0] == near((17.0, "inn"))[0]


def test_a_feed_to_sleep_at_that_is_near_speaks_for_the_hour(slow: Pace) -> None:
    """10.4 h are within an hour and a half of nine, 10.6 h are not; the hours awake count from there."""
    assert slept(slow, Feed(20.8, name="barn", sleep_h=3.0)) == near((20.8, "barn"), (38.8, ""))
    assert slept(slow, Feed(21.2, name="barn", sleep_h=3.0)) == near((18.0, ""), (21.2, "barn"), (39.2, ""))
    assert slept(slow, Feed(4.0, name="barn", sleep_h=3.0)) == near((4.0, "barn"), (22.0, ""), (40.0, ""))


def test_bottles_are_filled_where_one_sleeps() -> None:
    places = [Refill(at_m, "tap") for at_m in (5000.0, 20_000.0, 30_000.0)]
    assert at_sleeps(places, [Stop(20_000.4, 7200.0, "tap"), Stop(30_002.0, 7200.0, "")]) == {1}
