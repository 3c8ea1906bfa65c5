"""Whose ride it is stands at the head of everything written, read back from the files themselves."""

import json
from pathlib import Path

import pytest
from lxml import etree
from pypdf import PdfReader

from terrain_fuel.cli.main import main
from tests.inputs.made_files import northward, track_text, write_text


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("named")
    road = [(lat, lon, 100.0) for lat, lon, _ in northward(60)]
    route = write_text(folder, track_text(road, "Sunday"), "sunday.gpx")
    (folder / "rider.toml").write_text('[rider]\nname = "Ilka \\u001b[31mBrandvold"\n', encoding="utf-8")
    words = ["plan", str(route), "--rider", str(folder / "rider.toml"), "--out", str(folder / "out")]
    assert main([*words, "--also", "tcx", "ics", "--quiet"]) == 0
    return folder / "out"


@pytest.mark.parametrize("name", ["sticker.pdf", "sheet.pdf"])
def test_every_sheet_says_whose_it_is(written: Path, name: str) -> None:
    pages = PdfReader(written / name)
    assert pages.metadata is not None
    assert "Ilka Brandvold · Sunday" in str(pages.metadata.title)
    sheets = [page.extract_text() for page in pages.pages]
    assert all("Ilka Brandvold · Sunday" in text for text in sheets)


def test_files_for_programs_say_whose_they_are(written: Path) -> None:
    def first(path: str, name: str) -> str:
        found = etree.parse(written / path).getroot().iter(f"{{*}}{name}")
        return str(next(found).text)

    assert first("fuel-points.gpx", "name") == "Ilka Brandvold · Sunday"
    assert first("course.tcx", "Name") == "Ilka B Sunday"
    assert "SUMMARY:Ilka Brandvold · Sunday" in (written / "ride.ics").read_text(encoding="utf-8")
    plan = json.loads((written / "plan.json").read_text(encoding="utf-8"))
    assert (plan["rider"]["rider"]["name"], plan["route"]["name"]) == ("Ilka Brandvold", "Sunday")
    road = json.loads((written / "plan.geojson").read_text(encoding="utf-8"))["features"]
    assert {each["properties"].get("name") for each in road} >= {"Ilka Brandvold · Sunday"}
    page = (written / "map.html").read_text(encoding="utf-8")
    assert page.count("Ilka Brandvold · Sunday") >= 2


def test_a_ride_without_a_name_is_called_by_its_route_alone(tmp_path: Path) -> None:
    road = [(lat, lon, 100.0) for lat, lon, _ in northward(60)]
    route = write_text(tmp_path, track_text(road, "Sunday"), "sunday.gpx")
    assert main(["plan", str(route), "--out", str(tmp_path / "out"), "--quiet"]) == 0
    assert "<name>Sunday</name>" in (tmp_path / "out" / "fuel-points.gpx").read_text(encoding="utf-8")
