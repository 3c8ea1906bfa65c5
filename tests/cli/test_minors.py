"""A rider under 18 by the command: words for a parent or coach in every place, children refused."""

import json
from pathlib import Path

import pdfplumber
import pytest

from terrain_fuel.cli.main import main
from tests.demo import ROUTES

ROAD = [str(ROUTES / "rolling-60.gpx"), f"--elevation={ROUTES / 'tiles'}"]
WORDS = {
    "en": ("For a parent or coach: under 18", "takes 45 g of carbohydrate an hour at most, no caffeine,"),
    "de": (
        "Für Eltern oder Trainer: unter 18 nimmt",
        "dieser Plan höchstens 45 g Kohlenhydrate in der Stunde",
    ),
}
"""Begin and middle, as beside them on paper stands another column."""


def planned(folder: Path, age_y: float, mass_kg: float, language: str = "en") -> int:
    """Return the exit code of a plan for a rider of that age and mass, written to ``ride``."""
    rider = folder / "rider.toml"
    body = f"[rider]\nage_y = {age_y}\nbody_mass_kg = {mass_kg}\nftp_w = 160\n"
    rider.write_text(f'{body}[habits]\nlanguage = "{language}"\n', encoding="utf-8")
    return main(["plan", *ROAD, f"--rider={rider}", f"--out={folder / 'ride'}"])


def told(folder: Path, shown: str) -> list[str]:
    """Return all that is read of a plan, the screen first, each text on one line."""
    with pdfplumber.open(folder / "sheet.pdf") as pdf:
        sheet = " ".join(page.extract_text() or "" for page in pdf.pages)
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    warnings = " ".join(warning["sentence"] for warning in plan["warnings"])
    page = (folder / "map.html").read_text(encoding="utf-8")
    return [" ".join(text.split()) for text in (shown, sheet, warnings, page)]


@pytest.mark.parametrize("language", WORDS)
def test_words_for_a_parent_or_coach_stand_wherever_a_plan_is_read(
    language: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert planned(tmp_path, 15, 45, language) in (0, 3)
    for text in told(tmp_path / "ride", capsys.readouterr().out):
        assert all(words in text for words in WORDS[language])


def test_a_grown_rider_is_told_nothing_of_the_kind(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert planned(tmp_path, 18, 45) in (0, 3)
    for text in told(tmp_path / "ride", capsys.readouterr().out):
        assert WORDS["en"][0] not in text


@pytest.mark.parametrize(
    ("age_y", "mass_kg", "said"),
    [
        (11.9, 45, "age_y is 11.9; allowed is 12 years and more"),
        (12, 29.9, "body_mass_kg is 29.9; allowed is 30 kg"),
    ],
)
def test_children_are_refused_with_the_reason(
    age_y: float, mass_kg: float, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert planned(tmp_path, age_y, mass_kg) == 2
    message = capsys.readouterr().err
    assert said in message
    assert "what is known of eating, drinking and heat on long rides comes from adults" in message
    assert not (tmp_path / "ride").exists()


def test_the_youngest_and_lightest_that_are_not_refused(tmp_path: Path) -> None:
    assert planned(tmp_path, 12, 30) in (0, 3)


def test_no_hour_brings_a_heavy_youth_more_than_sixty_grams(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert planned(tmp_path, 16, 90) in (0, 3)
    assert "takes 60 g of carbohydrate an hour at most" in " ".join(capsys.readouterr().out.split())


def test_a_gut_under_18_is_not_trained_to_more_than_90(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rider = tmp_path / "rider.toml"
    rider.write_text("[rider]\nage_y = 16\nlimit_above_90 = true\n", encoding="utf-8")
    assert main(["plan", *ROAD, f"--rider={rider}", f"--out={tmp_path / 'ride'}"]) == 2
    assert "under 18 the gut is not trained to more than 90 g/h" in capsys.readouterr().err
    assert not (tmp_path / "ride").exists()
