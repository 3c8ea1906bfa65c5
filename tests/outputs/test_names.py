"""Short names: recognisable, unlike each other, never too wide."""

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from terrain_fuel.outputs.names import clip_text, fit_text, short_names
from terrain_fuel.outputs.place_names import place_wordings

NAMES = (
    "soft loaf with fig", "oat bar", "salted corn square", "salted corn squirrel", "Crêpe fourrée à l’œuf",
    "Ψωμί με μέλι", "Пряник с мёдом", "plain gel", "caffeine gel",
)  # fmt: skip


def test_a_name_that_fits_stays_as_it_is() -> None:
    assert short_names(NAMES, 40) == {name: name for name in NAMES}


def test_the_last_noun_is_what_a_thing_is_so_the_first_words_go_first() -> None:
    assert fit_text("salted corn square", 17) == "corn square"
    assert fit_text("salted corn square", 10) == "corn sq."
    assert fit_text("soft oat bar", 8) == "oat bar"


def test_behind_of_stands_what_tells_and_behind_with_what_does_not() -> None:
    assert fit_text("twist of sugar", 13) == "sugar"
    assert fit_text("tube de bonbons", 12) == "bonbons"
    assert fit_text("soft loaf with fig", 17) == "soft loaf"
    assert fit_text("Crêpe fourrée à l’œuf", 19) == "Crêpe fourrée"
    assert fit_text("Пряник с мёдом", 11) == "Пряник"


@pytest.mark.parametrize(
    ("name", "limit", "said"),
    [
        ("bread 60 g", 8, "bread"),
        ("Brot, Vollkorn 62,5 g", 8, "Vollkorn"),
        ("banana 120g", 6, "banana"),
        ("half bar 2", 5, "bar 2"),
    ],
)
def test_how_much_of_a_thing_there_is_goes_before_what_it_is(name: str, limit: int, said: str) -> None:
    """By hand: bread 60 g had been "60 g" on a sticker; a number alone tells one of several apart."""
    assert short_names([name], limit) == {name: said}


def test_words_are_cut_after_a_consonant_and_never_to_rubble() -> None:
    assert fit_text("caffeine gel", 10) == "caff. gel"
    assert fit_text("fruit paste", 10) == "fruit pas."
    # "fr. pas." would be narrow enough, but a whole word says more
    assert fit_text("fruit paste", 9) == "paste"
    assert [fit_text("oat bar", 5), fit_text("corn square", 7)] == ["oat", "corn"]


def test_the_riders_own_short_name_comes_first_but_only_where_it_is_needed() -> None:
    own = {"salted corn square": "mais", "salted corn cake": "mais"}
    assert short_names(["salted corn square"], 18, own=own) == {"salted corn square": "salted corn square"}
    assert short_names(["salted corn square"], 17, own=own) == {"salted corn square": "mais"}
    both = short_names(list(own), 12, own=own)
    assert both["salted corn square"] == "mais"
    assert both["salted corn cake"] != "mais"
    assert fit_text("salted corn square", 4) == "corn"


def test_a_sentence_is_clipped_at_its_end() -> None:
    assert clip_text("Three Passes of Ostrel", 13) == "Three Passes…"
    assert clip_text("Three Passes", 12) == "Three Passes"
    assert clip_text("Three", 0) == ""


PLACES = {
    ("Great Ostrel Pass", True): ["Great Ostrel Pass", "Great Ostrel", "G. Ostrel", "Ostrel"],
    ("Saddle of Orrin", True): ["Saddle of Orrin", "Orrin"],
    ("Carrow Saddle", True): ["Carrow Saddle", "Carrow"],
    ("Col d’Étrangle", True): ["Col d’Étrangle", "Étrangle"],
    ("Lower Thessel", False): ["Lower Thessel", "L. Thessel", "Thessel"],
    ("Thessel tap", False): ["Thessel tap", "tap"],
    ("Pump at Nether Sallow", False): ["Pump at Nether Sallow", "Pump"],
    ("Fontaine du village", False): ["Fontaine du village", "Fontaine"],
    ("Calloway Green", False): ["Calloway Green", "Calloway G.", "Calloway"],
    ("Hill", True): ["Hill"],
}


@pytest.mark.parametrize(("name", "signed"), list(PLACES))
def test_a_place_keeps_the_word_that_tells_it(name: str, signed: bool) -> None:
    wordings = list(dict.fromkeys(place_wordings(name, signed=signed)))
    assert wordings == PLACES[name, signed]


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


def test_a_mark_always_shows() -> None:
    names = ["night runner gel", "caffeine gel", "plain gel"]
    marks = dict.fromkeys(names[:2], "caf.")
    assert short_names(names, 16, marks=marks) == {
        "night runner gel": "runner gel caf.",
        "caffeine gel": "caffeine gel",
        "plain gel": "plain gel",
    }
    for limit in range(8, 30):
        shorts = short_names(names, limit, marks=marks)
        assert all("caf" in shorts[name] and len(shorts[name]) <= limit for name in marks), limit
