"""Food of which nobody knows the sodium: it counts as none and is never told as none."""

import csv
import json
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.food_table import FOOD_TABLE
from terrain_fuel.outputs.languages import LANGUAGES
from tests.demo import ROUTES

PANTRY = """
[[item]]
name = "bread"
carbohydrate_g = 25.0
count = 8
portions = 2

[[item]]
name = "loaf"
carbohydrate_g = 25.0
sodium_mg = {sodium_mg}
count = 8
portions = 2

[[item]]
name = "water"
kind = "water"
"""


def planned(folder: Path, pantry: str) -> str:
    (folder / "pantry.toml").write_text(pantry, encoding="utf-8")
    options = [f"--pantry={folder / 'pantry.toml'}", f"--out={folder / 'out'}", "--also=csv"]
    route = [str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"]
    assert main(["plan", *route, *options]) == 0
    return str(folder / "out/plan.json")


def test_the_sum_is_told_as_the_least(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan = planned(tmp_path, PANTRY.format(sodium_mg=200))
    assert "; at least " in (said := " ".join(capsys.readouterr().out.split()))
    assert "mg sodium (not known of bread);" in said
    held = {item["name"]: item["sodium_mg"] for item in json.loads(Path(plan).read_bytes())["pantry"]["item"]}
    assert held == {"bread": None, "loaf": 200, "water": None}
    assert main(["check", plan, "--route", str(ROUTES / "rolling-60.gpx")]) == 0
    capsys.readouterr()
    assert main(["compare", plan, plan]) == 0
    assert "sodium: at least" in capsys.readouterr().out
    with (tmp_path / "out/rows.csv").open(encoding="utf-8-sig") as table:
        eaten = {row["item"]: row["sodium_mg"] for row in csv.DictReader(table) if row["item"]}
    assert (eaten["bread"], eaten["loaf"], eaten["water"]) == ("", "100", "0")


def test_where_nothing_is_known_no_sum_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """ "At least 0 mg" says nothing."""
    planned(tmp_path, PANTRY.replace("sodium_mg = {sodium_mg}\n", ""))
    said = " ".join(capsys.readouterr().out.split())
    assert "; sodium not known (of bread, loaf);" in said or "; sodium not known (of loaf, bread);" in said


def test_none_at_all_is_known(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever writes 0 knows it: nothing is told beside the sum."""
    plan = planned(tmp_path, PANTRY.replace("portions", "sodium_mg = 0\nportions", 1).format(sodium_mg=0))
    said = " ".join(capsys.readouterr().out.split())
    assert "; 0 mg sodium;" in said
    assert main(["compare", plan, plan]) == 0
    assert "at least" not in capsys.readouterr().out


def test_of_every_food_of_the_tables_that_is_weighed_it_is_known_or_said_not_to_be() -> None:
    assert {food.sodium_mg is None for food in FOOD_TABLE} == {True, False}
    assert not [food.name for food in FOOD_TABLE if food.sodium_mg == 0]


@pytest.mark.parametrize("code", list(LANGUAGES))
def test_areas_are_written_as_print_has_them(code: str) -> None:
    """It was "0.320 m2" in English, beside m² in German."""
    language = LANGUAGES[code]
    texts = {**language.sentences, **language.labels, **language.panels}
    assert [key for key, text in texts.items() if "m2" in text.replace("_m2", "")] == []
