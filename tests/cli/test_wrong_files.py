"""A file given where another one belongs: what it is, what was wanted and what to do, in one line."""

import io
import json
import sqlite3
import zipfile
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.printed.sticker import write_sticker
from tests.demo import ROUTES
from tests.inputs.made_files import Point, northward
from tests.inputs.made_formats import FORMATS, fit_bytes
from tests.outputs.demo_plans import demo_plan

HILL: list[Point] = [(lat, lon, 100.5 + i) for i, (lat, lon, _) in enumerate(northward(40))]
ROAD = str(ROUTES / "loop-120.gpx")
DOCS = ROUTES.parent / "docs" / "pictures"


def archive() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as file:
        file.writestr("xl/workbook.xml", "<workbook/>")
    return held.getvalue()


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """Return a file of each kind, by what it should be called."""
    folder = tmp_path_factory.mktemp("kinds")
    plan = demo_plan("loop-120")
    write_sticker(plan, folder / "sticker.pdf")
    with closing(sqlite3.connect(folder / "other.sqlite")) as database:
        database.execute("CREATE TABLE rides (day TEXT)")
    contents: dict[str, tuple[str, bytes]] = {
        "a route (GPX)": ("hill.gpx", FORMATS["gpx"](HILL, "Hill")),
        "a route or a recording (TCX)": ("hill.tcx", FORMATS["tcx"](HILL, "Hill")),
        "a route (KML)": ("hill.kml", FORMATS["kml"](HILL, "Hill")),
        "a route (GeoJSON)": ("hill.geojson", FORMATS["geojson"](HILL, "Hill")),
        "a FIT file": ("hill.fit", fit_bytes(HILL, "Hill")),
        "a plan (plan.json)": ("plan.json", json.dumps(plan_to_dict(plan)).encode()),
        "a settings file (TOML)": ("pantry.toml", (ROUTES / "pantry.toml").read_bytes()),
        "a picture (PNG)": ("map.png", next(DOCS.glob("*.png")).read_bytes()),
        "a picture (JPEG)": ("photo.jpg", bytes.fromhex("ffd8ffe000104a46494600") + bytes(range(256))),
        "a picture (SVG)": ("hill.svg", b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"/>'),
        "a web page (HTML)": ("page.html", b"<!DOCTYPE html>\n<html><head><title>Hill</title></head></html>"),
        "an archive or an office document (zip)": ("sheet.xlsx", archive()),
        "a calendar": ("ride.ics", b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nEND:VCALENDAR\r\n"),
        "an extract of the map (.osm.pbf)": (
            "places.osm.pbf",
            (ROUTES / "places.osm.pbf").read_bytes(),
        ),
    }
    found = {"a PDF": folder / "sticker.pdf", "a database (SQLite)": folder / "other.sqlite"}
    for called, (name, data) in contents.items():
        found[called] = folder / name
        found[called].write_bytes(data)
    return found


ROUTE_KINDS = (
    "a route (GPX)", "a route or a recording (TCX)", "a route (KML)", "a route (GeoJSON)", "a FIT file",
)  # fmt: skip
UNPACKED = ("an archive or an office document (zip)",)
"""Is looked into for a route: that it holds none is said."""

COMMANDS: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "check": ("check X", ", not a plan; ", ("a plan (plan.json)",)),
    "why": ("why X 1", ", not a plan; ", ("a plan (plan.json)",)),
    "compare": ("compare X X", ", not a plan; ", ("a plan (plan.json)",)),
    "check, route": ("check PLAN --route X", "; the checker reads GPX alone", ("a route (GPX)",)),
    "plan": ("plan X --out OUT", ", not a route; ", (*ROUTE_KINDS, *UNPACKED, "a picture (SVG)")),
    "terrain": ("terrain X", ", not a route; ", (*ROUTE_KINDS, *UNPACKED, "a picture (SVG)")),
    "rider": (f"plan {ROAD} --rider X --out OUT", ", not settings; ", ("a settings file (TOML)",)),
    "pins": (f"plan {ROAD} --pins X --out OUT", ", not settings; ", ("a settings file (TOML)",)),
    "team": ("team X --out OUT", ", not settings; ", ("a settings file (TOML)",)),
    "event": ("event X --out OUT", ", not settings; ", ("a settings file (TOML)",)),
    "review": (
        "review X --out OUT --no-log",
        ", not a recording; ",
        (*ROUTE_KINDS, *UNPACKED, "a picture (SVG)"),
    ),
    "log": ("log --log X", ", not a log of rides; ", ("a database (SQLite)",)),
    "places": (
        f"plan {ROAD} --places X --out OUT",
        ", not an extract of the map; ",
        ("an extract of the map (.osm.pbf)",),
    ),
}
"""What is called, what is said, and kinds of which something else is said or that are taken."""


@pytest.mark.parametrize("name", COMMANDS)
def test_a_wrong_file_is_called_what_it_is(
    name: str, files: Mapping[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    line, said, others = COMMANDS[name]
    for called, path in files.items():
        if called in others:
            continue
        held = path.read_bytes()
        places = {"X": str(path), "OUT": str(tmp_path / "out"), "PLAN": str(files["a plan (plan.json)"])}
        assert main([places.get(word, word) for word in line.split()]) == 2, called
        shown = capsys.readouterr()
        assert shown.err.count("\n") == 1
        assert f"{path.name}: is {called}{said}" in shown.err
        assert path.read_bytes() == held
        assert not (tmp_path / "out").exists()


def test_a_route_given_for_a_plan_is_to_be_planned(
    files: Mapping[str, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(files["a route (GPX)"])]) == 2
    assert capsys.readouterr().err == (
        "hill.gpx: is a route (GPX), not a plan; plan it with `terrain-fuel plan`, and name the plan.json"
        " that this writes\n"
    )


def test_a_plan_given_for_a_route_names_what_was_wanted(
    files: Mapping[str, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["terrain", str(files["a plan (plan.json)"])]) == 2
    assert "name the route that it was made for" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (f"plan {ROAD} --elevation FILE", "is a file, not a folder; it must hold tiles such as N46E009.hgt"),
        (f"plan {ROAD} --places FOLDER", "is a folder, not a file; name an extract of the map"),
        ("init FILE", "cannot be made (it is a file); choose another"),
    ],
)
def test_a_file_is_no_folder_and_a_folder_no_file(
    line: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_bytes(b"of mine")
    places = {"FILE": str(tmp_path / "file"), "FOLDER": str(tmp_path)}
    heights = ["--heights=tiles"] * ("--elevation" in line)
    assert main([*(places.get(word, word) for word in line.split()), *heights]) == 2
    assert said in capsys.readouterr().err
    assert (tmp_path / "file").read_bytes() == b"of mine"


@pytest.mark.parametrize("line", [f"terrain {ROAD} --picture X", "log --log LOG --season X"])
def test_a_picture_or_a_page_is_written_over_no_route(
    line: str, files: Mapping[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    route = files["a route (GPX)"]
    held = route.read_bytes()
    places = {"X": str(route), "LOG": str(tmp_path / "rides.sqlite")}
    assert main([places.get(word, word) for word in line.split()]) == 2
    assert "hill.gpx: does not end in ." in capsys.readouterr().err
    assert route.read_bytes() == held


def test_files_that_no_plan_wrote_stay_until_told_otherwise(
    files: Mapping[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder of the rider's own that happens to hold a sheet.pdf and a route called as ours is."""
    route, mine = tmp_path / "fuel-points.gpx", tmp_path / "sheet.pdf"
    route.write_bytes(files["a route (GPX)"].read_bytes())
    mine.write_bytes(b"%PDF of mine")
    words = ["plan", str(route), "--out", str(tmp_path), "--quiet"]
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert main(words) == 2
    assert (
        "holds sheet.pdf, fuel-points.gpx and no plan.json, so no plan wrote that" in capsys.readouterr().err
    )
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert main([*words, "--replace"]) == 0
    assert mine.read_bytes() != b"%PDF of mine"
    assert main([*words[:2], "--out", str(tmp_path), "--quiet"]) == 0  # its own are written anew unasked


@pytest.mark.parametrize("name", ["gpx", "tcx", "kml"])
def test_a_height_with_a_decimal_comma_is_told(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = FORMATS[name](HILL, "Hill").decode()
    assert "110.5" in made
    (tmp_path / f"hill.{name}").write_text(made.replace("110.5", "110,5"), encoding="utf-8")
    assert main(["terrain", str(tmp_path / f"hill.{name}")]) == 2
    said = capsys.readouterr().err
    if name == "kml":
        assert "has 4 numbers; allowed are longitude, latitude and height, with decimal points" in said
        assert ",110,5" in said
    else:
        assert "point 11 has height '110,5'" in said
        assert "numbers of a route file have a decimal point (110.5): export the route again" in said


@pytest.mark.parametrize("place", ["point", "waypoint"])
def test_a_place_with_a_decimal_comma_is_told(
    place: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = FORMATS["gpx"](HILL, "Hill").decode()
    given = f'lat="{HILL[0][0]}"' if place == "point" else 'lat="45.002"'
    assert made.count(given) >= 1
    (tmp_path / "hill.gpx").write_text(made.replace(given, given.replace(".", ","), 1), encoding="utf-8")
    assert main(["terrain", str(tmp_path / "hill.gpx")]) == 2
    said = capsys.readouterr().err
    assert f"{place} " in said
    assert "numbers of a route file have a decimal point (45." in said


def test_more_numbers_than_a_place_has_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """7,5 and 45,1 and 100,5 are six numbers; four are a place, its height and a measure."""
    for parts, code in (([7, 5, 45, 1, 100, 5], 2), ([7.5, 45.1, 100.5, 3.0], 0)):
        line = [[lon, lat, height] for lat, lon, height in HILL] + [parts]
        road = {"type": "LineString", "coordinates": line if code else line[1:-1]}
        (tmp_path / "hill.geojson").write_text(json.dumps(road), encoding="utf-8")
        assert main(["terrain", str(tmp_path / "hill.geojson")]) == code
    assert (
        "has 6 numbers, which are at most longitude, latitude, height and a measure"
        in capsys.readouterr().err
    )
