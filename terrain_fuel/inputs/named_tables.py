"""Tables of a file that name each other: entries with names of their own, and names that must be known."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.setting_hints import probably_meant
from terrain_fuel.inputs.toml_tables import list_of_tables


def named_entries(
    tables: Mapping[str, Any], table: str, path: Path
) -> list[tuple[str, str, Mapping[str, Any]]]:
    """Return the entries of a list of tables with where they stand and their names, no two alike."""
    found: list[tuple[str, str, Mapping[str, Any]]] = []
    seen: set[str] = set()
    for number, entry in enumerate(list_of_tables(tables, table, path), start=1):
        name = text_of(entry, "name", f"{path.name}: [[{table}]] number {number}")
        if not name:
            raise SettingsError(
                f"{path.name}: [[{table}]] number {number} has no name; it needs one; add name = ..."
            )
        if name.casefold() in seen:
            raise SettingsError(f"{path.name}: [[{table}]] {name!r} is there twice; give each its own name")
        seen.add(name.casefold())
        found.append((f"{path.name}: [[{table}]] {name!r}", name, entry))
    return found


def text_of(table: Mapping[str, Any], key: str, where: str) -> str:
    """Return a text of a table, "" where it is not there."""
    value = table.get(key, "")
    if not isinstance(value, str):
        raise SettingsError(f"{where} {key} is {value!r}; allowed is text in quotes; correct it")
    return value.strip()


def names_of(table: Mapping[str, Any], key: str, where: str) -> tuple[str, ...]:
    """Return a list of names, none twice; one name alone may stand without brackets."""
    value = table.get(key, [])
    value = [value] if isinstance(value, str) else value
    if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
        raise SettingsError(f"{where} {key} is {value!r}; allowed is a list of names; correct it")
    if len(set(value)) < len(value):
        twice = next(name for name in value if value.count(name) > 1)
        raise SettingsError(f"{where} {key}: {twice!r} is there twice; name each once")
    return tuple(value)


def pairs_of(table: Mapping[str, Any], key: str, where: str) -> dict[str, str]:
    """Return a table of words by name."""
    value = table.get(key, {})
    if not isinstance(value, dict) or not all(isinstance(word, str) for word in value.values()):
        raise SettingsError(
            f"{where} {key} is {value!r}; allowed is a word for each rider; write it like"
            f' {key} = {{"NAME" = "WORD"}}'
        )
    return value


def refuse_unknown(table: Mapping[str, Any], allowed: Sequence[str], where: str) -> None:
    """Raise SettingsError for a key that does not exist."""
    for key in table:
        if key not in allowed:
            advice = probably_meant(key, allowed, {})
            raise SettingsError(f"{where} {key} is not a setting; allowed are {', '.join(allowed)}; {advice}")


def refuse_strangers(names: Iterable[str], known: Iterable[str], where: str, what: str) -> None:
    """Raise SettingsError for the first of some names that is not known."""
    known = list(known)
    for name in names:
        refuse_stranger(name, known, where, what)


def refuse_stranger(name: str, known: Iterable[str], where: str, what: str) -> None:
    """Raise SettingsError for a name that is not known; ``what`` says what it should be."""
    known = list(known)
    if name not in known:
        raise SettingsError(
            f"{where}: {name!r} is not {what}; there are {', '.join(known) or 'none'}; correct it"
        )
