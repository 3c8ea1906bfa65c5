"""Recordings in: real rides in three formats beside their own session record, and files that are damaged."""

import struct
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from importlib.metadata import files
from pathlib import Path

import numpy as np
import pytest
from fitdecode import FitDataMessage, FitReader
from fitdecode.utils import compute_crc
from numpy.testing import assert_allclose

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.fit_records import FIELDS, take_records
from terrain_fuel.inputs.recordings.read import read_recording_file, read_recordings
from terrain_fuel.recorded import RecordedRide
from terrain_fuel.review.look_back import ride_facts
from terrain_fuel.review.ridden import lay_ride
from tests.inputs.made_files import northward
from tests.inputs.made_formats import FORMATS
from tests.recorded_ride import recording_path
from tests.recording_files import Points, fit_bytes, gpx_bytes, tcx_bytes, write_recording

HILLS = ("4078723797.fit", "activity_4078723797.tcx", "4078723797_strava.gpx", "activity_4078723797.gpx")
FLAT = ("4801048867.fit", "activity_4801048867.tcx", "4801048867_strava.gpx", "activity_4801048867.gpx")
START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)


def straight(count: int = 600, speed_m_s: float = 8.0) -> Points:
    """Return a straight ride to the north."""
    time_s = np.arange(float(count))
    distance_m = speed_m_s * time_s
    whole = np.ones(count)
    return Points(
        START, time_s, 46.0 + distance_m / 111_195.0, 7.0 * whole, 300.0 * whole, distance_m, 180.0 * whole,
        130.0 * whole, 21.0 * whole,
    )  # fmt: skip


def without(points: Points, gone: slice) -> Points:
    """Return the points without a part of them."""
    kept = np.ones(points.time_s.size, dtype=np.bool_)
    kept[gone] = False
    names = [n for n in Points.__dataclass_fields__ if isinstance(getattr(points, n), np.ndarray)]
    return replace(points, **{name: getattr(points, name)[kept] for name in names})


@pytest.mark.source(
    "FIT", "session: total_distance, total_timer_time, avg_power, avg_heart_rate, total_ascent"
)
@pytest.mark.parametrize("names", [HILLS, FLAT])
def test_a_real_ride_in_three_formats_is_what_its_session_record_says(names: tuple[str, ...]) -> None:
    """Distance, time, power and heart rate within 1 %. The device's own ascent follows rules of its own: ours
    is 2.5 % more in the hills (1285 m for 1254 m) and 5 m more on the flat (84 m for 79 m). No dead band over
    the recorded heights brings both within 1 %: of 1.5, 2 and 3 m the hills are +2.3, +1.2 and -0.7 % off,
    the flat +18, -24 and -26 %."""
    rides = [read_recording_file(recording_path(name)) for name in names]
    sums = rides[0].sums
    assert sums is not None
    for ride in rides:
        facts = ride_facts(lay_ride(ride))
        assert facts.distance_m == pytest.approx(sums.distance_m, rel=0.01)
        assert facts.timer_s == pytest.approx(sums.timer_s, rel=0.01)
        assert facts.heart_bpm == pytest.approx(sums.heart_bpm, rel=0.01)
        assert facts.ascent_m == pytest.approx(sums.ascent_m, rel=0.03, abs=6.0)
        if ride.power_w is not None:
            assert facts.power_w == pytest.approx(sums.power_w, rel=0.01)
        assert facts.start == rides[0].start


@pytest.mark.parametrize("name", ["2020-06-01-16-52-40.fit", "6449921903_ACTIVITY.fit"])
def test_records_read_in_bulk_are_what_the_decoder_reads_one_by_one(name: str) -> None:
    """Against fitdecode itself, over real files of several makers; a byte that flipped is still seen."""
    data = recording_path(name).read_bytes()
    plain = take_records(data)
    assert plain is not None
    with FitReader(data) as decoder:
        records = [each for each in decoder if isinstance(each, FitDataMessage) and each.name == "record"]
    assert len(plain.records) == len(records) > 90
    for field in FIELDS:
        ours = [each.get(field) for each in plain.records]
        if field != "enhanced_altitude" or any(each is not None for each in ours):
            assert ours == [each.get_value(field, fallback=None) for each in records], field
    assert take_records(data[:4000] + bytes([data[4000] ^ 1]) + data[4001:]) is None
    assert take_records(data[:-1]) is None


@pytest.mark.parametrize("order", ["<", ">"])
def test_records_written_either_way_round_are_read_alike(order: str) -> None:
    """An altitude of 300 m is (300 + 500) * 5 [FIT]_; what the device does not know is left out."""
    definition = struct.pack("BBB", 0x40, 0, order == ">") + struct.pack(f"{order}HB", 20, 3)
    definition += bytes([253, 4, 0x86, 2, 2, 0x84, 7, 2, 0x84])
    body = definition + struct.pack(f"{order}BIHH", 0, 10**9, 4000, 0xFFFF)
    head = struct.pack("<BBHI4sH", 14, 0x20, 2132, len(body), b".FIT", 0)
    data = head + body
    plain = take_records(data + struct.pack("<H", compute_crc(data)))
    assert plain is not None
    moment = datetime(1989, 12, 31, tzinfo=UTC) + timedelta(seconds=10**9)
    assert plain.records == [{"timestamp": moment, "altitude": 300.0}]


def test_pauses_are_no_time_of_the_timer() -> None:
    ride = read_recording_file(recording_path("6449921903_ACTIVITY.fit"))
    assert ride.sums is not None
    assert ride.sums.timer_s == pytest.approx(196.229)
    assert ride.timer_s == pytest.approx(196.0, abs=2.0)
    assert not ride.has_positions


def test_a_run_is_no_ride() -> None:
    with pytest.raises(TrackError, match=r"recording of Running; a ride by bicycle is needed"):
        read_recording_file(recording_path("3173437224.tcx"))


@pytest.mark.parametrize(
    ("word", "is_ride"),
    [
        ("MTB", True), ("mountain biking", True), ("Gravel_Ride", True), ("jkljkl", True), ("9", True),
        ("trunk road", True), ("Running", False), ("trail run", False), ("Hiking", False),
        ("alpine skiing", False),
    ],
)  # fmt: skip
def test_a_tracks_type_is_anybodys_words(word: str, is_ride: bool, tmp_path: Path) -> None:
    """GPX 1.1 leaves the type of a track free: only what names another sport is refused."""
    path = tmp_path / "ride.gpx"
    path.write_bytes(gpx_bytes(straight()).replace(b"<type>cycling", f"<type>{word}".encode()))
    if is_ride:
        assert read_recording_file(path).elapsed_s == pytest.approx(599.0)
        return
    with pytest.raises(TrackError, match=f"is a recording of {word}; a ride by bicycle is needed") as refused:
        read_recording_file(path)
    assert refused.value.said == fact("refused_other_sport")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b'{"type": "LineString"}', "is no recording; a recording is FIT, TCX or GPX; export the recording"),
        (b"\n \n", "the file is empty; export the recording again"),
        (b"<gpx><trk></gpx>", "; export the recording again"),
        (b"<x/>", "is a <x> file; a recording is FIT, TCX or GPX; export the recording as FIT"),
        (b"<html>gpx</html>", "is a web page \\(HTML\\), not a recording; download the recording itself"),
    ],
)  # fmt: skip
def test_who_reviews_a_ride_is_told_of_recordings(content: bytes, said: str, tmp_path: Path) -> None:
    path = tmp_path / "ride.bin"
    path.write_bytes(content)
    with pytest.raises(TrackError, match=said) as refused:
        read_recording_file(path)
    said_there = "refused_empty" if not content.strip() else "refused_not_recorded"
    assert refused.value.said == fact(said_there)


@pytest.mark.parametrize("kind", ["gpx", "tcx", "fit"])
def test_a_planned_route_is_no_ride_on_the_page_too(kind: str, tmp_path: Path) -> None:
    hill = [(lat, lon, 100.0 + i) for i, (lat, lon, _) in enumerate(northward(40))]
    path = tmp_path / f"hill.{kind}"
    path.write_bytes(FORMATS[kind](hill, "Hill"))
    with pytest.raises(TrackError) as refused:
        read_recording_file(path)
    assert refused.value.said == fact("refused_planned")


def test_of_several_sports_the_ride_is_taken() -> None:
    ride = read_recording_file(recording_path("6471559601_ACTIVITY.fit"))
    assert ride.elapsed_s < 30.0  # the file holds 24 s of running and a change before it


@pytest.mark.parametrize("suffix", [".fit", ".tcx", ".gpx"])
def test_our_writers_and_the_readers_agree(suffix: str, tmp_path: Path) -> None:
    ride = read_recording_file(write_recording(straight(), tmp_path / f"ride{suffix}"))
    assert ride.format == suffix[1:].upper()
    assert ride.start == START
    assert_allclose(ride.time_s, np.arange(600.0))
    assert_allclose(ride.lat_deg, 46.0 + 8.0 * np.arange(600.0) / 111_195.0, atol=1e-6)
    assert ride.power_w is not None
    assert_allclose(ride.power_w, 180.0)
    assert ride.heart_bpm is not None
    assert_allclose(ride.heart_bpm, 130.0)
    assert (ride.temperature_c is None) == (suffix == ".tcx")


def test_a_fit_file_cut_off_gives_what_stands_before_the_cut(tmp_path: Path) -> None:
    data = fit_bytes(straight())
    path = tmp_path / "ride.fit"
    path.write_bytes(data[: len(data) // 2])
    ride = read_recording_file(path)
    assert 250 < ride.time_s.size < 350
    assert "recording_damaged" in [note.code for note in ride.notes]


def test_a_clock_set_back_goes_on(tmp_path: Path) -> None:
    points = straight()
    time_s = points.time_s.copy()
    time_s[:100] += 3600.0 * 24 * 400  # the first points carry a date that is no date
    ride = read_recording_file(write_recording(replace(points, time_s=time_s), tmp_path / "ride.gpx"))
    assert ride.elapsed_s == pytest.approx(599.0)
    assert ride.start == START  # the later clock is the true one
    assert [note.code for note in ride.notes] == ["clock_leapt"]


def test_a_receiver_that_leaps_is_not_followed(tmp_path: Path) -> None:
    points = straight()
    lat = points.lat_deg.copy()
    lat[300] += 0.05
    ride = read_recording_file(write_recording(replace(points, lat_deg=lat), tmp_path / "ride.gpx"))
    assert np.isnan(ride.lat_deg[300])
    assert lay_ride(ride).distance_m == pytest.approx(599 * 8.0, rel=0.002)


def test_two_parts_of_a_ride_are_one(tmp_path: Path) -> None:
    points = straight()
    first = write_recording(without(points, slice(300, None)), tmp_path / "one.gpx")
    second = write_recording(without(points, slice(0, 400)), tmp_path / "two.fit")
    ride = read_recordings([second, first])
    assert ride.elapsed_s == pytest.approx(599.0)
    assert ride.pauses_s == ((299.0, 400.0),)
    assert ride.digest == read_recordings([first, second]).digest


def test_a_second_device_lends_what_the_first_did_not_know(tmp_path: Path) -> None:
    points = straight()
    nothing = replace(points, power_w=np.full(600, np.nan))
    first = write_recording(nothing, tmp_path / "one.gpx")
    assert read_recordings([first]).power_w is None
    second = write_recording(points, tmp_path / "two.fit")
    joined = read_recordings([first, second])
    assert joined.power_w is not None
    assert_allclose(joined.power_w, 180.0)


def test_files_of_two_days_are_no_ride(tmp_path: Path) -> None:
    points = straight()
    later = replace(points, start=datetime(2027, 5, 11, tzinfo=UTC))
    paths = [write_recording(points, tmp_path / "a.gpx"), write_recording(later, tmp_path / "b.gpx")]
    with pytest.raises(TrackError, match="at most 24 h apart"):
        read_recordings(paths)


def test_a_halt_with_a_straying_receiver_and_one_with_autopause_last_alike(tmp_path: Path) -> None:
    rng = np.random.default_rng(4)
    points = straight(1200)
    at = np.interp(np.arange(1500.0), [0, 600, 900, 1500], [0.0, 600 * 8.0, 600 * 8.0, 1200 * 8.0])
    whole = np.ones(1500)
    stood = (at == 600 * 8.0) * 1.0
    strayed = Points(
        START, np.arange(1500.0), 46.0 + (at + stood * rng.normal(0.0, 4.0, 1500)) / 111_195.0,
        7.0 + stood * rng.normal(0.0, 4.0, 1500) / 77_000.0, 300.0 * whole, at, 180.0 * (1 - stood),
        130.0 * whole, 21.0 * whole,
    )  # fmt: skip
    paused = replace(without(strayed, slice(605, 899)), pauses_s=((604.0, 899.0),))
    for points in (strayed, paused):
        for suffix in (".gpx", ".fit"):
            ridden = lay_ride(read_recording_file(write_recording(points, tmp_path / f"ride{suffix}")))
            (halt,) = ridden.halts
            assert halt.lasts_s == pytest.approx(300.0, abs=6.0)
            assert halt.start_s == pytest.approx(600.0, abs=4.0)
            assert ridden.distance_m == pytest.approx(1200 * 8.0, abs=60.0)


def test_what_is_no_recording_is_said(tmp_path: Path) -> None:
    course = tmp_path / "course.tcx"
    course.write_bytes(tcx_bytes(straight(5)).replace(b"Activit", b"Course_"))
    with pytest.raises(TrackError, match="no recorded activity"):
        read_recording_file(course)
    untimed = tmp_path / "route.gpx"
    untimed.write_bytes(gpx_bytes(straight(5)).replace(b"time>", b"desc>"))
    with pytest.raises(TrackError, match="no times"):
        read_recording_file(untimed)


def every_real_recording() -> list[Path]:
    return [Path(str(f.locate())) for f in files("sweat") or () if f.suffix in (".fit", ".tcx", ".gpx")]


@pytest.mark.slow
def test_every_recording_of_the_package_is_read_or_refused_with_a_word() -> None:
    runs = {"3173437224.tcx"}
    rides = [path for path in every_real_recording() if path.name not in runs]
    assert len(rides) == 13
    assert all(isinstance(read_recording_file(path), RecordedRide) for path in rides)
