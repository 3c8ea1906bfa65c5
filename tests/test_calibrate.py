"""Power and drag found again from rides made with known ones, from a real ride, and from a sentence."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.calibrate import calibrate_ride, calibrate_sentence
from terrain_fuel.calibrate.sentence import COUNTRIES, sample_road
from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError, TrackError
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track
from tests.recorded_ride import BODY_MASS_KG, TEMPERATURE_C, read_recorded_ride, recorded_track
from tests.roads import hill_country
from tests.saying import say


def recorded_by(rider: Rider, day: Day, seed: int = 1) -> Track:
    """Return a recording of a known rider on invented hills: uneven effort, two halts, no power."""
    rng = np.random.default_rng(seed)
    track = (
        hill_country(seed).survey(spacing_m=8.0, heights="barometer", position_noise_m=1.0, seed=seed).track
    )
    pace = set_pace(measure_terrain(track), rider, day)
    time = np.interp(track.distance_m, pace.distance_m, pace.moving_s)
    wobble = np.repeat(rng.normal(1.0, 0.06, track.distance_m.size // 40 + 1), 40)[
        : track.distance_m.size - 1
    ]
    lasted = np.diff(time) * wobble
    lasted[[300, 900]] += (240.0, 95.0)
    return replace(track, time_s=np.concatenate(([0.0], np.cumsum(lasted))))


REAL_RIDER = replace(Rider(), body_mass_kg=BODY_MASS_KG, ftp_w=250.0)
REAL_DAY = Day(temperature_c=TEMPERATURE_C, effort_flat=0.75, effort_climb=1.0)
"""A hard ride: the effort's shape is read off its power, which the fit without power does not see."""


@pytest.mark.parametrize(("ftp_w", "cda_m2"), [(180.0, 0.42), (260.0, 0.32)])
def test_a_known_rider_is_found_again(ftp_w: float, cda_m2: float) -> None:
    rider = Rider()
    truth = replace(rider, ftp_w=ftp_w, bike=replace(rider.bike, cda_m2=cda_m2))
    found = calibrate_ride(recorded_by(truth, Day()), rider, Day())
    assert_allclose(found.ftp_w, ftp_w, rtol=0.05)
    assert_allclose(found.cda_m2, cda_m2, rtol=0.10)
    assert abs(found.held_out_error) < 0.03
    assert found.block_error < 0.12
    assert not found.power_measured
    assert found.rider.ftp_w == found.ftp_w
    assert found.rider.body_mass_kg == rider.body_mass_kg


def test_halts_are_no_moving_time() -> None:
    track = recorded_by(Rider(), Day())
    found = calibrate_ride(track, Rider(), Day())
    assert track.time_s is not None
    assert found.moving_time_s == pytest.approx(float(track.time_s[-1]) - 335.0, abs=25.0)


@pytest.mark.source("Wi04", "drag area on the hoods 0.32 to 0.40 m2, from memory")
def test_a_real_ride_with_its_power_after_fitting_drag_on_the_first_half() -> None:
    found = calibrate_ride(recorded_track(), REAL_RIDER, REAL_DAY)
    # the aim is 5 % of moving time on the half that was not fitted; found is -2 %
    assert abs(found.held_out_error) < 0.05
    assert found.power_measured
    assert 0.32 < found.cda_m2 < 0.40
    assert found.moving_time_s < read_recorded_ride().time_s[-1]


@pytest.mark.source("Mi14", "power from climbing time erred by -10.4 to +8.5 %; seen")
def test_a_real_ride_without_its_power_gives_nearly_its_power() -> None:
    measured = calibrate_ride(recorded_track(), REAL_RIDER, REAL_DAY)
    fitted = calibrate_ride(recorded_track(with_power=False), REAL_RIDER, REAL_DAY)
    assert -0.104 < fitted.climb_w / measured.climb_w - 1.0 < 0.085  # found is -4 %
    assert abs(fitted.held_out_error) < 0.10


def test_the_sentence_says_what_and_how_well() -> None:
    found = calibrate_ride(recorded_by(Rider(), Day()), Rider(), Day())
    for said in (
        f"{3.6 * found.moving_speed_m_s:.1f} km/h",
        f"{found.flat_w:.0f} W",
        f"{found.climb_w:.0f} W",
    ):
        assert said in say(found.sentence)
    assert "first half only" in say(found.sentence)
    assert found.settings_lines[1] == f"ftp_w = {found.ftp_w:.0f}"


def test_a_route_is_no_recording() -> None:
    with pytest.raises(TrackError, match=r"no times.*export the ridden track"):
        calibrate_ride(replace(recorded_by(Rider(), Day()), time_s=None), Rider(), Day())


def test_a_short_ride_says_too_little() -> None:
    track = recorded_by(Rider(), Day())
    part = slice(0, 200)
    columns = ("lat_deg", "lon_deg", "distance_m", "elevation_m", "interpolated", "time_s")
    short = replace(track, **{name: getattr(track, name)[part] for name in columns})
    with pytest.raises(TrackError, match="at least 5 km"):
        calibrate_ride(short, Rider(), Day())


def test_a_walk_is_no_ride() -> None:
    track = recorded_by(Rider(), Day())
    walked = replace(track, time_s=track.distance_m / 1.3)
    with pytest.raises(TrackError, match=r"4\.7 km/h on average; a road ride has 8 to 60 km/h"):
        calibrate_ride(walked, Rider(), Day())


def test_a_ride_downhill_with_power_keeps_the_riders_ftp() -> None:
    count = 700
    distance = np.arange(float(count)) * 10.0
    down = Track(
        "down",
        "down.tcx",
        46.0 + distance / 111_195.0,
        np.zeros(count),
        distance,
        900.0 - 0.05 * distance,
        np.zeros(count, dtype=np.bool_),
        height_kind="lidar",
        time_s=distance / 12.0,
        power_w=np.zeros(count),
    )
    found = calibrate_ride(down, Rider(), Day())
    assert found.ftp_w == Rider().ftp_w
    assert np.isfinite(found.cda_m2)


@pytest.mark.parametrize("country", COUNTRIES)
def test_the_sentence_is_ridden_again(country: str) -> None:
    found = calibrate_sentence(90.0, 4.0, Rider(), country=country)
    pace = set_pace(sample_road(COUNTRIES[country]), found.rider, Day())
    assert_allclose(pace.terrain.length_m / pace.moving_time_s, 90.0 / 14.4, rtol=1e-3)
    assert found.ftp_low_w < found.ftp_w < found.ftp_high_w
    assert f"{found.flat_w:.0f} W on the flat" in say(found.sentence)


def test_faster_or_hillier_takes_more_power() -> None:
    base = calibrate_sentence(90.0, 4.0, Rider())
    assert calibrate_sentence(90.0, 3.5, Rider()).ftp_w > base.ftp_w
    assert calibrate_sentence(90.0, 4.0, Rider(), ascent_m=1500.0).ftp_w > base.ftp_w
    assert calibrate_sentence(90.0, 4.0, replace(Rider(), body_mass_kg=85.0)).ftp_w > base.ftp_w


@pytest.mark.parametrize("climbed", [1.0, 5.0, 12.0, 20.0, 30.0, 50.0])
def test_a_sample_road_climbs_what_it_should(climbed: float) -> None:
    road = sample_road(replace(COUNTRIES["hills"], climbed_m_per_km=climbed))
    assert_allclose(road.ascent_m / road.length_m * 1000.0, climbed, rtol=0.02)
    assert_allclose(road.profile.elevation_m[-1], road.profile.elevation_m[0], atol=1e-6)


@pytest.mark.parametrize(
    ("distance_km", "hours", "country", "message"),
    [
        (90.0, 1.0, "hills", r"90\.0 km/h; no FTP from 50 to 600 W"),
        (2.0, 1.0, "hills", r"distance_km is 2; allowed is 5 to 2000 km"),
        (90.0, 0.0, "hills", r"hours is 0; allowed is 0\.2 to 200 h"),
        (90.0, 4.0, "sea", r"country is 'sea'; allowed is one of flat"),
    ],
)
def test_an_impossible_sentence_is_refused(
    distance_km: float, hours: float, country: str, message: str
) -> None:
    with pytest.raises(SettingsError, match=message):
        calibrate_sentence(distance_km, hours, Rider(), country=country)
