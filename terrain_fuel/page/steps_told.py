"""What a change was, in the words of the panels: it is kept by the keys of the settings files."""

import re
from functools import cache

from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, all_settings
from terrain_fuel.outputs.words import Words
from terrain_fuel.rides.steps import EDITED

MOST_TOLD = 3
"""Of a change of more than so many values the rest is not listed."""

_ENTRY = re.compile(r"([+−] )(\w+)")


def step_told(said: str | None, words: Words) -> str | None:
    """Return what `apply_edits` said of a change, in words; None where there is none."""
    if said is None:
        return None
    edits = said.split("; ")
    told = [_edit_told(edit, words) for edit in edits[:MOST_TOLD]]
    return "; ".join(told + ["…"] * (len(edits) > MOST_TOLD))


def _edit_told(edit: str, words: Words) -> str:
    labels = words.language.labels
    if edit == EDITED:
        return words.label("table.step.by_hand")
    entry = _ENTRY.fullmatch(edit)
    if entry and any(entry[2] in tables for tables in SETTINGS_TABLES.values()):
        return entry[1] + labels.get(f"table.step.{entry[2]}", entry[2])
    value = _value_set().fullmatch(edit)
    if value is None:
        return edit
    name, key, before, after = value.groups()
    label = next(labels[f"setting.{s.table}.{s.key}"] for s in all_settings() if s.key == key)
    arrow = f"{_value(before, words)} → {_value(after, words)}"
    return f"{name.rstrip()}: {label} {arrow}" if name else f"{label} {arrow}"


@cache
def _value_set() -> "re.Pattern[str]":
    keys = "|".join(sorted({setting.key for setting in all_settings()}))
    return re.compile(rf"(.* )?({keys}) (.*) → (.*)")


def _value(said: str, words: Words) -> str:
    try:
        return words.number(float(said), "g")
    except ValueError:
        return words.language.labels.get(f"table.script.word.{said}", said)
