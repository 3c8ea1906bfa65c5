"""What the core tells: each code has a sentence in each language; the core has no words of its own."""

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

import terrain_fuel
from terrain_fuel.facts import Fact, fact
from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.languages import LANGUAGES, Language
from terrain_fuel.outputs.units import KILOMETRES, MILES
from terrain_fuel.outputs.words import Words
from terrain_fuel.rider import RoadUnit
from terrain_fuel.rules.book import RULES
from tests.outputs.demo_plans import demo_plan

TOLD = ("note", "reason", "sentence", "why", "text", "forbidden_by")
"""Keys of plan.json under which the rider is told something."""

SAME_IN_BOTH = {
    "an", "diabetes", "halt", "hand", "in", "information", "insulin", "item", "min", "minute", "name", "plan",
    "reserve", "rest", "route", "so", "sport", "start", "training", "tunnel", "warm", "was",
    "wind", "m²",
}  # fmt: skip
"""Words that both languages spell alike; units and names of settings are alike too."""

ALIKE = {
    "mass_g",
    "carried_mass_kg",
    "rider",
    "toml",
    "container",
    "count",
    "km",
    "ml",
    "mg",
    "kg",
    "ftp",
    "lights",
    "gpx",
    "tcx",
    "fit",
    "kml",
    "geojson",
    "feed",
    "sugars",
    "mixed",
    "true",
}


SETTING = re.compile(r"\[\[\w+\]\]|\w+ = (?:true|\"\w+\")|\w+ =|\w+_\w+")
"""What is to be written into a settings file: its keys are alike in every language."""


def calls() -> Iterator[tuple[Path, ast.Module, ast.Call]]:
    """Yield every place of the code that makes a fact."""
    for path in sorted(Path(terrain_fuel.__file__).parent.rglob("*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(module):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "fact":
                yield path, module, node


def codes_of(module: ast.Module, code: ast.expr) -> set[str]:
    """Return the codes that the first argument of a call may be."""
    if isinstance(code, ast.Constant):
        return {str(code.value)}
    if isinstance(code, ast.IfExp):
        return codes_of(module, code.body) | codes_of(module, code.orelse)
    if isinstance(code, ast.JoinedStr):
        assert isinstance(code.values[0], ast.Constant)
        assert code.values[0].value == "rule_"
        return {f"rule_{rule.name}" for rule in RULES}
    assert isinstance(code, ast.Subscript)
    assert isinstance(code.value, ast.Name)
    (table,) = (
        node.value
        for node in module.body
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == code.value.id
    )
    assert isinstance(table, ast.Dict | ast.Tuple)
    return {ast.literal_eval(each) for each in (table.values if isinstance(table, ast.Dict) else table.elts)}


def asked_for(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name}


@pytest.mark.parametrize("language", LANGUAGES.values(), ids=lambda language: str(language.code))
def test_every_code_has_a_sentence_and_every_sentence_a_code(language: Language) -> None:
    made = {code for _, module, call in calls() for code in codes_of(module, call.args[0])}
    assert len(made) > 150
    assert made == set(language.sentences)


@pytest.mark.parametrize("language", LANGUAGES.values(), ids=lambda language: str(language.code))
def test_sentences_ask_for_nothing_that_is_not_told(language: Language) -> None:
    for path, module, call in calls():
        given = {word.arg for word in call.keywords}
        if None in given:  # values handed on as a mapping
            continue
        for code in codes_of(module, call.args[0]):
            assert asked_for(language.sentences[code]) <= given, f"{path.name}: {code}"


def test_no_fact_carries_a_sentence() -> None:
    for path, _, call in calls():
        for value in (word.value for word in call.keywords):
            for node in ast.walk(value):
                assert not isinstance(node, ast.JoinedStr), f"{path.name}: {ast.unparse(call)}"
                written = str(node.value) if isinstance(node, ast.Constant) else ""
                assert " " not in written, f"{path.name}: {ast.unparse(call)}"


def told(tree: Any) -> Iterator[str]:
    """Yield everything a plan.json tells the rider."""
    if isinstance(tree, list):
        for each in tree:
            yield from told(each)
    elif isinstance(tree, dict):
        for key, value in tree.items():
            if key in TOLD and isinstance(value, str):
                yield value
            else:
                yield from told(value)


def told_by(language: str = "en", units: RoadUnit = "km") -> list[str]:
    """Return everything the plans of the demo routes tell a rider."""
    sentences: list[str] = []
    for name in ("loop-120", "rolling-60", "long-200"):
        plan = demo_plan(name)
        habits = replace(plan.rider.habits, language=language, units=units)
        sentences += told(plan_to_dict(replace(plan, rider=replace(plan.rider, habits=habits))))
    return sentences


def words_in(sentences: list[str]) -> set[str]:
    return {word.casefold() for text in sentences for word in re.findall(r"[^\W\d]{2,}", text)}


def test_a_plan_in_german_has_no_english_left() -> None:
    english, german = words_in(told_by("en")), words_in(told_by("de"))
    names = set()
    for plan in map(demo_plan, ("loop-120", "rolling-60", "long-200")):
        goods = [item.name for item in plan.pantry.items] + [each.name for each in plan.pantry.containers]
        names |= words_in(goods + [mark.name for mark in plan.terrain.track.waypoints])
        names |= words_in([feed.name for feed in plan.day.feeds])
    assert len(german - names) > 100
    assert (english & german) - names - ALIKE <= SAME_IN_BOTH


def test_no_german_sentence_keeps_an_english_word() -> None:
    english, german = LANGUAGES["en"].sentences, LANGUAGES["de"].sentences
    for code in english:
        ours, theirs = (
            words_in([SETTING.sub("", re.sub(r"{\w+(:[\w.]*})?", "", texts[code]))])
            for texts in (english, german)
        )
        settings = {word for word in ours & theirs if "_" in word}
        assert (ours & theirs) - ALIKE - settings <= SAME_IN_BOTH, code


def test_a_plan_in_miles_says_no_kilometre() -> None:
    assert any(re.search(r"\bkm\b", text) for text in told_by(units="km"))
    in_miles = told_by(units="miles")
    assert any(re.search(r"\d mi\b", text) for text in in_miles)
    assert not [text for text in in_miles if re.search(r"\bkm\b", text)]


def test_german_has_a_decimal_comma() -> None:
    assert any(re.search(r"\d,\d", text) for text in told_by("de"))
    assert not [text for text in told_by("de") if re.search(r"\d\.\d", text)]


PASS_M, LATE = 42_300.0, datetime.fromisoformat("2027-05-08T21:04:00+02:00")


@pytest.mark.parametrize(
    ("told_fact", "english", "in_miles", "german"),
    [
        (
            fact("hairpins", count=1, length_m=PASS_M, grade=-0.07, wet=fact("on_wet_road")),
            "1 hairpin in 42.3 km at -7 %, on a wet road: both hands on the bars.",
            "1 hairpin in 26.3 mi at -7 %, on a wet road: both hands on the bars.",
            "1 Kehre auf 42,3 km mit -7 %, auf nasser Straße: beide Hände an den Lenker.",
        ),
        (
            fact("dark_at_the_end", sets=LATE),
            "The sun sets at 21:04, before the finish: lights on from here.",
            "The sun sets at 21:04, before the finish: lights on from here.",
            "Sonnenuntergang um 21:04, vor dem Ziel: ab hier Licht an.",
        ),
        (
            fact("glycogen_low", from_m=PASS_M),
            "From about km 42 your stores are predicted low; eat earlier, or ride easier before then.",
            "From about mile 26 your stores are predicted low; eat earlier, or ride easier before then.",
            "Ab etwa km 42 sind die Speicher voraussichtlich fast leer; früher essen oder bis dahin ruhiger"
            " fahren.",
        ),
        (
            fact("check_halts", count=2, standing_min=2.5, places=("mill tap", fact("unnamed_refill"))),
            "2 halts, 2.5 min of standing in all: mill tap, refill",
            "2 halts, 2.5 min of standing in all: mill tap, refill",
            "2 Halte, zusammen 2,5 min Standzeit: mill tap, Nachfüllen",
        ),
    ],
)
def test_sentences_by_hand(told_fact: Fact, english: str, in_miles: str, german: str) -> None:
    assert Words(LANGUAGES["en"], KILOMETRES).say(told_fact) == english
    assert Words(LANGUAGES["en"], MILES).say(told_fact) == in_miles
    assert Words(LANGUAGES["de"], KILOMETRES).say(told_fact) == german
