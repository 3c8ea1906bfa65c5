"""What is written for head units, spreadsheets and calendars, read back by other libraries than wrote it."""

import csv
import unicodedata
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import fitdecode
import gpxpy
import icalendar
import pandas
import pytest
from lxml import etree
from tcxreader.tcxreader import TCXReader

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.data.course_fit import write_fit
from terrain_fuel.outputs.data.course_tcx import write_tcx
from terrain_fuel.outputs.data.table import write_table
from terrain_fuel.outputs.folder import write_folder
from terrain_fuel.outputs.print_choices import PrintChoices
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.spreadsheet import write_spreadsheet
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.text import cell_value
from tests.outputs.demo_plans import demo_plan
from tests.outputs.exported import ALSO, WITH_SIPS, content, written
from tests.outputs.sample_plan import at_the_date_line, sample_plan

# --- courses --------------------------------------------------------------------------------


def fit_messages(path: Path) -> list[tuple[str, dict[str, Any]]]:
    with fitdecode.FitReader(path, check_crc=fitdecode.CrcCheck.RAISE) as reader:
        return [
            (frame.name, {field.name: field.value for field in frame.fields})
            for frame in reader
            if isinstance(frame, fitdecode.FitDataMessage)
        ]


@pytest.mark.slow
@pytest.mark.source(
    "FIT", "course files: file_id, course, lap, timer start, records and course points, timer stop"
)
def test_the_fit_course(tmp_path: Path) -> None:
    plan = sample_plan()
    messages = fit_messages(written(tmp_path, "course.fit"))
    names = [name for name, _ in messages]
    assert names[:4] == ["file_id", "course", "lap", "event"]
    assert names[-1] == "event"
    assert messages[0][1]["type"] == "course"
    assert messages[1][1]["sport"] == "cycling"
    way = [fields for name, fields in messages if name in ("record", "course_point")]
    stamps = [fields["timestamp"].timestamp() for fields in way]
    assert stamps == sorted(stamps)
    assert stamps[0] == plan.day.start.timestamp()
    assert stamps[-1] == pytest.approx(plan.day.start.timestamp() + plan.totals.elapsed_s, abs=1.0)
    points = [fields for name, fields in messages if name == "course_point"]
    bites = [point for point in plan.fuel_points if point.action == "eat"]
    food = [point for point in points if point["type"] == "food"]
    assert len(food) == len(bites)
    halts = {point.label for point in plan.fuel_points if point.action == "refill"}
    assert {point["name"].split()[0] for point in points if point["type"] == "water"} == halts
    assert sum(point["type"] == "danger" for point in points) == 4
    for told, point in zip(food, bites, strict=True):
        assert told["name"].startswith(f"{point.label} ")
        assert len(told["name"]) <= 10
        assert told["distance"] == pytest.approx(point.distance_m, abs=0.02)
        assert told["position_lat"] * 180.0 / 2**31 == pytest.approx(point.lat_deg, abs=1e-7)
        assert told["timestamp"].timestamp() == pytest.approx(
            plan.day.start.timestamp() + point.time_s, abs=0.51
        )


@pytest.mark.source(
    "TCX2", "Course_t: order of elements; CoursePointName_t: 1 to 10 letters; CoursePointType_t"
)
def test_the_tcx_course(tmp_path: Path) -> None:
    path = written(tmp_path, "course.tcx")
    course = etree.parse(path).getroot().find("{*}Courses/{*}Course")
    assert course is not None
    order = list(dict.fromkeys(etree.QName(child).localname for child in course))
    assert order == ["Name", "Lap", "Track", "Notes", "CoursePoint"]
    allowed = {
        "Generic",
        "Summit",
        "Valley",
        "Water",
        "Food",
        "Danger",
        "Left",
        "Right",
        "Straight",
        "First Aid",
    }
    for point in course.iterfind("{*}CoursePoint"):
        assert 1 <= len(point.findtext("{*}Name") or "") <= 10
        assert point.findtext("{*}PointType") in allowed
        assert [etree.QName(child).localname for child in point][:3] == ["Name", "Time", "Position"]


@pytest.mark.parametrize("route", ["loop-120", "long-200"])
def test_ten_letters_say_what_to_do(tmp_path: Path, route: str) -> None:
    """They were the first ten of a longer name: "2 ½ chestn", "F×1 drink", with caffeine "9 gel with"."""
    plan = demo_plan(route)
    (tmp_path / "course.tcx").write_bytes(content(route, "course.tcx", WITH_SIPS))
    points = list(etree.parse(tmp_path / "course.tcx").iterfind(".//{*}CoursePoint"))
    names = [point.findtext("{*}Name") or "" for point in points]
    eaten = {point.label: point for point in plan.fuel_points if point.action == "eat"}
    called: dict[str, set[str]] = {}
    for name in names:
        label, _, told = name.partition(" ")
        if label in eaten:
            item = plan.pantry.item(eaten[label].item)
            amount, _, short = told.rpartition(" ") if item.caffeine_mg == 0.0 else ("", "", told)
            assert amount in ("", "½", "fig")  # a fig sl. is a fig slice
            called.setdefault(short, set()).add(item.name)
            assert ("caf" in short) == (item.caffeine_mg > 0.0)
            words = item.name.casefold().split()
            whole = [part for part in short.split() if part.casefold() in words]
            assert whole or short.endswith("."), name
    assert set(map(len, called.values())) == {1}
    sips = {name for name in names if name[:2] in ("F×", "R×")}
    assert sips <= {
        f"{bottle}×{count} {what}" for bottle in "FR" for count in "12345" for what in ("mix", "water")
    }
    assert len(sips) >= 2


@pytest.mark.slow
@pytest.mark.source("TCX2", "DegreesLongitude_t: from -180 up to but not 180")
def test_courses_that_touch_the_date_line(tmp_path: Path) -> None:
    plan = at_the_date_line(sample_plan())
    assert plan.terrain.track.lon_deg.max() == 180.0
    write_tcx(plan, tmp_path / "course.tcx", whole_line=True)
    places = etree.parse(tmp_path / "course.tcx").iterfind(".//{*}LongitudeDegrees")
    lon_deg = [float(place.text or "") for place in places]
    assert -180.0 in lon_deg
    assert max(lon_deg) < 180.0
    write_fit(plan, tmp_path / "course.fit")
    records = [fields for name, fields in fit_messages(tmp_path / "course.fit") if name == "record"]
    # 32 bits hold half a turn as -2^31 alone
    assert min(record["position_long"] for record in records) == -(2**31)


def test_another_library_reads_the_track_of_the_tcx_course(tmp_path: Path) -> None:
    plan = sample_plan()
    path = written(tmp_path, "course.tcx")
    # it reads recordings only: the same track, under the elements that it looks for
    text = path.read_text(encoding="utf-8").replace("Courses>", "Activities>")
    text = text.replace("<Course>", '<Activity Sport="Biking"><Id>2027-05-08T06:30:00Z</Id>')
    text = text.replace("</Course>", "</Activity>").replace("<Lap>", '<Lap StartTime="2027-05-08T06:30:00Z">')
    text = text.replace("</Lap>", "").replace("</Track>", "</Track></Lap>")
    (tmp_path / "ride.tcx").write_text(text, encoding="utf-8")
    points = TCXReader().read(str(tmp_path / "ride.tcx"), only_gps=True).trackpoints
    assert points[0].latitude == pytest.approx(plan.terrain.track.lat_deg[0], abs=1e-6)
    assert points[-1].distance == pytest.approx(plan.terrain.length_m, abs=0.1)
    assert points[0].time == plan.day.start.astimezone(UTC).replace(tzinfo=None)
    assert (points[-1].time - points[0].time).total_seconds() == pytest.approx(plan.totals.elapsed_s, abs=1.0)


@pytest.mark.slow
def test_sips_are_told_when_asked_for(tmp_path: Path) -> None:
    plan = sample_plan()
    sips = sum(point.action == "sip" for point in plan.fuel_points)
    assert sips > 5
    for choices, expected in ((ALSO, 0), (WITH_SIPS, sips)):
        points = fit_messages(written(tmp_path, "course.fit", choices))
        assert (
            sum(fields.get("type") == "sports_drink" for name, fields in points if name == "course_point")
            == expected
        )
        gpx = gpxpy.parse(written(tmp_path, "fuel-points.gpx", choices).read_text(encoding="utf-8"))
        assert sum(place.symbol == "Navaid, Blue" for place in gpx.waypoints) == expected


def test_fit_without_its_package_is_said_before_anything_is_planned(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("terrain_fuel.outputs.data.course_fit.find_spec", lambda name: None)
    with pytest.raises(OutputError, match=r'pip install "terrain-fuel\[fit\]"'):
        PrintChoices(also=("fit",))


def test_an_output_that_is_none_is_refused() -> None:
    with pytest.raises(OutputError, match="'pdf' is no output; allowed are tcx, fit, csv, ics"):
        PrintChoices(also=("csv", "pdf"))


def test_what_was_asked_for_stands_in_the_folder(tmp_path: Path) -> None:
    paths = write_folder(sample_plan(), tmp_path, PrintChoices(also=("ics", "csv")))
    assert {path.name for path in paths} >= {"ride.ics", "rows.csv", "map.html"}
    assert not (tmp_path / "course.tcx").exists()


@pytest.mark.parametrize("write", [pytest.param(write_fit, marks=pytest.mark.slow), write_tcx])
def test_equal_plans_make_equal_courses(tmp_path: Path, write: Any) -> None:
    plan = demo_plan("rolling-60")
    for name in ("a", "b"):
        write(plan, tmp_path / name)
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


# --- table and calendar ---------------------------------------------------------------------


def test_the_table_read_by_another_library(tmp_path: Path) -> None:
    plan = sample_plan()
    table = pandas.read_csv(written(tmp_path, "rows.csv"))
    assert len(table) == sum(max(len(row.points), 1) for row in plan_rows(plan))
    fuel = table[table["number"].notna()]
    assert fuel["carbohydrate_g"].sum() == pytest.approx(
        sum(point.carbohydrate_g for point in plan.fuel_points), abs=0.05 * len(fuel)
    )
    assert sorted(fuel["number"]) == [point.number for point in plan.fuel_points]
    assert fuel["label"].dropna().tolist()[:2] == ["1", "2"]
    assert table["distance_km"].is_monotonic_increasing


def test_where_numbers_have_a_comma_cells_are_parted_by_semicolons(tmp_path: Path) -> None:
    """As spreadsheets of that language read a file that is opened by a double click."""
    plan = sample_plan()
    german = replace(plan, rider=replace(plan.rider, habits=Habits(language="de")))
    for each, name in ((plan, "english.csv"), (german, "german.csv")):
        write_table(each, tmp_path / name)
    ours = pandas.read_csv(tmp_path / "english.csv")
    theirs = pandas.read_csv(tmp_path / "german.csv", sep=";", decimal=",")
    numbers = [name for name in ours if ours[name].dtype.kind in "fi"]
    assert {"distance_km", "carbohydrate_g", "lat"} <= set(numbers)
    pandas.testing.assert_frame_equal(ours[numbers], theirs[numbers])


def test_no_cell_is_a_formula(tmp_path: Path) -> None:
    text = written(tmp_path, "rows.csv").read_text(encoding="utf-8-sig")
    assert "½" in text
    assert [cell_value(value) for value in ("=1+1", "-x", "@a", "+b", "oat", -3, None)] == [
        "'=1+1", "'-x", "'@a", "'+b", "oat", -3, None,
    ]  # fmt: skip
    for line in csv.reader(text.splitlines()):
        assert not any(cell[:1] in ("=", "+", "@") for cell in line)


@pytest.mark.parametrize("name", ["a;=1+1;b", "a,=1,b", "a|@b", "＝1+1", "﹫a", "－1", 'a;"=1";', "a,,-1,"])
@pytest.mark.parametrize("code", ["en", "de"])
def test_no_cell_is_a_formula_where_cells_are_parted_otherwise(name: str, code: str, tmp_path: Path) -> None:
    words = words_for(Rider(habits=Habits(language=code)))
    write_spreadsheet([("km", "name", "item"), (1.5, name, "oat")], tmp_path / "t.csv", words)
    text = (tmp_path / "t.csv").read_text(encoding="utf-8-sig")
    for mark in ",;|":
        for line in csv.reader(text.splitlines(), delimiter=mark):
            starts = {unicodedata.normalize("NFKC", cell[:1]) for cell in line}
            assert not starts & {"=", "+", "-", "@"}, line
    cells = list(csv.reader(text.splitlines(), delimiter=";" if code == "de" else ","))[1]
    assert [cell.replace("'", "") for cell in cells[1:]] == [name, "oat"]


@pytest.mark.source(
    "RFC5545", "sections 3.1, 3.3.5, 3.3.11 and 3.6.1: folding, UTC, escapes, an event's parts"
)
def test_the_calendar_read_by_another_library(tmp_path: Path) -> None:
    plan = sample_plan()
    data = written(tmp_path, "ride.ics").read_bytes()
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    evening: Any
    ride: Any
    evening, ride = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert ride["SUMMARY"] == plan.name
    assert ride["DTSTART"].dt == plan.day.start
    assert (ride["DTEND"].dt - ride["DTSTART"].dt).total_seconds() == pytest.approx(
        plan.totals.elapsed_s, abs=1.0
    )
    local: datetime = evening["DTSTART"].dt.astimezone(plan.day.start.tzinfo)
    assert (local.hour, (plan.day.start.date() - local.date()).days) == (19, 1)
    steps = str(evening["DESCRIPTION"]).splitlines()
    todo = [step for step in plan.preparation if step.when == "evening"]
    assert len(steps) == len(todo)
    assert all(step.item in said for step, said in zip(todo, steps, strict=True))
    assert evening["UID"] != ride["UID"]
