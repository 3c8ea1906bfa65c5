"""The map by the doors a rider uses: what is planned, said, written and refused."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import gpxpy
import gpxpy.gpx
import numpy as np
import pypdf
import pytest
from PIL import Image

from terrain_fuel.cli.main import main
from terrain_fuel.errors import PlacesError
from terrain_fuel.inputs.places import with_places
from terrain_fuel.track import Track
from tests.made_maps import MadeMap

KM = 45
CREDIT = "© OpenStreetMap contributors"


def made_road() -> MadeMap:
    """Return a road of 45 km with a tap, shops that are open and shut, and a name that is markup."""
    world = MadeMap()
    world.road([(x, 0.0) for x in np.arange(0.0, KM * 1000.0 + 1.0, 500.0)])
    world.node((20_000.0, 120.0), amenity="drinking_water", name="<i>Alder</i> & tap")
    world.node((21_000.0, 5.0), shop="convenience", name="Shut shop", opening_hours="Mo-Fr 08:00-09:00")
    world.node((30_000.0, 5.0), amenity="cafe", name="Some cafe")
    world.node((12_000.0, 300.0), place="village", name="Nether <b>Sallow</b>")
    return world


def write_route(track: Track, path: Path) -> Path:
    """Write a track as GPX with a gentle profile."""
    gpx = gpxpy.gpx.GPX()
    gpx.tracks.append(gpxpy.gpx.GPXTrack("Made road"))
    points = [
        gpxpy.gpx.GPXTrackPoint(lat, lon, 200.0 + 20.0 * np.sin(at_m / 3000.0))
        for lat, lon, at_m in zip(track.lat_deg, track.lon_deg, track.distance_m, strict=True)
    ]
    gpx.tracks[0].segments.append(gpxpy.gpx.GPXTrackSegment(points))
    path.write_text(gpx.to_xml(), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a route, its map, and a day on which no small bottle lasts."""
    folder = tmp_path_factory.mktemp("mapped")
    world = made_road()
    write_route(world.track([(0.0, 0.0), (KM * 1000.0, 0.0)], 40.0), folder / "made.gpx")
    world.write(folder / "made.osm.pbf")
    (folder / "day.toml").write_text(
        '[day]\nstart = "2027-05-08 08:30"\ntemperature_c = 27\nmap_extract = "made.osm.pbf"\n',
        encoding="utf-8",
    )
    (folder / "pantry.toml").write_text(
        'extend = "item"\n[[container]]\nname = "bottle"\nkind = "bottle"\nholds_ml = 600\n'
        '[[container]]\nname = "pocket"\nkind = "pocket"\nholds_items = 12\n',
        encoding="utf-8",
    )
    return folder


@pytest.fixture(scope="module")
def planned(folder: Path) -> Path:
    """Return the outputs of a plan with the map that the day file names."""
    out = folder / "out"
    words = [f"--day={folder / 'day.toml'}", f"--pantry={folder / 'pantry.toml'}", f"--out={out}"]
    also = ["--also", "tcx", "csv", "ics", "fit", "strip-map", "--picture"]
    assert main(["plan", str(folder / "made.gpx"), *words, *also, "--quiet"]) in (0, 3)
    return out


@pytest.mark.slow
def test_the_plan_fills_at_the_mapped_tap_and_says_what_the_way_aside_costs(planned: Path) -> None:
    plan = json.loads((planned / "plan.json").read_text(encoding="utf-8"))
    halts = [point for point in plan["fuel_points"] if point["action"] == "refill"]
    at_tap = [point for point in halts if abs(point["distance_m"] - 20_000.0) < 60.0]
    assert at_tap
    # 120 m there and back at 15 km/h are 58 s
    assert "120 m off the road, 0 m up, 1 min there and back" in at_tap[0]["reason"]
    assert not [point for point in halts if abs(point["distance_m"] - 21_000.0) < 60.0]
    assert plan["map"]["places"][0]["name"] == "<i>Alder</i> & tap"
    (said,) = [each["sentence"] for each in plan["warnings"] if each["code"] == "from_the_map"]
    assert "data of 2027-03-01" in said
    assert "of 3 places with water or food are used" in said
    assert "Maps are wrong at times" in said
    assert {"OSM", "ODbL"} <= set(plan["sources"])


@pytest.mark.slow
def test_the_independent_checker_knows_the_mapped_places(
    planned: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = json.loads((planned / "plan.json").read_text(encoding="utf-8"))
    main(["check", str(planned / "plan.json"), f"--route={planned.parent / 'made.gpx'}"])
    assert "anything to fill from" not in capsys.readouterr().out
    plan["map"]["places"] = []
    other = planned.parent / "other.json"
    other.write_text(json.dumps(plan), encoding="utf-8")
    main(["check", str(other), f"--route={planned.parent / 'made.gpx'}"])
    assert "anything to fill from" in capsys.readouterr().out


@pytest.mark.slow
@pytest.mark.source("ODbL", "section 4.3")
def test_every_output_says_whose_data_it_holds(planned: Path) -> None:
    for name in ("plan.json", "map.html", "plan.geojson", "course.tcx", "rows.csv"):
        assert CREDIT in (planned / name).read_text(encoding="utf-8"), name
    assert "OpenStreetMap" in (planned / "ride.ics").read_text(encoding="utf-8").replace("\r\n ", "")
    assert CREDIT.encode() in (planned / "course.fit").read_bytes()
    assert '<copyright author="OpenStreetMap contributors">' in (planned / "fuel-points.gpx").read_text(
        "utf-8"
    )
    for name in ("sticker.pdf", "sheet.pdf", "strip-map.pdf"):
        for page in pypdf.PdfReader(planned / name).pages:
            assert CREDIT in page.extract_text(), name
    with Image.open(planned / "phone-1.png") as picture:
        foot = picture.crop((540, 2240, 1060, 2300))
        assert foot.getextrema()[0] < 128  # type: ignore[operator]


@pytest.mark.slow
def test_names_that_are_markup_are_text(planned: Path) -> None:
    page = (planned / "map.html").read_text(encoding="utf-8")
    assert "<i>Alder" not in page
    assert "Sallow</b>" not in page
    for name in ("fuel-points.gpx", "course.tcx"):
        assert "<i>" not in (planned / name).read_text(encoding="utf-8")
    assert "Nether <b>Sallow</b>" in (planned / "rows.csv").read_text(encoding="utf-8-sig")


@pytest.mark.slow
def test_the_riders_own_entry_speaks_for_the_mapped_ones_near_it(folder: Path, tmp_path: Path) -> None:
    day = tmp_path / "day.toml"
    own = '\n[[feed]]\nat_km = 20.2\nname = "Own tap"\n'
    day.write_text((folder / "day.toml").read_text(encoding="utf-8") + own, encoding="utf-8")
    (tmp_path / "made.osm.pbf").write_bytes((folder / "made.osm.pbf").read_bytes())
    words = [f"--day={day}", f"--pantry={folder / 'pantry.toml'}", f"--out={tmp_path / 'out'}", "--quiet"]
    assert main(["plan", str(folder / "made.gpx"), *words]) in (0, 3)
    plan = json.loads((tmp_path / "out" / "plan.json").read_text(encoding="utf-8"))
    assert "Own tap" in json.dumps(plan["fuel_points"])
    assert "Alder" not in json.dumps(plan["fuel_points"])


def test_terrain_shows_what_the_map_says(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["terrain", str(folder / "made.gpx"), f"--places={folder / 'made.osm.pbf'}"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "From the map made.osm.pbf, data of 2027-03-01" in said
    assert CREDIT in said


BROKEN: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "empty": (lambda data: b"", "is damaged"),
    "cut off": (lambda data: data[: len(data) * 2 // 3], "is damaged"),
    "other": (lambda data: b"<osm></osm>" * 40, "is damaged"),
    "flipped": (
        lambda data: bytes(byte ^ 0x55 if 200 < i < 900 else byte for i, byte in enumerate(data)),
        "damaged",
    ),
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_extract_is_one_message_and_nothing_is_written(
    kind: str, folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    spoil, said = BROKEN[kind]
    (tmp_path / "bad.osm.pbf").write_bytes(spoil((folder / "made.osm.pbf").read_bytes()))
    refused([f"--places={tmp_path / 'bad.osm.pbf'}"], said, folder, tmp_path, capsys)


def refused(
    words: list[str], said: str, folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", str(folder / "made.gpx"), *words, f"--out={tmp_path / 'out'}"]) == 2
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1
    assert "Traceback" not in told
    assert not (tmp_path / "out").exists()


def test_an_extract_that_is_not_there_or_elsewhere_is_refused(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    refused([f"--places={tmp_path / 'none.osm.pbf'}"], "there is no such file", folder, tmp_path, capsys)
    refused([f"--places={tmp_path}"], "is a folder, not a file", folder, tmp_path, capsys)
    away = MadeMap(10.0, 10.0)
    away.road([(0.0, 0.0), (1000.0, 0.0)])
    path = away.write(tmp_path / "away.osm.pbf")
    refused([f"--places={path}"], "another region", folder, tmp_path, capsys)


def test_without_the_extra_one_line_says_what_to_install(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("terrain_fuel.inputs.places.extract.find_spec", lambda name: None)
    with pytest.raises(PlacesError, match=r'pip install "terrain-fuel\[places\]"'):
        with_places(made_road().track([(0.0, 0.0), (900.0, 0.0)]), folder / "made.osm.pbf")


def test_commands_without_a_map_load_nothing_of_it(folder: Path) -> None:
    code = (
        "import sys; from terrain_fuel.cli.main import main;"
        f"main(['terrain', {str(folder / 'made.gpx')!r}]);"
        "print([name for name in sys.modules if name.startswith(('osmium', 'opening_hours',"
        " 'terrain_fuel.inputs.places'))])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "[]"


def test_whatever_is_damaged_in_an_extract_is_one_message_or_a_result(tmp_path: Path) -> None:
    rng = np.random.default_rng(7)
    world = made_road()
    for x in range(20):
        world.area([(world.outline((1000.0 * x, 60.0), 20.0), "outer")], shop="bakery")
    whole = np.frombuffer(world.write(tmp_path / "whole.osm.pbf").read_bytes(), dtype=np.uint8)
    track = made_road().track([(0.0, 0.0), (KM * 1000.0, 0.0)], 200.0)
    path, said = tmp_path / "damaged.osm.pbf", list[str]()
    for _ in range(60):
        data = whole.copy()
        data[rng.integers(0, data.size, int(rng.integers(1, 9)))] = rng.integers(0, 256)
        kept = int(rng.integers(1, data.size + 1)) if rng.random() < 0.3 else data.size
        path.write_bytes(data[:kept].tobytes())
        said.append(refusal(track, path))
    refused_ = [each for each in said if each]
    assert 20 < len(refused_) <= 60
    assert not [each for each in refused_ if "\n" in each]


def refusal(track: Track, path: Path) -> str:
    """Return why an extract is refused, "" if it is not."""
    try:
        with_places(track, path)
    except PlacesError as fault:
        return str(fault)
    return ""
