"""A day not to ride: exit 3, and every output says so before anything else."""

import json
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from lxml import etree

from terrain_fuel.checker import check_plan
from terrain_fuel.cli.main import main
from tests.demo import ROUTES

STORM = '[day]\nstart = "2027-05-08T08:30:00+02:00"\nwind_m_s = 8\ngusts_m_s = 25\n'


def pages(path: Path) -> list[str]:
    """Return the text of every page, its lines joined."""
    with pdfplumber.open(path) as pdf:
        return [" ".join((page.extract_text() or "").split()) for page in pdf.pages]


@pytest.mark.parametrize(
    ("language", "said"), [("en", "do not ride: gusts of 90 km/h"), ("de", "nicht fahren: Böen von 90 km/h")]
)
def test_every_output_says_it_first(
    language: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    day, rider, out = tmp_path / "day.toml", tmp_path / "rider.toml", tmp_path / "ride"
    day.write_text(STORM, encoding="utf-8")
    rider.write_text(f'[habits]\nlanguage = "{language}"\n', encoding="utf-8")
    words = ["plan", str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"]
    assert main([*words, f"--day={day}", f"--rider={rider}", f"--out={out}"]) == 3

    first, _, rest = said.partition(":")
    assert capsys.readouterr().out.startswith(f"{first.upper()}:{rest}")
    plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
    assert list(plan)[2] == "violations"
    assert plan["violations"][0]["rule"] == 8
    assert plan["violations"][0]["sentence"].startswith(said)
    assert [fault.declared for fault in check_plan(plan) if fault.rule == 8] == [True]
    road = json.loads((out / "plan.geojson").read_text(encoding="utf-8"))
    assert list(road)[1] == "do_not_ride"
    assert road["do_not_ride"][0].startswith(said)
    described = etree.parse(out / "fuel-points.gpx").find(".//{*}metadata/{*}desc")
    assert described is not None
    assert str(described.text).startswith(said)
    assert f'"broken":"{said}' in (out / "map.html").read_text(encoding="utf-8")
    assert all(said in page for page in pages(out / "sheet.pdf"))
    assert all(first.upper() in page for page in pages(out / "sticker.pdf"))
    with pdfplumber.open(out / "sheet.pdf") as sheet, pdfplumber.open(out / "sticker.pdf") as sticker:
        for page in sheet.pages:
            check_it_stands_out(page, first)
        check_it_stands_out(sticker.pages[0], first.upper())


def check_it_stands_out(page: Any, words: str) -> None:
    """Why not to ride is bold and as large as what is read first (the sides say it in a frame of its own)."""
    letters = sorted(page.chars, key=lambda char: (round(char["top"]), char["x0"]))
    start = "".join(char["text"] for char in letters).replace("\u00a0", " ").index(words)
    said = letters[start : start + len(words)]
    assert {char["size"] >= 11.0 - 0.01 for char in said} == {True}
    assert all(char["fontname"].endswith("Strong") for char in said)
