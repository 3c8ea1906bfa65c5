"""What the page asks for, taken apart with suspicion: known tables, known keys, values of their kind."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES, Setting, setting_of
from terrain_fuel.rides.edits import MOST_ENTRIES, AddEntry, Edit, RemoveEntry, SetValue
from terrain_fuel.text import plain_text

FILE_SETTINGS = frozenset({("day", "day", "map_extract")})
"""Settings that name a file on this machine: they are written in the settings file, never by a page."""

MOST_EDITS = MOST_ENTRIES
"""One of every entry of a kind: all can be emptied, or let go, at once."""

MOST_NAMES = 50
LARGEST = 1e9


def asked_of(body: bytes) -> dict[str, Any]:
    """Return the JSON object in a body.

    Raises
    ------
    SettingsError
        If there is none in it.
    """
    try:
        asked = json.loads(body)
    except (ValueError, RecursionError):
        asked = None
    if not isinstance(asked, dict):
        raise SettingsError("that is no JSON object")
    return asked


def edits_of(asked: Any) -> tuple[Edit, ...]:
    """Return the edits in a request.

    Raises
    ------
    SettingsError
        If it asks for anything but edits of settings.
    """
    if not isinstance(asked, list) or not 0 < len(asked) <= MOST_EDITS:
        raise SettingsError(f"a change is a list of 1 to {MOST_EDITS} edits")
    return tuple(_edit_of(each) for each in asked)


def language_among(edits: Sequence[Edit]) -> str | None:
    """Return the language that edits choose for a rider, None where they choose none."""
    chosen = [each for each in edits if isinstance(each, SetValue) and each.key == "language"]
    return str(chosen[-1].value) if chosen and chosen[-1].value is not None else None


def count_of(asked: Any) -> int:
    """Return the count of changes that a request was made from.

    Raises
    ------
    SettingsError
        If it is none.
    """
    if isinstance(asked, bool) or not isinstance(asked, int):
        raise SettingsError("a change says which state of the ride it was made from")
    return asked


def _edit_of(asked: Any) -> Edit:
    if not isinstance(asked, dict):
        raise SettingsError("an edit is an object")
    kind, file, table = (str(asked.get(key)) for key in ("do", "file", "table"))
    if table not in SETTINGS_TABLES.get(file, {}):
        raise SettingsError("an edit names a table of the settings files")
    if kind == "set":
        setting = setting_of(file, table, str(asked.get("key")))
        at = None if table in SINGLE_TABLES else _place(asked.get("at"))
        return SetValue(file, table, setting.key, _value_of(setting, asked.get("value")), at)
    if kind == "add":
        return AddEntry(file, table, _values_of(file, table, asked.get("values")))
    if kind == "remove":
        return RemoveEntry(file, table, _place(asked.get("at")))
    raise SettingsError("an edit sets a value, adds an entry or removes one")


def _values_of(file: str, table: str, asked: Any) -> Mapping[str, Any]:
    if table in SINGLE_TABLES or not isinstance(asked, dict):
        raise SettingsError("an entry is an object with its keys")
    found = {}
    for key, value in asked.items():
        setting = setting_of(file, table, str(key))
        if value is not None:
            found[setting.key] = _value_of(setting, value)
    return found


def _place(asked: Any) -> int:
    if isinstance(asked, bool) or not isinstance(asked, int):
        raise SettingsError("an edit of an entry says which one")
    return asked


def _value_of(setting: Setting, asked: Any) -> Any:
    """Return a value as its kind; None, which leaves the setting out, only where it may be left out."""
    if asked is None and not setting.required:
        return None
    kind = setting.kind
    if asked and (setting.file, setting.table, setting.key) in FILE_SETTINGS:
        raise SettingsError(
            f"{setting.file}.toml: [{setting.table}] {setting.key} names a file on this machine;"
            " write it in the settings file"
        )
    if kind == "switch" and isinstance(asked, bool):
        return asked
    if kind in ("text", "word", "time") and isinstance(asked, str):
        return plain_text(asked)
    if kind == "names" and _are_names(asked):
        return [plain_text(name) for name in asked]
    if kind in ("number", "whole") and _is_number(asked):
        return int(asked) if float(asked).is_integer() else float(asked)
    raise SettingsError(
        f"{setting.file}.toml: [{setting.table}] {setting.key} is {plain_text(str(asked))!r}; allowed is"
        f" {setting.range_text}; correct it"
    )


def _are_names(asked: Any) -> bool:
    return isinstance(asked, list) and len(asked) <= MOST_NAMES and all(isinstance(n, str) for n in asked)


def _is_number(asked: Any) -> bool:
    if isinstance(asked, bool) or not isinstance(asked, (int, float)):
        return False
    return abs(asked) < LARGEST  # neither of what is no number, nor of 400 digits, which no float holds
