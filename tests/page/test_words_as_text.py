"""What we say ourselves is text on every page: no word of a catalogue is ever read as markup."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.map.page_parts import fill_template
from terrain_fuel.outputs.team.page import write_team_page
from terrain_fuel.outputs.team.shape import ShownSheet
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.page.first_page import first_page
from terrain_fuel.page.table import Starting, Table
from terrain_fuel.rider import Rider

MARKUP, AS_TEXT = "<img src=x onerror=alert(1)>\"'&", "&lt;img src=x onerror=alert(1)&gt;&#34;&#39;&amp;"


def on_the_first_page(words: Words, folder: Path) -> str:
    return first_page(Table(folder / "rides", Starting(), folder / "log"), "")


def on_a_ride(words: Words, folder: Path) -> str:
    return fill_template("rooms.html.j2", words)


def after_the_ride(words: Words, folder: Path) -> str:
    write_team_page((ShownSheet("Shopping", "", (), ()),), "Team", words, folder / "team.html", ())
    return (folder / "team.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("page", [on_the_first_page, on_a_ride, after_the_ride])
def test_a_word_with_markup_in_it_is_shown_as_it_is(
    page: Callable[[Words, Path], str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    english = LANGUAGES["en"]
    odd = replace(english, labels={key: MARKUP + text for key, text in english.labels.items()})
    monkeypatch.setitem(LANGUAGES, "en", odd)
    shown = page(replace(words_for(Rider()), language=odd), tmp_path)
    assert MARKUP not in shown
    assert "<img" not in shown
    assert AS_TEXT in shown
