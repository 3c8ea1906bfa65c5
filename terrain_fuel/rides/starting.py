"""Settings files to start from: every key with its default, what it means, its range and its source."""

from collections.abc import Iterator, Mapping
from typing import Any

from terrain_fuel.food_table import FOOD_TABLE
from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES, Setting, settings_of, toml_text
from terrain_fuel.outputs.words import Words, words_in
from terrain_fuel.rides.edits import DEFAULT_ENTRIES, entry_values
from terrain_fuel.rides.rule_settings import rule_settings

LANGUAGE = ("habits", "language")


def settings_text(file: str, language: str = "en") -> str:
    """Return the text of a settings file that says what is so without it, with every key explained.

    Parameters
    ----------
    file : "rider", "pantry", "day" or "pins"
    language : in which all is explained and the usual kitchen's foods, bottles and pockets are named, and
        which the rider's file states; keys are English in every language
    """
    words = words_in({"language": language})
    lines = [f"# {words.label(f'starting.{file}')}"]
    if file == "pantry":
        lines += ["", *_food_lines(words)]
    for table, owner in SETTINGS_TABLES[file].items():
        settings = settings_of(file, table, owner)
        lines.append("")
        if table in SINGLE_TABLES:
            lines += [f"[{table}]", *(line for each in settings for line in _explained(each, words))]
        else:
            lines += _list_lines(table, settings, words)
    if file == "rider":
        lines += ["", *_rule_lines(words)]
    return "\n".join(lines) + "\n"


def _list_lines(table: str, settings: tuple[Setting, ...], words: Words) -> Iterator[str]:
    names: Mapping[str, str] = words.language.kitchen
    yield f"# [[{table}]]: {words.label('starting.many')}"
    for each in settings:
        meaning, allowed, source = _told(each, words)
        usual = words.label("starting.usual", usual=_stated(each.default, words))
        default = words.label("starting.needed") if each.required else usual
        yield f"#   {each.key}: {meaning}; {allowed}; {default}; {source}"
    for entry in DEFAULT_ENTRIES.get(table, ()):
        yield ""
        yield f"[[{table}]]"
        for key, value in entry_values(entry).items():
            said = names.get(value, value) if key in ("name", "short") else value
            yield f"{key} = {toml_text(said)}"


def _food_lines(words: Words) -> Iterator[str]:
    """Yield what is known of food that has no packet."""
    yield f"# {words.label('starting.foods')}"
    for food in FOOD_TABLE:
        yield f"#   {words.label(f'food.{food.name}')}: {food.carbohydrate_g:.1f} g; {food.source}"


def _rule_lines(words: Words) -> Iterator[str]:
    yield "[rules]"
    yield f"# {words.label('starting.rules')}"
    for each in rule_settings(words):
        yield f"# {each.key} = {toml_text(each.default)}   ({each.meaning}; {_source(each, words)})"


def _explained(setting: Setting, words: Words) -> Iterator[str]:
    yield f"# {'; '.join(_told(setting, words))}"
    stated = words.language.code if (setting.table, setting.key) == LANGUAGE else setting.default
    if stated is None:
        yield f"# {setting.key} =   ({words.label('table.script.leftOut')})"
    else:
        yield f"{setting.key} = {toml_text(stated)}"


def _told(setting: Setting, words: Words) -> tuple[str, str, str]:
    """Return what a setting means, what is allowed and where that comes from, in English in its own words."""
    meaning = words.language.meanings.get(f"{setting.table}.{setting.key}")
    if meaning is None:
        return setting.meaning, setting.range_text, setting.source
    source = _source(setting, words)
    if setting.allowed:
        return meaning, words.label("starting.one_of", allowed=", ".join(setting.allowed)), source
    if setting.low is None:
        return meaning, words.label(f"starting.{setting.kind}"), source
    low, high = f"{setting.low:.10g}", f"{setting.high:.10g}"  # as the file has them, with a point
    unit = words.language.labels.get(f"table.unit.{setting.unit}", setting.unit)
    return meaning, words.label("table.range", low=low, high=high, unit=unit).rstrip(), source


def _source(setting: Setting, words: Words) -> str:
    return words.language.labels.get(f"table.source.{setting.source}", setting.source)


def _stated(value: Any, words: Words) -> str:
    return words.label("table.script.leftOut") if value is None else toml_text(value)
