"""The outputs in another language: every text of theirs, nothing cut, numbers with its own decimal mark."""

import io
import json
import re
import tempfile
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

import pytest
from lxml import etree, html
from pypdf import PdfReader
from rich.console import Console

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.settings_book import all_settings
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.drawing.profile import draw_terrain_profile, profile_shapes
from terrain_fuel.outputs.drawing.shapes import Label
from terrain_fuel.outputs.explain import explain_label
from terrain_fuel.outputs.languages import LANGUAGES, Language
from terrain_fuel.outputs.map.map_page import map_page
from terrain_fuel.outputs.map.page_data import script_words
from terrain_fuel.outputs.map.page_parts import SCRIPTS
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.resources import shipped_text
from terrain_fuel.outputs.terminal import show_plan, show_terrain
from terrain_fuel.outputs.words import words_for
from terrain_fuel.page.shown import fields_data
from terrain_fuel.plan import Plan
from terrain_fuel.rider import Habits, Rider
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import pages_of

OUTPUTS = ("sheet", "sticker", "page", "waypoints", "terminal", "terrain", "why", "drawing")

SPEAKING = {"de": Rider(habits=Habits(language="de"))}

SAME_IN_BOTH = {
    "am", "an", "diabetes", "halt", "in", "information", "insulin", "minus", "plan", "plus", "relief",
    "rides", "so", "start", "training", "tunnel", "was", "wind",
}  # fmt: skip
"""Words that both languages spell alike, besides names, units, options and what programs read."""


def test_every_setting_says_what_it_means_in_every_language() -> None:
    settings = {f"{each.table}.{each.key}": each.meaning for each in all_settings()}
    assert len(settings) > 80
    for language in LANGUAGES.values():
        if language.code == "en":
            assert not language.meanings
            continue
        assert list(language.meanings) == list(settings)
        assert not [key for key, said in language.meanings.items() if not said or said == settings[key]]
        shown = {
            f"{f['table']}.{f['key']}": f["meaning"] for f in fields_data(words_for(SPEAKING[language.code]))
        }
        # one names a file on this machine, and is not for the page
        assert shown == {key: said for key, said in language.meanings.items() if key != "day.map_extract"}


def test_where_a_setting_comes_from_is_told_by_who_found_it_and_when() -> None:
    """Not by the keys of the list of references, which nobody knows who fills in a field."""
    for language in LANGUAGES.values():
        fields = fields_data(words_for(Rider(habits=Habits(language=language.code))))
        assert not [each["source"] for each in fields if re.search(r"\b[A-Za-z]+\d\d\b", each["source"])]
        assert len({each["source"] for each in fields}) > 8


FILE_WORDS = re.compile(
    r"[a-z]+_[a-z]+|\[\[|--|\.toml|README|\b(?:rider|pantry|day) file\b|-Datei|Tagesdatei| = "
)
"""What nobody knows who changes settings on panels: keys, tables, options and files."""

OF_THE_TERMINAL = {"no_ftp"}
"""Sentences that the command line alone says."""


@pytest.mark.parametrize("language", LANGUAGES.values(), ids=lambda language: language.code)
def test_on_the_kitchen_table_nothing_is_said_in_the_words_of_files(language: Language) -> None:
    on_panels = words_for(Rider(habits=Habits(language=language.code))).on_panels.language.sentences
    assert list(on_panels) == list(language.sentences)
    bare = {code: re.sub(r"\{[^}]*\}", "", said) for code, said in on_panels.items()}
    assert {code for code, said in bare.items() if FILE_WORDS.search(said)} <= OF_THE_TERMINAL
    assert list(language.panels) == list(LANGUAGES["en"].panels)
    for code, said in language.panels.items():
        in_files = {name for _, name, _, _ in Formatter().parse(language.sentences[code]) if name}
        told = {name for _, name, _, _ in Formatter().parse(said) if name}
        assert told == in_files - {"source"}, code  # the name of a file


@cache
def texts(output: str, language: str) -> tuple[str, ...]:
    """Return every text that one output of a demo route shows."""
    return tuple(text for text in _texts(output, demo_plan("loop-120", language=language)) if text.strip())


def _texts(output: str, plan: Plan) -> Iterator[str]:
    if output in ("sheet", "sticker"):
        yield from _printed(plan, output)
    elif output == "page":
        yield from _page(map_page(plan, online_tiles=True))
    elif output == "waypoints":
        yield from _waypoints(plan)
    elif output in ("terminal", "terrain"):
        held = io.StringIO()
        console = Console(file=held, width=200)
        if output == "terminal":
            show_plan(plan, (Path("folder/map.html"),), console)
        else:
            show_terrain(plan.terrain, plan.cautions, plan.rider, console)
        yield from held.getvalue().splitlines()
    elif output == "why":
        written = json.loads(json.dumps(plan_to_dict(plan)))
        for point in plan.fuel_points:
            yield from explain_label(written, point.label or f"km{point.distance_m / 1000:.3f}")
    else:
        drawing = draw_terrain_profile(plan.terrain, plan.cautions, plan.rider)
        root: Any = etree.fromstring(drawing.encode())
        yield from root.xpath("//@aria-label")
        yield from root.xpath("//*[local-name()='text']/text()")
        shapes = profile_shapes(plan.terrain, plan, width=1000.0, with_stores=True).shapes
        yield from (shape.text for shape in shapes if isinstance(shape, Label))


def _printed(plan: Plan, output: str) -> Iterator[str]:
    """Yield the texts of a printed file, its title and its subject."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "printed.pdf")
        (write_sheet if output == "sheet" else write_sticker)(plan, path)
        for page in pages_of(path):
            yield from (word["text"] for word in page.extract_words(x_tolerance=1.5, keep_blank_chars=True))
        about = PdfReader(path).metadata
        yield from (str(about.title), str(about.subject)) if about else ()


def _page(page: str) -> Iterator[str]:
    """Yield what the page shows and speaks, and the texts that its script is given."""
    tree: Any = html.document_fromstring(page)
    (block,) = tree.xpath("//script[@type='application/json']")
    data = json.loads(block.text_content())
    for element in tree.xpath("//script | //style"):
        element.getparent().remove(element)
    yield from tree.xpath("//text() | //@aria-label | //@title")
    assert "OpenStreetMap" in page
    yield from (re.sub(r"\{\w+\}", "", text) for text in data["words"].values())
    yield from (str(text) for pair in [*data["totals"], *data["hours"]] for text in pair)
    yield data["contours"]
    yield from (text for heading, sentences in data["care"] for text in (heading, *sentences))
    for entry in data["entries"]:
        yield from (str(entry[key]) for key in ("name", "notes", "spoken", "title") if key in entry)
        yield from (text for pair in entry.get("card", ()) for text in pair)


def _waypoints(plan: Plan) -> Iterator[str]:
    with tempfile.TemporaryDirectory() as folder:
        write_waypoints(plan, Path(folder, "points.gpx"), sips=True)
        root: Any = etree.parse(Path(folder, "points.gpx")).getroot()
        for point in root.iterfind("{*}wpt"):
            # symbols are names that devices know
            told = (child for child in point.iterfind("*") if not child.tag.endswith(("ele", "sym")))
            yield from (child.text or "" for child in told)


def words_of(shown: tuple[str, ...]) -> set[str]:
    return {word.casefold() for text in shown for word in re.findall(r"[^\W\d_]{2,}", text)}


def names_of(plan: Plan) -> tuple[str, ...]:
    """Return the names that the rider or the route gave, the rules' stable names, and units."""
    things: list[Any] = [
        *plan.pantry.items,
        *plan.pantry.containers,
        *plan.terrain.track.waypoints,
        *plan.day.feeds,
    ]
    shorts = [item.short for item in plan.pantry.items]
    stretches = [stretch.name for stretch in plan.terrain.stretches]
    rules = [rule for point in plan.fuel_points for rule in point.rules]
    units = "km min mm mg ml kg OpenStreetMap folder map html rides"
    return (plan.name, *(thing.name for thing in things), *shorts, *stretches, *rules, units)


def catalogue_keys(language: Language) -> Mapping[str, frozenset[str]]:
    """Return the names each template of a language asks for, by its key: what all languages must share."""
    parse = Formatter().parse
    texts = {**language.sentences, **language.labels}
    return {key: frozenset(name for _, name, _, _ in parse(text) if name) for key, text in texts.items()}


def test_the_catalogues_share_their_keys_and_placeholders() -> None:
    english, *others = LANGUAGES.values()
    assert others
    for other in others:
        assert catalogue_keys(other) == catalogue_keys(english)


@pytest.mark.parametrize("output", OUTPUTS)
def test_no_word_is_left_untranslated(output: str) -> None:
    english, german = (words_of(texts(output, language)) for language in ("en", "de"))
    names = words_of(names_of(demo_plan("loop-120")))
    # names may be cut where room is short
    left = {word for word in english & german if not any(name.startswith(word) for name in names)}
    assert left <= SAME_IN_BOTH
    assert len(german - names) > 2


@pytest.mark.parametrize("output", OUTPUTS)
def test_numbers_have_the_decimal_mark_of_their_language(output: str) -> None:
    for language, other_mark in (("en", r"\d,\d"), ("de", r"\d\.\d")):
        dateless = (re.sub(r"\d\d\.\d\d\.\d{4}", "", text) for text in texts(output, language))
        assert [text for text in dateless if re.search(other_mark, text)] == []


@pytest.mark.parametrize("output", ["sheet", "sticker"])
def test_nothing_printed_is_cut(output: str) -> None:
    assert [text for text in texts(output, "de") if "…" in text] == []


def test_the_page_names_its_language_and_its_script_asks_for_no_text_that_is_not_there() -> None:
    assert '<html lang="de">' in map_page(demo_plan("loop-120", language="de"))
    asked = {
        name
        for script in SCRIPTS
        for name in re.findall(r"plan\.words\.(\w+)", shipped_text("map/page", script))
    }
    assert asked == set(script_words(words_for(Rider())))


def test_the_scripts_hold_no_sentence_of_their_own() -> None:
    for script in SCRIPTS:
        code = re.sub(r"//.*", "", shipped_text("map/page", script))
        strings = re.findall(r"\"([^\"\n]*)\"|'([^'\n]*)'", code)
        assert [text for pair in strings for text in pair if re.search(r"[A-Z][a-z]+ [a-z]+", text)] == []


def test_a_language_that_is_not_there_is_refused() -> None:
    with pytest.raises(SettingsError, match="language is 'xx'"):
        Habits(language="xx")
