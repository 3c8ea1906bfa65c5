"""The sun's height against spherical astronomy, and rides that begin or end in the dark."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.demand.sun import sun_height_deg, sun_heights
from terrain_fuel.flags.daylight import dark_stretches, measure_daylight
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from tests.road_building import Section, build_road
from tests.saying import say


def ride(start: str, hours: float, lat: float = 46.3, lon: float = 8.4) -> tuple[Pace, Day]:
    """Return a ride of a level road that takes so many hours."""
    day = Day(start=datetime.fromisoformat(start))
    road = build_road("day", [Section(30_000.0, 0.0, "flat")], origin_deg=(lat, lon))
    pace = set_pace(measure_terrain(road.survey(50.0).track), Rider(), day)
    clock = np.linspace(0.0, hours * 3600.0, pace.distance_m.size)
    return replace(pace, clock_s=clock, moving_s=clock), day


@pytest.mark.parametrize(
    ("date", "declination_deg"), [("2027-03-20", 0.0), ("2027-06-21", 23.44), ("2027-12-22", -23.44)]
)
@pytest.mark.parametrize("lat", [0.0, 46.3, -40.0, 78.0])
def test_noon_height_is_by_latitude_and_declination(date: str, declination_deg: float, lat: float) -> None:
    # at solar noon the sun stands 90 - |latitude - declination| high; declinations of the
    # equinox and the solstices from memory
    pace, day = ride(f"{date}T10:00:00+00:00", 4.0, lat=lat, lon=0.0)
    _, height = sun_heights(pace, day)
    assert_allclose(
        height.max(), 90.0 - abs(lat - declination_deg), atol=1.25
    )  # 10 min are up to 2.5 degrees


def test_between_two_moments_the_suns_height_is_known_to_a_fortieth_of_a_degree() -> None:
    # at noon it bends most: w^2 cos(lat) cos(dec) / sin(lat - dec), with w = 15 degrees an hour; a straight
    # line over ten minutes is off by an eighth of that times their square, 0.022 degrees
    pace, day = ride("2027-06-21T10:00:00+00:00", 4.0, lon=0.0)
    clock, height = sun_heights(pace, day)
    between = 0.5 * (clock[1:] + clock[:-1])
    profile = pace.terrain.profile
    exact = [
        sun_height_deg(
            float(np.interp(s, pace.clock_s, profile.lat_deg)),
            float(np.interp(s, pace.clock_s, profile.lon_deg)),
            day.start + timedelta(seconds=float(s)),
        )
        for s in between
    ]
    assert_allclose(np.interp(between, clock, height), exact, atol=0.025)


def test_the_equinox_day_lasts_twelve_hours() -> None:
    # the sun's centre crosses the horizon about six hours from noon everywhere
    pace, day = ride("2027-03-20T00:00:00+00:00", 24.0, lat=50.0, lon=0.0)
    clock, height = sun_heights(pace, day)
    up = clock[height > 0.0]
    assert_allclose((up[-1] - up[0]) / 3600.0, 12.0, atol=0.4)


def test_a_day_ride_has_no_dark() -> None:
    assert dark_stretches(*ride("2027-05-08T08:30:00+02:00", 5.0)) == ()


def test_dusk_before_the_finish() -> None:
    pace, day = ride("2027-10-08T15:00:00+02:00", 6.0)
    (dark,) = dark_stretches(pace, day)
    assert dark.kind == "dark"
    assert not dark.hands_on
    assert_allclose(dark.end_m, pace.distance_m[-1])
    sunset = day.start + timedelta(seconds=pace.clock_at(dark.start_m))
    # sunset by the hour angle: cos H = (sin h - sin lat sin d) / (cos lat cos d), d = -6.0 degrees
    # on 8 October, equation of time 12.4 min, 8.4 degrees east, summer time (from memory)
    lat, declination = np.radians(46.3), np.radians(-6.0)
    cosine = (np.sin(np.radians(-0.833)) - np.sin(lat) * np.sin(declination)) / (
        np.cos(lat) * np.cos(declination)
    )
    noon_h = 12.0 + 2.0 - 8.4 / 15.0 - 12.4 / 60.0
    expected_h = noon_h + np.degrees(np.arccos(cosine)) / 15.0
    assert_allclose(sunset.hour + sunset.minute / 60.0, expected_h, atol=0.05)
    assert f"The sun sets at {sunset:%H:%M}" in say(dark.note)


def test_before_sunrise_and_through_the_night() -> None:
    (early,) = dark_stretches(*ride("2027-05-08T04:00:00+02:00", 5.0))
    assert early.start_m == 0.0
    assert "after the start" in say(early.note)
    (night,) = dark_stretches(*ride("2027-05-08T18:00:00+02:00", 16.0))
    assert 0.0 < night.start_m < night.end_m < 30_000.0
    assert "rises" in say(night.note)
    (all_dark,) = dark_stretches(*ride("2027-12-08T19:00:00+01:00", 3.0))
    assert "whole ride" in say(all_dark.note)


def test_polar_day_and_night() -> None:
    assert dark_stretches(*ride("2027-06-21T00:00:00+02:00", 24.0, lat=78.0)) == ()
    (night,) = dark_stretches(*ride("2027-12-21T08:00:00+01:00", 10.0, lat=78.0))
    assert_allclose((night.start_m, night.end_m), (0.0, 30_000.0), rtol=1e-4)


def test_sunrise_and_sunset_stand_the_day_arc_apart_in_the_clock_of_the_start() -> None:
    pace, day = ride("2027-06-21T04:30:00+02:00", 4.0)
    light = measure_daylight(pace, day)
    assert light.sunrise is not None
    assert light.sunset is not None
    assert light.sunrise.utcoffset() == timedelta(hours=2)
    # half the day arc at the solstice: cos H = (sin h - sin lat sin d) / (cos lat cos d), d = 23.44 degrees
    lat, declination = np.radians(46.3), np.radians(23.44)
    cosine = (np.sin(np.radians(-0.833)) - np.sin(lat) * np.sin(declination)) / (
        np.cos(lat) * np.cos(declination)
    )
    arc_h = 2.0 * np.degrees(np.arccos(cosine)) / 15.0
    assert_allclose((light.sunset - light.sunrise) / timedelta(hours=1), arc_h, atol=0.03)
    assert (light.start_dark, light.finish_dark) == (True, False)
    assert measure_daylight(*ride("2027-06-21T18:00:00+02:00", 6.0)).finish_dark


def test_where_the_sun_does_not_set_there_is_no_sunset() -> None:
    summer = measure_daylight(*ride("2027-06-21T00:00:00+02:00", 5.0, lat=78.0))
    assert (summer.sunrise, summer.sunset, summer.start_dark) == (None, None, False)
    winter = measure_daylight(*ride("2027-12-21T10:00:00+01:00", 5.0, lat=78.0))
    assert (winter.sunrise, winter.sunset, winter.start_dark) == (None, None, True)
