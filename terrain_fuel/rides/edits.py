"""Single changes to settings files that leave everything else as it was written, comments too."""

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, fields
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES
from terrain_fuel.pantry import DEFAULT_CONTAINERS, DEFAULT_ITEMS
from terrain_fuel.rides.texts import Texts

MOST_ENTRIES = 500
"""Entries of one kind in a file: more than a kitchen holds."""

DEFAULT_ENTRIES: Mapping[str, Sequence[Any]] = {"item": DEFAULT_ITEMS, "container": DEFAULT_CONTAINERS}


@dataclass(frozen=True, slots=True)
class SetValue:
    """One key of one table, or of entry ``at`` where it comes many times; value None removes the key."""

    file: str
    table: str
    key: str
    value: Any
    at: int | None = None


@dataclass(frozen=True, slots=True)
class AddEntry:
    """One more [[table]]."""

    file: str
    table: str
    values: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class RemoveEntry:
    """One [[table]] less, counted from 0."""

    file: str
    table: str
    at: int


Edit = SetValue | AddEntry | RemoveEntry


def apply_edits(texts: Texts, edits: Sequence[Edit]) -> tuple[dict[str, str], str]:
    """Return the new texts of the files that edits touch, and what was changed in words.

    Raises
    ------
    SettingsError
        If a file cannot be read as TOML, or an entry is not there.
    """
    documents: dict[str, tomlkit.TOMLDocument] = {}
    said = []
    for edit in edits:
        if edit.file not in documents:
            documents[edit.file] = _parsed(edit.file, texts.get(edit.file) or "")
        said.append(_applied(documents[edit.file], edit))
    changed = {name: tomlkit.dumps(document) for name, document in documents.items()}
    if all(isinstance(edit, SetValue) and edit.value is not None for edit in edits):
        _STANDING.update((name, (text, documents[name])) for name, text in changed.items())
    return changed, "; ".join(said)


def entry_values(entry: Any) -> dict[str, Any]:
    """Return what a settings object says beyond its defaults, as the keys of its table."""
    values = {field.name: getattr(entry, field.name) for field in fields(entry)}
    return {
        field.name: values[field.name]
        for field in fields(entry)
        if field.default is MISSING or values[field.name] != field.default
    }


_STANDING: dict[str, tuple[str, tomlkit.TOMLDocument]] = {}
"""By file the document last written and its text: who turns a knob changes it again, and reading it anew
takes longer than all else of a change. Entries put in or taken out leave blank lines that a reader of the
text would not know of: what is written after them is read anew. Whoever edits a document has it alone."""


def _parsed(name: str, text: str) -> tomlkit.TOMLDocument:
    standing = _STANDING.pop(name, None)
    if standing is not None and standing[0] == text:
        return standing[1]
    try:
        return tomlkit.parse(text)
    except TOMLKitError as fault:
        raise SettingsError(f"{name}.toml: is not valid TOML: {fault}; mend that line") from None


def _applied(document: tomlkit.TOMLDocument, edit: Edit) -> str:
    if edit.table not in SETTINGS_TABLES.get(edit.file, {}):
        raise SettingsError(f"{edit.file}.toml: [{edit.table}] is not a table of settings")
    try:
        if isinstance(edit, AddEntry):
            return _added(document, edit)
        if isinstance(edit, RemoveEntry):
            return _removed(document, edit)
        return _set(document, edit)
    except (AttributeError, TypeError, TOMLKitError):
        raise SettingsError(
            f"{edit.file}.toml: {edit.table} is not written as a table; write [{edit.table}], or"
            f" [[{edit.table}]] for each one"
        ) from None


def _set(document: tomlkit.TOMLDocument, edit: SetValue) -> str:
    if edit.table in SINGLE_TABLES:
        if edit.table not in document:
            document[edit.table] = tomlkit.table()
        table: Any = document[edit.table]
        name = ""
    else:
        table = _entry(document, edit.file, edit.table, edit.at)
        name = _named(table, edit.table)
    before = table.get(edit.key)
    if edit.value is None:
        table.pop(edit.key, None)
    else:
        table[edit.key] = edit.value
    return f"{name}{edit.key} {_said(before)} → {_said(edit.value)}"


def _added(document: tomlkit.TOMLDocument, edit: AddEntry) -> str:
    entries = _entries(document, edit.table)
    if len(entries) >= MOST_ENTRIES:
        raise SettingsError(
            f"{edit.file}.toml: there are {len(entries)} of [[{edit.table}]]; take one out first"
        )
    entries.append(_table(edit.values))
    return f"+ {_named(edit.values, edit.table).rstrip()}"


def _removed(document: tomlkit.TOMLDocument, edit: RemoveEntry) -> str:
    entry = _entry(document, edit.file, edit.table, edit.at)
    name = _named(entry, edit.table).rstrip()
    entries = _entries(document, edit.table)
    if len(entries) == 1 and edit.table in DEFAULT_ENTRIES:
        raise SettingsError(
            f"{edit.file}.toml: {name} is the last one; without any, the default ones would come back; set"
            " its count to 0, or put another beside it first",
            fact("refused_last_one", name=name),
        )
    del entries[edit.at]
    if not len(entries):
        del document[edit.table]
    return f"− {name}"


def _entry(document: tomlkit.TOMLDocument, file: str, table: str, at: int | None) -> Any:
    entries = _entries(document, table)
    if at is None or not 0 <= at < len(entries):
        raise SettingsError(f"{file}.toml: there is no [[{table}]] number {at}; look again")
    return entries[at]


def _entries(document: tomlkit.TOMLDocument, table: str) -> Any:
    """Return the list of a table, the default ones written into it where the file has none."""
    if table not in document:
        entries = tomlkit.aot()
        for default in DEFAULT_ENTRIES.get(table, ()):
            entries.append(_table(entry_values(default)))
        document.append(table, entries)
    return document[table]


def _table(values: Mapping[str, Any]) -> Any:
    table = tomlkit.table()
    for key, value in values.items():
        table.add(key, list(value) if isinstance(value, tuple) else value)
    return table


def _named(table: Mapping[str, Any], kind: str) -> str:
    """Return how an entry is told apart: by its name, its item, or what kind it is."""
    words = (str(table[key]) for key in ("name", "item", "container") if table.get(key))
    return f"{next(words, kind)} "


def _said(value: Any) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:g}" if isinstance(value, float) else str(value)
