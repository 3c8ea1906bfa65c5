"""Power, drag and halts found again from rides made with known ones, and from two real rides."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.calibrate import Calibration, calibrate_ride
from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError, TrackError
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track
from tests.made_roads import Road
from tests.recorded_ride import (
    BODY_MASS_KG,
    FLAT_RECORDING,
    RECORDING,
    TEMPERATURE_C,
    half_of,
    read_recorded_ride,
    recorded_track,
    windows_met,
)
from tests.recorded_strangers import record
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
    # the default day: 0.65 of FTP on the flat, 0.75 uphill
    assert_allclose(found.flat_w, 0.65 * ftp_w, rtol=0.05)
    assert_allclose(found.climb_w, 0.75 * ftp_w, rtol=0.05)
    assert_allclose(found.cda_m2, cda_m2, rtol=0.10)
    assert abs(found.held_out_error) < 0.03
    assert found.block_error < 0.12
    assert found.best is None
    assert found.wind_m_s < 1.0


def test_halts_are_no_moving_time() -> None:
    track = recorded_by(Rider(), Day())
    found = calibrate_ride(track, Rider(), Day())
    assert track.time_s is not None
    assert found.moving_time_s == pytest.approx(float(track.time_s[-1]) - 335.0, abs=25.0)
    assert found.halted_s == pytest.approx(335.0, abs=25.0)
    # 335 s are 5.58 min
    assert found.halting_min_per_h == pytest.approx(5.58 * 3600.0 / found.moving_time_s, rel=0.08)


@cache
def measured() -> Calibration:
    return calibrate_ride(recorded_track(), REAL_RIDER, REAL_DAY)


@cache
def unmeasured() -> Calibration:
    return calibrate_ride(recorded_track(with_power=False), REAL_RIDER, REAL_DAY)


def test_a_real_half_ride_takes_its_time_with_its_power() -> None:
    """n = 3 parts held out of one ride, the only one with power that packages carry: drag and wind from
    what comes before, moving time of the part within 5 %. Found is +0.5 % for the second half."""
    assert abs(measured().held_out_error) < 0.05
    for second in (False, True):
        half = half_of(recorded_track(), second)
        assert abs(calibrate_ride(half, REAL_RIDER, REAL_DAY).held_out_error) < 0.05


@pytest.mark.source("dP79", "abstract: the air takes 0.19 V^2 N of riders fully dropped")
def test_a_real_ride_with_its_power_has_the_drag_of_a_rider_on_the_hoods() -> None:
    assert measured().best is not None
    # 0.19 of 1.225 / 2 is 0.31 m2, less than on the hoods; 0.40 at most there is [Wi04]'s, from memory
    assert 0.19 / (1.225 / 2.0) < measured().cda_m2 < 0.40
    assert measured().moving_time_s < read_recorded_ride().time_s[-1]


def test_real_rides_without_power_are_off_by_less_than_half_of_what_they_were() -> None:
    """The held-out half was 4 % off before rests and wind were told apart; found are -1.1 and +0.3 %."""
    flat = calibrate_ride(recorded_track(with_power=False, recording=FLAT_RECORDING), Rider(), Day())
    assert abs(unmeasured().held_out_error) < 0.02
    assert abs(flat.held_out_error) < 0.02


@pytest.mark.source("Mi14", "abstract: power from climbing time erred by -10.4 to +8.5 %")
def test_a_real_ride_without_its_power_gives_nearly_its_power_uphill() -> None:
    assert -0.104 < unmeasured().climb_w / measured().climb_w - 1.0 < 0.085  # found is -5 %


@pytest.mark.parametrize(
    "cause",
    [
        {"wind_m_s": 3.0},
        {"halts_s": (1200.0, 600.0, 300.0), "jitter_m": 6.0},
        {"halts_s": (1800.0, 900.0, 600.0), "paused": True},
        {"halts_s": (1800.0, 900.0, 600.0), "paused": True, "wind_m_s": 3.0},
    ],
)
def test_wind_straying_receivers_and_paused_devices_are_no_riding(cause: dict[str, object]) -> None:
    """bench/bench_calibrate.py tries more riders and roads: -23 % at worst before, -2.3 % now."""
    for seed, road in enumerate((Road(30.0, 0.0, 0.2, seed=1), Road(35.0, 0.05, 0.5, 6.0, seed=3))):
        told = record(road, seed, **cause)  # type: ignore[arg-type]
        found = calibrate_ride(told.track, Rider(), Day())
        assert abs(found.held_out_error) < 0.04
        assert_allclose(found.moving_time_s, told.moving_s, rtol=0.01)


def test_a_wind_nobody_told_of_is_found() -> None:
    told = record(Road(60.0, 0.02, 0.8, seed=4), 2, wind_m_s=4.0)
    found = calibrate_ride(told.track, Rider(), Day())
    assert found.wind_m_s == pytest.approx(4.0, abs=1.5)
    off_deg = (found.wind_from_deg - told.day.wind_from_deg + 180.0) % 360.0 - 180.0
    assert abs(off_deg) < 30.0


@pytest.mark.slow
def test_windows_on_recordings() -> None:
    """Two rides of 5 km and more are in the packages, so four halves and 21 places ten minutes apart: too
    few for a share, so only that most are met. Found are 17 of 21; three halves are met throughout.
    """
    met = [
        windows_met(recording, mass_kg, second)
        for recording, mass_kg in ((RECORDING, BODY_MASS_KG), (FLAT_RECORDING, 75.0))
        for second in (False, True)
    ]
    assert sum(half.size for half in met) == 21
    assert sum(int(half.sum()) for half in met) >= 14
    assert sum(bool(half.all()) for half in met) >= 3


def test_the_sentence_says_what_and_how_well() -> None:
    found = calibrate_ride(recorded_by(Rider(), Day()), Rider(), Day())
    for said in (
        f"{3.6 * found.moving_speed_m_s:.1f} km/h",
        f"{found.flat_w:.0f} W",
        f"{found.climb_w:.0f} W",
    ):
        assert said in say(found.sentence)
    assert "first half only" in say(found.sentence)


def test_speed_alone_gives_no_ftp() -> None:
    found = calibrate_ride(recorded_by(Rider(), Day()), Rider(), Day())
    assert found.ftp_w is None
    assert not any("ftp" in line or "effort" in line for line in found.settings_lines)
    assert "say your FTP with --ftp-w" in say(found.sentence)


def test_an_ftp_that_is_told_comes_with_its_efforts() -> None:
    found = calibrate_ride(recorded_by(Rider(), Day()), Rider(), Day(), ftp_w=200.0)
    lines = dict(line.split(" = ") for line in found.settings_lines if " = " in line)
    assert lines["ftp_w"] == "200"
    assert float(lines["effort_flat"]) == pytest.approx(found.flat_w / 200.0, abs=0.006)
    assert float(lines["effort_climb"]) == pytest.approx(found.climb_w / 200.0, abs=0.006)


def test_an_ftp_that_cannot_be_is_refused() -> None:
    found = calibrate_ride(recorded_by(Rider(), Day()), Rider(), Day(), ftp_w=100.0)
    with pytest.raises(SettingsError, match=r"of an FTP of 100 W; allowed is 0\.2 to 1\.2"):
        _ = found.settings_lines


def test_what_is_printed_rides_the_recording_again() -> None:
    """The lines pasted into the settings files give the recorded moving time."""
    track = recorded_by(Rider(), Day())
    found = calibrate_ride(track, Rider(), Day(), ftp_w=240.0)
    lines = dict(line.split(" = ") for line in found.settings_lines if " = " in line)
    bike = replace(Rider().bike, cda_m2=float(lines["cda_m2"]))
    rider = replace(Rider(), ftp_w=float(lines["ftp_w"]), bike=bike)
    day = Day(effort_flat=float(lines["effort_flat"]), effort_climb=float(lines["effort_climb"]))
    pace = set_pace(measure_terrain(track), rider, day)
    assert_allclose(pace.moving_time_s, found.moving_time_s, rtol=0.03)


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


def test_a_ride_downhill_with_power_says_nothing_of_ftp() -> None:
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
    assert found.ftp_w is None
    assert np.isfinite(found.cda_m2)
