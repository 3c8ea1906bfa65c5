"""The commands as a rider types them: what is written, what is said, and the exit code."""

import json
import os
import shutil
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import gpxpy
import jsonschema
import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.outputs.data.plan_schema import SCHEMA_PATH, schema_text
from tests.demo import ROUTE_NAMES, ROUTES
from tests.recorded_ride import recorded_gpx

OUTPUTS = {"plan.json", "map.html", "sticker.pdf", "sheet.pdf", "fuel-points.gpx", "plan.geojson"}


def demo_words(name: str, out: Path, day: str = "day.toml") -> list[str]:
    settings = [f"--rider={ROUTES / 'rider.toml'}", f"--pantry={ROUTES / 'pantry.toml'}"]
    if name == "loop-120":
        settings.append(f"--day={ROUTES / day}")
    return ["plan", str(ROUTES / f"{name}.gpx"), *settings, f"--elevation={ROUTES / 'tiles'}", f"--out={out}"]


@pytest.fixture(scope="module")
def loop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("loop")
    assert main([*demo_words("loop-120", out), "--quiet"]) == 0
    return out


def test_all_outputs_are_written_and_nothing_else(loop: Path) -> None:
    assert {path.name for path in loop.iterdir()} == OUTPUTS
    assert all(path.stat().st_size > 1000 for path in loop.iterdir())


def test_the_schema_that_ships_is_the_one_of_the_code() -> None:
    assert SCHEMA_PATH.read_text(encoding="utf-8") == schema_text()


@pytest.mark.parametrize("name", ROUTE_NAMES)
def test_a_plan_keeps_the_schema_and_the_hard_rules(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*demo_words(name, tmp_path), "--quiet"]) == 0
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    jsonschema.validate(plan, json.loads(SCHEMA_PATH.read_text(encoding="utf-8")))
    capsys.readouterr()
    route = f"--route={ROUTES / f'{name}.gpx'}"
    assert main(["check", str(tmp_path / "plan.json"), route]) == 0
    assert capsys.readouterr().out == "every hard rule holds\n"


def test_the_schema_notices_a_missing_key_and_a_wrong_kind(loop: Path) -> None:
    schema = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))
    plan = json.loads((loop / "plan.json").read_text(encoding="utf-8"))
    spoils: tuple[Callable[[dict[str, Any]], object], ...] = (
        lambda p: p.pop("totals"),
        lambda p: p["fuel_points"][0].pop("from"),
        lambda p: p["fuel_points"][0].update(action="swallow"),
        lambda p: p["stretches"][0].update(start_m="0"),
    )
    for spoil in spoils:
        spoilt = json.loads(json.dumps(plan))
        spoil(spoilt)
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(spoilt, schema)


def test_every_source_of_a_plan_stands_in_the_references(loop: Path) -> None:
    from tests.conftest import known_keys

    plan = json.loads((loop / "plan.json").read_text(encoding="utf-8"))
    assert plan["sources"]
    assert set(plan["sources"]) <= known_keys()


def test_the_same_ride_gives_the_same_bytes(loop: Path, tmp_path: Path) -> None:
    assert main([*demo_words("loop-120", tmp_path), "--quiet"]) == 0
    for name in OUTPUTS:
        assert (tmp_path / name).read_bytes() == (loop / name).read_bytes(), name


def test_a_table_is_shown_and_json_is_only_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(demo_words("rolling-60", tmp_path)) == 0
    shown = capsys.readouterr().out
    assert "why here" in shown
    assert "sticker.pdf" in shown
    assert "\x1b" not in shown  # no colour when piped
    assert main([*demo_words("rolling-60", tmp_path), "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan["format"] == "terrain-fuel plan"


def test_rides_are_ridden_and_shown(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*demo_words("rolling-60", tmp_path), "--rides=50", "--seed=3"]) == 0
    assert "of 50 rides under bad luck" in capsys.readouterr().out
    plan = json.loads((tmp_path / "plan.json").read_text(encoding="utf-8"))
    assert plan["bad_luck"]["rides"] == 50


def test_terrain_shows_stretches_and_draws_a_profile(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = tmp_path / "profile.svg"
    words = ["terrain", str(ROUTES / "loop-120.gpx"), f"--picture={picture}"]
    assert main(words) == 0
    shown = capsys.readouterr().out
    assert "climb" in shown
    assert "hands on the bars" in shown
    said = [line.split(": ", 1)[1] for line in shown.splitlines() if line.startswith("△")]
    assert not [one for one, other in pairwise(said) if one == other]  # the same twice stands in one line
    assert picture.read_text(encoding="utf-8").lstrip().startswith("<svg")


def test_sweat_says_the_rate_and_the_setting(capsys: pytest.CaptureFixture[str]) -> None:
    # By hand: 71.2 - 69.9 = 1.3 kg lost + 1.25 l drunk in 2.5 h is 1020 ml an hour.
    words = ["sweat", "--before-kg=71.2", "--after-kg=69.9", "--drunk-ml=1250", "--minutes=150"]
    assert main(words) == 0
    assert "sweat_rate_ml_per_h = 1020" in capsys.readouterr().out


def test_sweat_and_calibrate_speak_the_riders_language_and_units(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rider = tmp_path / "rider.toml"
    rider.write_text('[habits]\nlanguage = "de"\nunits = "miles"\n')
    words = ["sweat", "--before-kg=71.2", "--after-kg=69.9", "--drunk-ml=1250", "--minutes=150"]
    assert main([*words, f"--rider={rider}"]) == 0
    assert "der Verlust 1,8 % der Körpermasse" in capsys.readouterr().out
    assert main(["calibrate", "--km=90", "--hours=4", f"--rider={rider}"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("56 mi mit 3543 ft Anstieg in 4 h 00 min brauchen etwa")  # 90 km, 12 m a km


def test_calibrate_takes_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["calibrate", "--km=90", "--of=hills", "--hours=4"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("90 km")
    assert "ftp_w" not in shown
    assert main(["calibrate", "--km=90", "--of=hills", "--hours=4", "--ftp-w=210"]) == 0
    shown = capsys.readouterr().out
    assert "ftp_w = 210" in shown
    assert "effort_flat = 0.6" in shown


def test_calibrate_takes_a_recording_and_never_prints_an_ftp_that_is_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Best 20 min times 0.95 are 291 W on this ride; speed alone once made 386 W of it."""
    for with_power, expected in ((True, "ftp_w = 291"), (False, None)):
        path = tmp_path / "ride.gpx"
        path.write_text(recorded_gpx(with_power), encoding="utf-8")
        assert main(["calibrate", str(path)]) == 0
        lines = capsys.readouterr().out.splitlines()
        assert [line for line in lines if line.startswith("ftp_w")] == ([expected] if expected else [])
        assert any(line.startswith("effort_climb") for line in lines) == bool(expected)
        assert any(line.startswith("cda_m2 = 0.") for line in lines)


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["calibrate"], "either"),
        (["calibrate", "ride.gpx", "--km=90", "--hours=4"], "either"),
        (["calibrate", "--km=90"], "either"),
        (["calibrate", "--km=nan", "--hours=4"], "nan"),
        (["calibrate", "--km=120", "--of=flat", "--hours=3"], "--sheltered"),
        (["calibrate", "--km=90", "--hours=4", "--sheltered=2"], "0.95"),
        (["calibrate", "--km=90", "--hours=4", "--ftp-w=20"], "ftp_w is 20"),
        (["calibrate", "--km=90", "--hours=4", "--ftp-w=60"], "of an FTP of 60 W"),
        (["calibrate", str(ROUTES / "loop-120.gpx")], "no times"),
        (["sweat", "--before-kg=-1", "--after-kg=70", "--drunk-ml=0", "--minutes=60"], "-1"),
        (["check", "nowhere.json"], "nowhere.json"),
        (["why", "nowhere.json", "1"], "nowhere.json"),
    ],
)
def test_a_command_says_what_it_wants(
    words: list[str], part: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    said = capsys.readouterr().err
    assert part in said
    assert said.count("\n") == 1


def test_rehearse_says_a_line_for_each_product_of_the_race(capsys: pytest.CaptureFixture[str]) -> None:
    routes = [str(ROUTES / f"{name}.gpx") for name in ("rolling-60", "loop-120")]
    words = ["rehearse", *routes, f"--elevation={ROUTES / 'tiles'}", f"--race-day={ROUTES / 'race.toml'}"]
    assert main(words) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 3
    assert all(": " in line for line in lines)
    assert any("in the race" in line for line in lines)


def test_why_explains_what_has_a_label_and_refuses_one_that_is_not_there(
    loop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan_path = loop / "plan.json"
    points = json.loads(plan_path.read_text(encoding="utf-8"))["fuel_points"]
    eat = next(point for point in points if point["action"] == "eat")
    assert main(["why", str(plan_path.parent), "1"]) == 0  # the folder will do
    by_folder = capsys.readouterr().out
    assert main(["why", str(plan_path), "1"]) == 0
    shown = capsys.readouterr().out
    assert shown == by_folder
    assert eat["item"] in shown
    assert eat["reason"] in shown
    assert "more:" in shown  # what another choice would have cost
    assert main(["why", str(plan_path), "a"]) == 0
    shown = capsys.readouterr().out
    halts = [point for point in points if point["label"] == "A"]
    assert len(halts) == 2
    assert all(f"fill {point['from']} with {point['item']}" in shown for point in halts)
    sip = next(point for point in points if point["action"] == "sip")
    assert main(["why", str(plan_path), f"km{sip['distance_m'] / 1000:.1f}"]) == 0
    assert sip["reason"] in capsys.readouterr().out
    bites = sum(point["action"] == "eat" for point in points)
    for wrong in ("999", "ZZ", "km300", ""):
        assert main(["why", str(plan_path), wrong]) == 2
        assert f"a bite (1 to {bites}), a halt (A)" in capsys.readouterr().err


def test_why_refuses_a_plan_that_is_not_whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for points in ("", ', "fuel_points": 3', ', "fuel_points": [{"number": 1}]', ', "fuel_points": [1]'):
        path = tmp_path / "plan.json"
        path.write_text(f'{{"format": "terrain-fuel plan", "version": 1{points}}}')
        assert main(["why", str(path), "1"]) == 2
        said = capsys.readouterr().err
        assert "plan the ride again" in said
        assert said.count("\n") == 1


@pytest.mark.parametrize("figure", ["NaN", "-Infinity", "1e400", "9" * 400])
@pytest.mark.parametrize("command", ["compare", "why", "check"])
def test_a_plan_with_what_is_no_number_is_refused(
    loop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], command: str, figure: str
) -> None:
    """RFC 8259 has no NaN and no infinity; `compare` once broke off over either."""
    plan = json.loads((loop / "plan.json").read_text(encoding="utf-8"))
    plan["totals"]["fluid_ml"] = "here"
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan).replace('"here"', figure), encoding="utf-8")
    more = {"compare": [str(loop)], "why": ["1"], "check": []}[command]
    assert main([command, str(path), *more]) == 2
    said = capsys.readouterr().err
    assert "is no number that a plan can hold" in said
    assert (said.count("\n"), len(said) < 250) == (1, True)


@pytest.mark.parametrize(
    ("keys", "value"),
    [
        (("rider",), 1e30),
        (("rider", "habits"), 5),
        (("rider", "habits", "language"), []),
        (("totals", "fluid_ml"), {}),
        (("route",), "x"),
        (("violations",), [[]]),
    ],
)
def test_compare_refuses_what_the_plan_would_not_write(
    loop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], keys: tuple[str, ...], value: object
) -> None:
    plan = json.loads((loop / "plan.json").read_text(encoding="utf-8"))
    inner = plan
    for key in keys[:-1]:
        inner = inner[key]
    inner[keys[-1]] = value
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["compare", str(loop), str(path)]) == 2
    said = capsys.readouterr().err
    assert said.startswith("plan.json: ")
    assert said.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        ["plan"],
        ["plan", "x.gpx", "y.gpx"],
        ["ride"],
        ["plan", "x", "--out", "y", "--rides=-1"],
        ["team", "x.toml", "--workers=0"],
        ["event", "x.toml", "--workers=0"],
    ],
)
def test_wrong_words_end_with_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "--help" in said


def test_bad_input_is_one_message_and_changes_nothing(
    loop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "kept"
    shutil.copytree(loop, out)
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    bad_day = tmp_path / "day.toml"
    bad_day.write_text("[day]\ntemperature_c = 99\n")
    route = ROUTES / "rolling-60.gpx"
    for words, part in (
        (["plan", "nowhere.gpx", f"--out={out}"], "nowhere.gpx"),
        (["plan", str(route), f"--out={out}"], "elevation"),
        (["plan", str(route), f"--day={bad_day}", f"--out={out}"], "temperature_c"),
        (["plan", str(route), "--largest-mb=0", f"--out={out}"], "--largest-mb"),
    ):
        assert main(words) == 2
        said = capsys.readouterr()
        assert part in said.err
        assert said.err.count("\n") == 1
        assert said.out == ""
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


@pytest.mark.parametrize("more", [[], ["--sticker=20x20"], ["--sticker=none"]])
def test_nothing_is_made_for_bad_input(more: list[str], tmp_path: Path) -> None:
    out = tmp_path / "new"
    words = demo_words("rolling-60", out) if more else ["plan", "nowhere.gpx", f"--out={out}"]
    assert main([*words, *more]) == 2
    assert not out.exists()


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    a_file = tmp_path / "file"
    a_file.write_text("mine")
    assert main([*demo_words("rolling-60", a_file / "out"), "--quiet"]) == 2
    assert "cannot be written" in capsys.readouterr().err
    assert a_file.read_text() == "mine"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_folder_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tmp_path.chmod(0o500)
    assert main([*demo_words("rolling-60", tmp_path), "--quiet"]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_hostile_names_are_text_everywhere(tmp_path: Path) -> None:
    name = """'"`</script><b>&\u202e مرحبا 🚴"""
    route = gpxpy.parse((ROUTES / "rolling-60.gpx").read_text(encoding="utf-8"))
    route.tracks[0].name = name
    route.waypoints[0].name = name
    path = tmp_path / "hostile.gpx"
    path.write_text(route.to_xml(), encoding="utf-8")
    out = tmp_path / "out"
    assert main(["plan", str(path), f"--elevation={ROUTES / 'tiles'}", f"--out={out}", "--quiet"]) == 0
    page = (out / "map.html").read_text(encoding="utf-8")
    assert "</script><b>" not in page
    plain = """'"`</script><b>& مرحبا 🚴"""  # what turns the direction of reading is gone
    assert json.loads((out / "plan.json").read_text(encoding="utf-8"))["route"]["name"] == plain
    assert gpxpy.parse((out / "fuel-points.gpx").read_text(encoding="utf-8")).tracks[0].name == plain


def test_what_stands_between_colons_is_no_picture(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A path that was told otherwise could not be copied from the terminal."""
    folder = tmp_path / "a:fire:b"
    assert main(["init", str(folder)]) == 0
    told = "".join(capsys.readouterr().out.split("\n"))
    assert all(str(path) in told for path in folder.iterdir())
