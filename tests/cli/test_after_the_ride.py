"""The story after a ride, by the commands a rider types: review, log, learn, plan with the log, season."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.log.rides import keep_ride, read_rides
from terrain_fuel.outputs.data.plan_json import plan_text
from tests.demo import ROUTES
from tests.fuzz.doors import REVIEW_SEEDS
from tests.log.made_log import made_ride
from tests.outputs.demo_plans import demo_plan
from tests.recorded_ride import recording_path
from tests.recording_files import write_recording
from tests.review.made_ride import made_ride as recorded_ride

FIVE = (
    "4078723797.fit", "4801048867.fit", "2020-06-01-16-52-40.fit", "6449921903_ACTIVITY.fit",
    "6471559601_ACTIVITY.fit",
)  # fmt: skip


def said(capsys: pytest.CaptureFixture[str], words: list[str]) -> str:
    assert main(words) == 0, capsys.readouterr().err
    return capsys.readouterr().out


def test_a_ride_is_reviewed_kept_learned_from_and_planned_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = demo_plan("loop-120")
    plan_file, log, form = tmp_path / "plan.json", tmp_path / "log.sqlite", tmp_path / "after.toml"
    plan_file.write_text(plan_text(plan), encoding="utf-8")
    points, _ = recorded_ride(plan, 4)
    ride = write_recording(points, tmp_path / "ride.gpx")
    form.write_text("[after]\nC1 = 8\nD1 = 71.0\nD2 = 69.8\n", encoding="utf-8")
    words = ["review", str(ride), "--plan", str(plan_file), "--after", str(form), "--log", str(log)]
    out = said(capsys, [*words, "--out", str(tmp_path / "review")])
    assert "You sweated about" in out
    review = json.loads((tmp_path / "review" / "review.json").read_text(encoding="utf-8"))
    assert review["format"] == "terrain-fuel review"
    assert review["feeling"]["stomach"] == 8.0
    assert "Three Passes" in said(capsys, ["log", "--log", str(log)])
    assert "stomach = 8" in said(capsys, ["log", "--log", str(log), "--show", "1"])
    assert "sweat_rate_ml_per_h =" in said(capsys, ["learn", "--log", str(log)])
    rider = tmp_path / "rider.toml"
    rider.write_text((ROUTES / "rider.toml").read_text(encoding="utf-8"), encoding="utf-8")
    assert "changed: sweat_rate_ml_per_h" in said(
        capsys, ["learn", "--log", str(log), "--change", str(rider)]
    )
    assert "# what your gut is used to" in rider.read_text(encoding="utf-8")
    said(capsys, ["log", "--log", str(log), "--season", str(tmp_path / "season.html")])
    assert (tmp_path / "season.html").exists()
    said(capsys, ["log", "--log", str(log), "--delete", "1"])
    assert read_rides(log) == ()


@pytest.mark.slow
def test_the_plan_says_from_how_many_rides(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = tmp_path / "log.sqlite"
    for i in range(6):
        keep_ride(log, made_ride(i))
    route = str(ROUTES / "rolling-60.gpx")
    words = ["plan", route, "--elevation", str(ROUTES / "tiles"), "--quiet", "--log", str(log)]
    assert main([*words, "--out", str(tmp_path / "ride")]) in (0, 3)
    capsys.readouterr()
    plan = json.loads((tmp_path / "ride" / "plan.json").read_text(encoding="utf-8"))
    told = [warning["sentence"] for warning in plan["warnings"]]
    assert sum("from 6 of your" in sentence for sentence in told) == 4
    # six rides of 0.32 m2 and 1.05 times the efforts, against 0.35 and 0.65 of the settings
    assert 0.32 < plan["rider"]["bike"]["cda_m2"] < 0.33
    assert 0.675 < plan["day"]["day"]["effort_flat"] < 0.6825


@pytest.mark.slow
def test_every_real_ride_of_the_package_is_reviewed_end_to_end(tmp_path: Path) -> None:
    log = tmp_path / "log.sqlite"
    for name in FIVE:
        out = tmp_path / name
        assert (
            main(["review", str(recording_path(name)), "--out", str(out), "--log", str(log), "--quiet"]) == 0
        )
        assert {path.name for path in out.iterdir()} == {"review.html", "review.json"}
    assert len(read_rides(log)) == 5
    # the device sums up the same heights by a rule of its own: 1254 m of 1286
    assert "1254 m climbed" in (tmp_path / "4078723797.fit" / "review.html").read_text(encoding="utf-8")


def test_bad_input_is_one_line_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run = recording_path("3173437224.tcx")
    log = tmp_path / "log.sqlite"
    assert main(["review", str(run), "--out", str(tmp_path / "out"), "--log", str(log)]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []
    assert main(["log", "--log", str(log), "--export", str(tmp_path / "x.doc")]) == 2
    assert main(["log", "--log", str(log), "--correct", "1"]) == 2
    assert main(["log", "--log", str(log), "--show", "3"]) == 2


@pytest.mark.parametrize(
    ("table", "name", "row", "value"),
    [
        ("line", "distance_m", 0, None),
        ("line", "distance_m", -1, 1e12),
        ("line", "lat", 1, "forty-six"),
        ("line", "lat", 1, [46.0]),
        ("timeline", "time_s", 3, None),
        ("timeline", "distance_m", 2, 1e300),
    ],
)
def test_a_plan_whose_road_is_none_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], table: str, name: str, row: int, value: object
) -> None:
    """One line, where a missing distance once broke the review off and a huge one took all memory."""
    plan = json.loads(plan_text(demo_plan("rolling-60")))
    (plan["route"][table] if table == "line" else plan[table])[name][row] = value
    plan_file, ride = tmp_path / "plan.json", tmp_path / "ride.gpx"
    plan_file.write_text(json.dumps(plan), encoding="utf-8")
    ride.write_bytes(REVIEW_SEEDS[2])
    words = ["review", str(ride), "--plan", str(plan_file), "--out", str(tmp_path / "out"), "--no-log"]
    assert main(words) == 2
    said = capsys.readouterr().err
    assert said.startswith("plan.json: lacks what a review needs")
    assert said.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.slow
def test_a_review_and_its_place_in_the_log_are_written_both_or_neither(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    points, _ = recorded_ride(demo_plan("loop-120"), 4)
    ride, log, out = write_recording(points, tmp_path / "ride.gpx"), tmp_path / "log.sqlite", tmp_path / "out"
    words = ["review", str(ride), "--out", str(out), "--log", str(log)]
    log.write_bytes(b"SQLite format 3\x00 and then nothing of the kind")
    assert main(words) == 2
    assert "damaged" in capsys.readouterr().err
    assert not out.exists()
    log.unlink()
    out.write_bytes(b"no folder")
    assert main(words) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert read_rides(log) == ()


def test_a_log_that_is_not_there_is_said_before_anything_is_planned(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    route = str(ROUTES / "rolling-60.gpx")
    assert main(["plan", route, "--out", str(tmp_path / "x"), "--log", str(tmp_path / "none")]) == 2
    assert "there is no such log" in capsys.readouterr().err


def test_a_plan_and_its_drawing_load_nothing_of_this() -> None:
    asked = (
        "import sys; import terrain_fuel.planner, terrain_fuel.outputs.folder, terrain_fuel.outputs.terminal;"
        " import terrain_fuel.cli.plan, terrain_fuel.mishaps;"
        " print([name for name in sys.modules if name == 'sqlite3'"
        " or name.startswith(('terrain_fuel.review', 'terrain_fuel.log', 'terrain_fuel.learn'))])"
    )
    run = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True, env=os.environ
    )
    assert run.stdout.strip() == "[]"
