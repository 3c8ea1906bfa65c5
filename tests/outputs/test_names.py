"""Short names: recognisable, unlike each other, never too wide."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from terrain_fuel.outputs.names import fit_text, short_names

NAMES = (
    "soft roll with jam", "oat bar", "salted rice square", "salted rice squirrel", "Crêpe fourrée à l’œuf",
    "Ψωμί με μέλι", "Пряник с мёдом", "plain gel", "caffeine gel",
)  # fmt: skip


def test_a_name_that_fits_stays_as_it_is() -> None:
    assert short_names(NAMES, 40) == {name: name for name in NAMES}


def test_little_words_go_before_letters_of_others() -> None:
    assert short_names(["Crêpe fourrée à l’œuf"], 19) == {"Crêpe fourrée à l’œuf": "Crêpe fourrée l’œuf"}


def test_words_are_cut_after_a_consonant_the_later_of_two_long_ones_first() -> None:
    # "salted" and "square" both have six letters: the later one is cut, after its last consonant but one
    assert fit_text("salted rice square", 17) == "salted rice squ."
    assert fit_text("Пряник с мёдом", 11) == "Прян. мёдом"


@pytest.mark.parametrize("limit", [4, 7, 9, 12, 16])
def test_names_that_differ_late_stay_apart(limit: int) -> None:
    alike = ["strawberry jam sandwich", "strawberry jam sandcake", "strawberry jam sand", *NAMES]
    shorts = short_names(alike, limit)
    assert list(shorts) == alike
    assert len({short.casefold() for short in shorts.values()}) == len(alike)
    assert all(len(short) <= limit for short in shorts.values())


def test_each_name_may_have_a_limit_of_its_own() -> None:
    shorts = short_names(["oat bar", "plain gel"], {"oat bar": 5, "plain gel": 9})
    assert shorts == {"oat bar": "oat", "plain gel": "plain gel"}


def test_widths_are_measured_not_counted() -> None:
    def wide(text: str) -> float:
        return sum(3.0 if letter == "m" else 1.0 for letter in text)

    assert wide(fit_text("mmmm roll", 8.0, wide)) <= 8.0
    assert fit_text("iiii roll", 9.0, wide) == "iiii roll"


@settings(deadline=None, derandomize=True, max_examples=150)
@given(
    st.lists(st.text(st.characters(codec="utf-8"), min_size=1, max_size=30), min_size=1, max_size=12),
    st.integers(3, 20),
)
def test_any_names_come_out_unique_narrow_and_the_same_again(names: list[str], limit: int) -> None:
    names = [name for name in names if name.strip() and unicodedata.normalize("NFC", name) == name]
    shorts = short_names(names, limit)
    assert len({short.casefold() for short in shorts.values()}) == len(set(names))
    assert all(len(short) <= limit for short in shorts.values())
    assert shorts == short_names(names, limit)
