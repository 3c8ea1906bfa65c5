"""Settings files (TOML) into the rider, the pantry and the day; every fault is named with its place."""

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import fields
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar, get_type_hints

from terrain_fuel.day import Day, Feed
from terrain_fuel.errors import SettingsError
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.ranges import allowed_text
from terrain_fuel.rider import Bike, Habits, Rider

Settings = TypeVar("Settings")

NESTED = ("bike", "habits", "rule_weights", "feeds")
"""Fields that have a table of their own in the file."""


def read_rider(path: Path | None) -> Rider:
    """Return the rider of a TOML file with tables [rider], [bike], [habits] and [rules].

    Parameters
    ----------
    path : path, or None for the documented defaults

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Rider()
    tables = _read_tables(path, ("rider", "bike", "habits", "rules"))
    bike = _build(Bike, _table(tables, "bike", path), f"{path.name}: [bike]")
    habits = _build(Habits, _table(tables, "habits", path), f"{path.name}: [habits]")
    weights = tuple(
        (name, _number(value, f"{path.name}: [rules] {name}"))
        for name, value in sorted(_table(tables, "rules", path).items())
    )
    return _build(
        Rider,
        _table(tables, "rider", path),
        f"{path.name}: [rider]",
        nested={"bike": bike, "habits": habits, "rule_weights": weights},
    )


def read_day(path: Path | None) -> Day:
    """Return the day of a TOML file with a table [day] and any number of [[feed]].

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Day()
    tables = _read_tables(path, ("day", "feed"))
    feeds = tuple(
        _build(Feed, entry, f"{path.name}: [[feed]] number {number}")
        for number, entry in enumerate(_list(tables, "feed", path), start=1)
    )
    in_order = tuple(sorted(feeds, key=lambda feed: feed.at_km))
    return _build(Day, _table(tables, "day", path), f"{path.name}: [day]", nested={"feeds": in_order})


def read_pantry(path: Path | None) -> Pantry:
    """Return the pantry of a TOML file with [[item]] and [[container]] entries.

    A file without any [[item]] keeps the default foods, one without [[container]] the default
    bottles and pockets.

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Pantry()
    tables = _read_tables(path, ("item", "container"))
    parts: dict[str, Any] = {}
    for key, cls in (("item", Item), ("container", Container)):
        entries = _list(tables, key, path)
        if entries:
            parts[f"{key}s"] = tuple(
                _build(cls, entry, f"{path.name}: [[{key}]] {entry.get('name', f'number {number}')!r}")
                for number, entry in enumerate(entries, start=1)
            )
    try:
        return Pantry(**parts)
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: {fault}") from None


def _read_tables(path: Path, allowed: tuple[str, ...]) -> Mapping[str, Any]:
    try:
        tables = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as fault:
        raise SettingsError(
            f"{path}: cannot be read ({fault.strerror}); name a TOML file that is there"
        ) from None
    except UnicodeDecodeError:
        raise SettingsError(f"{path.name}: is not UTF-8 text; save it as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise SettingsError(f"{path.name}: is not valid TOML: {fault}; mend that line") from None
    for name in tables:
        if name not in allowed:
            raise SettingsError(_unknown(f"{path.name}:", f"[{name}]", name, allowed))
    return tables


def _table(tables: Mapping[str, Any], name: str, path: Path) -> Mapping[str, Any]:
    table = tables.get(name, {})
    if not isinstance(table, dict):
        raise SettingsError(f"{path.name}: {name} is {table!r}; allowed is a table; write [{name}]")
    return table


def _list(tables: Mapping[str, Any], name: str, path: Path) -> list[Mapping[str, Any]]:
    entries = tables.get(name, [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise SettingsError(
            f"{path.name}: {name} is not a list of tables; write [[{name}]] with two brackets for each one"
        )
    return entries


def _build(
    cls: type[Settings], table: Mapping[str, Any], where: str, nested: Mapping[str, Any] | None = None
) -> Settings:
    """Return an instance of a settings dataclass from a TOML table, or say what is wrong and where."""
    hints = get_type_hints(cls)
    settings = {field.name: field for field in fields(cls) if field.name not in NESTED}  # type: ignore[arg-type]
    values: dict[str, Any] = dict(nested or {})
    for key, value in table.items():
        if key not in settings:
            raise SettingsError(_unknown(where, key, key, tuple(settings)))
        try:
            values[key] = _coerce(value, hints[key])
        except (TypeError, ValueError, OverflowError):
            raise SettingsError(
                f"{where} {key} is {value!r}; allowed is {_kind_text(hints[key])},"
                f" {allowed_text(settings[key])}; correct it"
            ) from None
    try:
        return cls(**values)
    except SettingsError as fault:
        raise SettingsError(f"{where} {fault}") from None
    except TypeError:
        raise SettingsError(f"{where} has no name; every entry needs one; add name = ...") from None


def _unknown(where: str, shown: str, name: str, allowed: tuple[str, ...]) -> str:
    close = difflib.get_close_matches(name, allowed, n=1)
    advice = f"did you mean {close[0]}?" if close else "remove it"
    return f"{where} {shown} is not a setting; allowed are {', '.join(allowed)}; {advice}"


def _coerce(value: Any, hint: Any) -> Any:
    """Return a TOML value as the field's type; ValueError or TypeError when it is another kind."""
    if hint is bool or hint is str:
        if not isinstance(value, hint):
            raise TypeError
        return value
    if hint is datetime:
        return datetime.fromisoformat(value) if isinstance(value, str) else _instant(value)
    if hint == tuple[str, ...]:
        if not isinstance(value, list) or not all(isinstance(word, str) for word in value):
            raise TypeError
        return tuple(value)
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise TypeError
    if hint is int:
        if value != int(value):
            raise ValueError
        return int(value)
    return float(value)


def _instant(value: Any) -> datetime:
    if not isinstance(value, datetime):
        raise TypeError
    return value


def _kind_text(hint: Any) -> str:
    words = {
        bool: "true or false",
        str: "text in quotes",
        int: "a whole number",
        datetime: "a date and time with its offset",
        tuple[str, ...]: "a list of names",
    }
    return words.get(hint, "a number")


def _number(value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= 10:
        raise SettingsError(f"{where} is {value!r}; allowed is a weight from 0 (off) to 10; correct it")
    return float(value)
