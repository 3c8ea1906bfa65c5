"""Edits of settings files: what a row of them writes does not hang on what was read anew between."""

import contextlib
import random
from pathlib import Path

import pytest

from terrain_fuel.errors import SettingsError
from terrain_fuel.rides import edits
from terrain_fuel.rides.edits import AddEntry, Edit, RemoveEntry, SetValue, apply_edits
from terrain_fuel.rides.starting import settings_text
from tests.demo import ROUTES

FILES = ("rider", "pantry", "day", "pins")
PINS = "# mine\n\n[[no_food]]  # the pass\nfrom_km = 3 # about\nto_km = 5\n"
STEPS = 25


def written(by_hand: bool) -> dict[str, str | None]:
    """Return settings files as the project writes them, or as somebody wrote them by hand."""
    if not by_hand:
        return {name: settings_text(name) for name in FILES}
    texts = {name: (ROUTES / f"{name}.toml").read_text(encoding="utf-8") for name in FILES[:3]}
    return {**texts, "pins": PINS}


def drawn(draw: random.Random) -> Edit:
    """Return an edit: three of five turn a knob."""
    kind = draw.randrange(10)
    if kind < 4:
        key = draw.choice(["count", "carbohydrate_g", "carried_in"])
        return SetValue(
            "pantry", "item", key, draw.choice([0, 3, 7.5, "left pocket", None]), draw.randrange(6)
        )
    if kind < 6:
        table = draw.choice(["rider", "bike", "habits"])
        return SetValue("rider", table, draw.choice(["ftp_w", "lights"]), draw.choice([1, 2.5, True, None]))
    if kind == 6:
        return AddEntry("pins", "no_food", {"from_km": draw.randrange(40), "to_km": 50})
    if kind == 7:
        return RemoveEntry("pins", "no_food", 0)
    if kind == 8:
        name = f"food {draw.randrange(999)}"
        return AddEntry("pantry", "item", {"name": name, "kind": "solid", "count": 2})
    return RemoveEntry("pantry", "item", draw.randrange(8))


def row_of_edits(seed: int, anew: bool) -> list[dict[str, str | None]]:
    """Return the texts after each edit of a row; ``anew`` reads every file again for every edit."""
    draw, texts, found = random.Random(seed), written(seed % 2 == 1), []
    edits._STANDING.clear()
    for _ in range(STEPS):
        if anew:
            edits._STANDING.clear()
        with contextlib.suppress(SettingsError):
            texts = {**texts, **apply_edits(texts, [drawn(draw)])[0]}
        found.append(texts)
    return found


@pytest.mark.parametrize("seed", range(6))
def test_a_document_that_was_just_written_is_what_its_text_says(seed: int) -> None:
    assert row_of_edits(seed, anew=False) == row_of_edits(seed, anew=True)


def test_what_a_text_editor_wrote_meanwhile_is_what_is_changed(tmp_path: Path) -> None:
    texts = written(by_hand=True)
    first, _ = apply_edits(texts, [SetValue("rider", "rider", "ftp_w", 240)])
    edited = f"# by hand\n{first['rider']}"
    second, said = apply_edits({**texts, "rider": edited}, [SetValue("rider", "rider", "ftp_w", 250)])
    assert second["rider"] == edited.replace("ftp_w = 240", "ftp_w = 250")
    assert said == "ftp_w 240 → 250"
