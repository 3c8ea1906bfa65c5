"""Planned beside ridden: which part, what became of each bite, stores, hours, halts, signs."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from terrain_fuel.day import Day
from terrain_fuel.errors import PlanFileError, SettingsError
from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.planned import read_planned
from terrain_fuel.inputs.recordings.read import read_recording_file
from terrain_fuel.log.entry import entry_of
from terrain_fuel.outputs.data.review_json import SCHEMA_PATH, review_schema_text, review_to_dict
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Pantry
from terrain_fuel.review.after import After
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.review.model import Review
from terrain_fuel.review.planned import Planned
from terrain_fuel.rider import Rider
from tests.recording_files import Points, write_recording
from tests.review.made_ride import DEGREE_M

SETTINGS = Settings(Rider(), Pantry(), Day())


@pytest.fixture(scope="session")
def planned(plan_file: Path) -> Planned:
    return read_planned(plan_file)


def by_the_plan(planned: Planned, factor: float = 1.0, step_s: float = 2.0) -> Points:
    """Return the plan ridden to the metre by its own clock, or so many times as long."""
    time_s = np.arange(0.0, factor * planned.time_s[-1], step_s)
    at_m = np.interp(time_s / factor, planned.time_s, planned.distance_m)
    power_w = np.interp(at_m, planned.distance_m, planned.power_w)
    whole = np.ones(time_s.size)
    return Points(
        planned.day.start, time_s, np.interp(at_m, planned.line_m, planned.line_lat_deg),
        np.interp(at_m, planned.line_m, planned.line_lon_deg), 300.0 * whole, at_m, power_w, 140.0 * whole,
        20.0 * whole,
    )  # fmt: skip


def cut(points: Points, first: int, last: int, turned: bool = False) -> Points:
    """Return a part of the points, or that part ridden the other way round by the same clock."""
    step = -1 if turned else 1
    names = [name for name in Points.__dataclass_fields__ if isinstance(getattr(points, name), np.ndarray)]
    columns = {name: getattr(points, name)[first:last][::step] for name in names}
    columns["time_s"] = points.time_s[: columns["time_s"].size]
    columns["distance_m"] = np.abs(columns["distance_m"] - columns["distance_m"][0])
    return replace(points, **columns)


def look_back(points: Points, folder: Path, planned: Planned | None, after: After | None = None) -> Review:
    return review_ride(
        read_recording_file(write_recording(points, folder / "ride.tcx")), SETTINGS, planned, after
    )


def filled(folder: Path, planned: Planned, text: str) -> After:
    path = folder / "after.toml"
    path.write_text(text, encoding="utf-8")
    after = read_after(path, planned.pantry)
    assert after is not None
    return after


def test_a_ride_by_the_plan_is_on_time_with_its_stores(planned: Planned, tmp_path: Path) -> None:
    review = look_back(by_the_plan(planned), tmp_path, planned, After())
    assert review.part is not None
    assert review.part.way == "planned"
    assert review.part.ridden_m == pytest.approx(planned.length_m, abs=40.0)
    assert review.lateness is not None
    assert abs(review.lateness.final_s) < 10.0
    assert review.events == ()
    eaten = sum(each.carbohydrate_g for each in review.products)
    assert eaten == pytest.approx(planned.carbohydrate_g, rel=0.01)
    assert review.fuel is not None
    # the stores by the ridden clock are those of the plan, whose ride it was: 450 g at the start
    assert review.fuel.glycogen_g[0] == pytest.approx(450.0, abs=1.0)
    assert sum(hour.eaten_g for hour in review.hours) == pytest.approx(eaten, rel=0.01)


def test_late_by_a_tenth_and_from_where_on(planned: Planned, tmp_path: Path) -> None:
    review = look_back(by_the_plan(planned, 1.1), tmp_path, planned)
    assert review.lateness is not None
    # a tenth of 17 131 s
    assert review.lateness.final_s == pytest.approx(1713.0, rel=0.02)
    # a minute late after ten minutes' riding of eight metres a second
    assert review.lateness.from_m is not None
    assert 3500.0 < review.lateness.from_m < 6500.0


def test_sweat_goes_by_the_warmth_that_the_device_measured(planned: Planned, tmp_path: Path) -> None:
    """The plan says 18 degrees; a device that says what no day has is not believed."""
    points = cut(by_the_plan(planned), 0, 900)
    sweat_ml, kept_c, told = [], [], []
    for measured_c in (18.0, 31.0, -30.0):
        whole = np.full(points.time_s.size, measured_c)
        path = write_recording(replace(points, temperature_c=whole), tmp_path / "ride.fit")
        review = review_ride(read_recording_file(path), SETTINGS, planned)
        sweat_ml.append(review.hours[0].sweat_ml)
        kept_c.append(entry_of(review, planned.rider, planned.day, planned).temperature_c)
        told.append([note.code for note in review.notes])
    assert sweat_ml[1] > 1.3 * sweat_ml[0]
    assert sweat_ml[2] == pytest.approx(sweat_ml[0])
    assert kept_c == [18.0, 31.0, 18.0]
    assert ["device_warmth" in codes for codes in told] == [False, True, False]
    # a device that sums up no ascent writes 0 into its record: nothing to wonder at
    assert not any("device_ascent" in codes for codes in told)


def test_half_of_it(planned: Planned, tmp_path: Path) -> None:
    points = by_the_plan(planned)
    half = points.time_s.size // 2
    review = look_back(cut(points, 0, half), tmp_path, planned)
    assert [event.kind for event in review.events] == ["stopped_early"]
    assert {point.was for point in review.points if point.ridden_s is None} == {"not_reached"}
    late = look_back(cut(points, half, 2 * half), tmp_path, planned)
    assert [event.kind for event in late.events] == ["started_late"]
    assert late.lateness is not None
    assert abs(late.lateness.final_s) < 15.0


def test_the_other_way_round_is_seen(planned: Planned, tmp_path: Path) -> None:
    points = by_the_plan(planned)
    review = look_back(cut(points, 0, points.time_s.size, turned=True), tmp_path, planned)
    assert review.part is not None
    assert review.part.way == "other_way"
    assert "rode_other_way" in [note.code for note in review.notes]
    assert all(point.ridden_s is None for point in review.points)


def test_another_road_is_looked_at_on_its_own(planned: Planned, tmp_path: Path) -> None:
    points = by_the_plan(planned)
    elsewhere = replace(points, lat_deg=points.lat_deg + 40_000.0 / DEGREE_M)
    review = look_back(elsewhere, tmp_path, planned)
    assert review.part is not None
    assert review.part.way == "elsewhere"
    assert "rode_elsewhere" in [note.code for note in review.notes]
    assert review.fuel is not None


def test_laps_of_one_road_are_told_apart(planned: Planned, tmp_path: Path) -> None:
    """Three laps of a square of 8 km: two and a half ridden, 4 m/s."""
    side = np.linspace(0.0, 2000.0, 41)[:-1]
    still = np.zeros(40)
    east = np.concatenate((side, still + 2000.0, 2000.0 - side, still))
    north = np.concatenate((still, side, still + 2000.0, 2000.0 - side))
    lap_lat, lap_lon = 46.0 + north / DEGREE_M, 7.0 + east / (DEGREE_M * np.cos(np.radians(46.0)))
    line = replace(
        planned,
        line_m=50.0 * np.arange(480.0),
        line_lat_deg=np.tile(lap_lat, 3),
        line_lon_deg=np.tile(lap_lon, 3),
        distance_m=np.array([0.0, 24_000.0]),
        time_s=np.array([0.0, 6000.0]),
        power_w=np.array([150.0, 150.0]),
        points=(),
        climbs=(),
    )
    time_s = np.arange(0.0, 5000.0, 2.0)
    at_m = 4.0 * time_s
    whole = np.ones(time_s.size)
    points = Points(
        planned.day.start, time_s, np.interp(at_m, line.line_m, line.line_lat_deg),
        np.interp(at_m, line.line_m, line.line_lon_deg), 300.0 * whole, at_m, 150.0 * whole, 140.0 * whole,
        20.0 * whole,
    )  # fmt: skip
    review = look_back(points, tmp_path, line)
    assert review.part is not None
    ((since, until),) = review.part.spans
    assert since == pytest.approx(0.0, abs=30.0)
    assert until == pytest.approx(20_000.0, abs=60.0)


def test_bites_left_empty_the_stores(planned: Planned, tmp_path: Path) -> None:
    points = by_the_plan(planned)
    whole = look_back(points, tmp_path, planned, After())
    eats = [point for point in planned.points if point.action == "eat"]
    ticks = "".join(f'[[bite]]\nnumber = {point.label}\nwas = "left"\n' for point in eats)
    none = look_back(points, tmp_path, planned, filled(tmp_path, planned, ticks))
    assert whole.fuel is not None
    assert none.fuel is not None
    missing_g = sum(point.carbohydrate_g for point in eats)
    eaten_g = [float(review.fuel.eaten_g[-1]) for review in (whole, none) if review.fuel is not None]
    assert eaten_g[0] - eaten_g[1] == pytest.approx(missing_g)
    assert none.fuel.glycogen_g[-1] < whole.fuel.glycogen_g[-1] - 0.5 * missing_g


def test_what_is_left_over_beyond_the_reserve_are_the_last_bites(planned: Planned, tmp_path: Path) -> None:
    """Of the salted potato five bites are planned and one is kept back: three left are the last two bites."""
    (key,) = [f"A{i}" for i, item in enumerate(planned.pantry.items, 1) if item.name == "salted potato"]
    assert planned.carried["salted potato"] == (5, 1)
    after = filled(tmp_path, planned, f"[after]\n{key} = 3\n")
    review = look_back(by_the_plan(planned), tmp_path, planned, after)
    (eaten,) = [each.portions for each in review.products if each.item == "salted potato"]
    assert eaten == 3.0
    bites = [point for point in review.points if point.item == "salted potato"]
    assert bites[-1].was == "left"
    assert bites[0].was == "eaten"


def test_drink_left_in_a_bottle_shortens_its_sips_alike(planned: Planned, tmp_path: Path) -> None:
    keys = {container.name: f"B{i}" for i, container in enumerate(planned.pantry.containers, 1)}
    name = "front bottle"
    poured = sum(each.fluid_ml for each in planned.poured if each.container == name)
    after = filled(tmp_path, planned, f"[after]\n{keys[name]} = {poured:.1f}\n")
    review = look_back(by_the_plan(planned), tmp_path, planned, after)
    labels = {point.number: point.container for point in planned.points}
    assert {p.was for p in review.points if p.action == "sip" and labels[p.number] == name} == {"left"}


def test_two_weighings_are_a_sweat_rate_with_its_error(planned: Planned, tmp_path: Path) -> None:
    review = look_back(
        by_the_plan(planned), tmp_path, planned, filled(tmp_path, planned, "[after]\nD1 = 70\nD2 = 69\n")
    )
    drunk_ml = sum(each.fluid_ml for each in review.products)
    assert review.weighed is not None
    hours = review.ride.elapsed_s / 3600.0
    assert review.weighed.rate_ml_per_h == pytest.approx((1000.0 + drunk_ml) / hours)
    # readings off by up to 100 g: 82 g for their difference; drink known to a tenth
    expected = np.hypot(81.65, 0.1 * drunk_ml) / hours
    assert review.weighed.sd_ml_per_h == pytest.approx(expected, rel=1e-3)


def test_without_a_plan_the_ride_stands_alone(planned: Planned, tmp_path: Path) -> None:
    review = look_back(by_the_plan(planned), tmp_path, None)
    assert review.part is None
    assert review.points == ()
    assert review.questions[0].key == "ate"
    assert review.power_from == "measured"


def test_signs_say_when_the_recording_cannot_tell(planned: Planned, tmp_path: Path) -> None:
    points = by_the_plan(planned)
    known = {sign.code: sign.value for sign in look_back(points, tmp_path, planned).signs}
    assert known["last_hour"] is not None
    nothing = replace(points, power_w=np.full(points.time_s.size, np.nan))
    blind = {sign.code: sign for sign in look_back(nothing, tmp_path, planned).signs}
    assert blind["drift"].value is None
    assert blind["rise"].value is None
    assert blind["drift"].basis == "Sm22"


def test_drift_is_power_for_a_heartbeat(planned: Planned, tmp_path: Path) -> None:
    """By hand, 200 W at 140 and then at 147 beats: 1 - 140/147 = 4.762 %; the definition is [Sm22]'s."""
    points = by_the_plan(planned)
    half = points.time_s.size // 2
    heart = np.where(np.arange(points.time_s.size) < half, 140.0, 147.0)
    steady = replace(points, power_w=np.full(points.time_s.size, 200.0), heart_bpm=heart)
    (drift,) = [sign for sign in look_back(steady, tmp_path, planned).signs if sign.code == "drift"]
    assert drift.value == pytest.approx(0.04762, abs=5e-4)


def test_review_json_keeps_to_its_schema(planned: Planned, tmp_path: Path) -> None:
    review = look_back(by_the_plan(planned), tmp_path, planned, After(stomach=7.0))
    plain = json.loads(json.dumps(review_to_dict(review, words_for(planned.rider)), allow_nan=False))
    schema = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))
    assert list(Draft202012Validator(schema).iter_errors(plain)) == []
    broken = {**plain, "ride": {**plain["ride"], "distance_m": "far"}}
    assert list(Draft202012Validator(schema).iter_errors(broken))
    assert SCHEMA_PATH.read_text(encoding="utf-8") == review_schema_text()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[after]\nA99 = 1\n", r"A99 is not a key of the form"),
        ("[after]\nC1 = 11\n", r"C1 is 11; allowed is 0 to 10"),
        ("[after]\nC1 = 2027-05-08T08:00:00Z\n", r"C1 is 2027-05-08 08:00:00\+00:00; allowed is 0 to 10"),
        ("[after]\nbedtime = 'late'\n", r"bedtime is 'late'"),
        ("[[lost]]\nkey = 'B77'\n", r"key is 'B77'; allowed is B1"),
        ("[[ate]]\nitem = 'unicorn'\n", r"no item is called 'unicorn'"),
        ("[[bite]]\nnumber = 1\nwas = 'thrown'\n", r"was is 'thrown'"),
    ],
)
def test_a_form_that_cannot_be_is_refused(text: str, said: str, planned: Planned, tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=said):
        filled(tmp_path, planned, text)


def test_a_plan_without_its_road_is_refused(plan_file: Path, tmp_path: Path) -> None:
    plan = json.loads(plan_file.read_text(encoding="utf-8"))
    del plan["route"]["line"]
    old = tmp_path / "old.json"
    old.write_text(json.dumps(plan), encoding="utf-8")
    with pytest.raises(PlanFileError, match="plan the ride again"):
        read_planned(old)
