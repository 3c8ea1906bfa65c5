"""Letters of many scripts in print: turned, joined, in their own faces, or in Latin letters."""

from dataclasses import replace
from pathlib import Path

import pytest

from terrain_fuel.outputs.printed.faces import TEXT
from terrain_fuel.outputs.printed.fonts import drawable, runs_of, sayable
from terrain_fuel.outputs.printed.paper import text_width
from terrain_fuel.outputs.printed.sayings import item_sayings
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Rider
from tests.outputs.printed import pages_of
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sheet_reading import written


def test_letters_no_face_can_show_are_written_in_latin_ones() -> None:
    assert drawable("tea\u200b \U0001f375 cake") == "tea cake"
    assert drawable("18 °C") == "18 °C"
    assert drawable("Cre\u0302pe\n\tà") == "Crêpe à"
    # Hangul as the Revised Romanization writes it, from memory; case apart
    assert drawable("서울").casefold() == "seoul"
    assert sayable("\U0001f375", "item 3") == "item 3"
    assert sayable("🍐 dried pear", "item 3") == "dried pear"
    pantry = Pantry((Item("dried pear"), Item("🍐 dried pear"), Item("\U0001f375"), Item("Ψωμί")))
    assert list(item_sayings(pantry, words_for(Rider())).values()) == [
        "dried pear",
        "dried pear 2",
        "item 3",
        "Ψωμί",
    ]


@pytest.mark.source("UAX9", "rule L2, example 1: 'car means CAR.' is shown as 'car means RAC.'")
def test_right_to_left_words_are_shown_as_in_the_standards_example() -> None:
    # capitals stand for right-to-left letters there: C, A, R as kaf, resh, bet
    shown = "".join(part for part, _ in runs_of("car means \u05db\u05e8\u05d1.", TEXT))
    assert shown == "car means \u05d1\u05e8\u05db."


def test_right_to_left_names_are_turned_and_joined() -> None:
    # kaf takes its initial form, ain its medial, kaf its final one: U+FEDB, U+FECC, U+FEDA
    cake = drawable("كعك")
    assert cake == "\ufedb\ufecc\ufeda"
    assert drawable(cake) == cake
    (run, face), *rest = runs_of(f"12 {cake} km", TEXT)
    shown = "".join(part for part, _ in ((run, face), *rest))
    assert shown == "12 \ufeda\ufecc\ufedb km"
    faces = {name for part, name in ((run, face), *rest) if any(letter >= "\ufe70" for letter in part)}
    assert faces == {"NotoSansArabic"}
    assert text_width(f"12 {cake} km", 10.0) > text_width("12  km", 10.0)


def test_hebrew_names_are_set_in_their_own_letters(tmp_path: Path) -> None:
    name = "פת לחם"
    path = written(replace(sample_plan(), name=name), tmp_path)
    read = [char for page in pages_of(path) for char in page.chars if "\u05d0" <= char["text"] <= "\u05ea"]
    assert {char["fontname"].rpartition("+")[2].partition("-")[0] for char in read} == {"Arimo"}
    # laid out from the right: as placed on the page from the left, the last letter comes first
    first_line = [char for char in read if abs(char["top"] - read[0]["top"]) < 1.0][:5]
    placed = sorted(first_line, key=lambda char: float(char["x0"]))
    assert "".join(char["text"] for char in placed) == "םחלתפ"
