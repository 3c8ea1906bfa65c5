"""TOML tables into settings dataclasses; every fault is named with its file, its table and its key."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from datetime import date, datetime, time
from functools import cache
from pathlib import Path
from types import UnionType
from typing import Any, Literal, TypeVar, get_args, get_origin, get_type_hints

from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.file_kinds import SETTINGS, other_kind
from terrain_fuel.inputs.setting_hints import number_hint, probably_meant, toml_hint
from terrain_fuel.ranges import allowed_text
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rider import Bike, Habits, Rider
from terrain_fuel.text import plain_values

Settings = TypeVar("Settings")

LARGEST_BYTES = 1_000_000
MOST_ENTRIES = 1000
"""Of tables in two brackets; what is weighed against each other has a smaller number of its own."""

TABLES = {
    "rider": ("rider", "bike", "habits", "rules"),
    "pantry": ("extend", "item", "container"),
    "day": ("day", "feed", "fill"),
    "pins": ("eat_here", "no_food", "only_in_last_hour", "swap"),
}
"""The tables of each settings file; ``extend`` is a line at the top of its own."""

LISTED = ("item", "container", "feed", "fill", "eat_here", "no_food", "only_in_last_hour", "swap")
"""Tables of which there may be many, in two brackets."""

DEEP_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){16}""")
"""A key of more than sixteen names joined by dots: reading one takes time that grows with their square."""

NESTED = ("bike", "habits", "rule_weights", "feeds", "fills")
"""Fields that have a table of their own in the file."""


def read_tables(path: Path, allowed: tuple[str, ...]) -> Mapping[str, Any]:
    """Return the tables of a TOML file, all of them among ``allowed``, or say what is wrong with it."""
    data = read_regular(path, LARGEST_BYTES, SettingsError, "a TOML file", "leave out what is not needed")
    try:
        text = data.decode("utf-8-sig")
        if DEEP_KEY.search(text):
            raise RecursionError
        tables: Mapping[str, Any] = plain_values(tomllib.loads(text))
    except UnicodeDecodeError:
        _refuse_other_kinds(data, path)
        raise SettingsError(f"{path.name}: is not UTF-8 text; save it as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        _refuse_other_kinds(data, path)
        hint = toml_hint(str(fault), data.decode("utf-8-sig"))
        raise SettingsError(f"{path.name}: is not valid TOML: {fault}; {hint}") from None
    except RecursionError:
        raise SettingsError(
            f"{path.name}: is nested too deep; settings are tables of single values"
        ) from None
    except ValueError:  # more digits than Python turns into a number
        raise SettingsError(f"{path.name}: holds a number of thousands of digits; correct it") from None
    for name, value in tables.items():
        if name not in allowed:
            if not isinstance(value, (dict, list)):
                raise SettingsError(f"{path.name}: {_above_tables(name, allowed)}")
            elsewhere = {table: f"{file}.toml" for file, tables in TABLES.items() for table in tables}
            raise SettingsError(_unknown(f"{path.name}:", f"[{name}]", name, allowed, elsewhere))
    return tables


def _refuse_other_kinds(data: bytes, path: Path) -> None:
    """Refuse what is plainly something else than a settings file, damaged or not."""
    kind = other_kind(data, SETTINGS)
    if kind is not None:
        raise SettingsError(
            f"{path.name}: is {kind.called}, not settings; a settings file is TOML text, such as"
            " `terrain-fuel init` writes; name that"
        )


def one_table(tables: Mapping[str, Any], name: str, path: Path) -> Mapping[str, Any]:
    """Return the table written [name], empty when it is not there."""
    table = tables.get(name, {})
    if not isinstance(table, dict):
        raise SettingsError(f"{path.name}: {name} is {table!r}; allowed is a table; write [{name}]")
    return table


def list_of_tables(
    tables: Mapping[str, Any], name: str, path: Path, most: int = MOST_ENTRIES
) -> list[Mapping[str, Any]]:
    """Return the tables written [[name]], none when there are none, and no more than a plan can weigh."""
    entries = tables.get(name, [])
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise SettingsError(
            f"{path.name}: {name} is not a list of tables; write [[{name}]] with two brackets for each one"
        )
    if len(entries) > most:
        raise SettingsError(
            f"{path.name}: [[{name}]] stands there {len(entries)} times; allowed are {most}; leave some out",
            fact("refused_too_many", count=len(entries), most=most),
        )
    return entries


def build_settings(
    cls: type[Settings], table: Mapping[str, Any], where: str, nested: Mapping[str, Any] | None = None
) -> Settings:
    """Return an instance of a settings dataclass from a TOML table, or say what is wrong and where."""
    hints = _hints(cls)  # type: ignore[arg-type]
    settings = {field.name: field for field in fields(cls) if field.name not in NESTED}  # type: ignore[arg-type]
    values: dict[str, Any] = dict(nested or {})
    for key, value in table.items():
        if key not in settings:
            raise SettingsError(_unknown(where, key, key, tuple(settings), keys_elsewhere()))
        hint = hints[key]
        try:
            values[key] = _coerce(value, hint)
        except (TypeError, ValueError, OverflowError):
            unit = settings[key].metadata.get("unit", "")
            advice = number_hint(value, unit) if hint in (int, float) else "correct it"
            raise SettingsError(
                f"{where} {key} is {shown(value)}; allowed is {_kind_text(hint)},"
                f" {allowed_text(settings[key])}; {advice}"
            ) from None
    try:
        return cls(**values)
    except SettingsError as fault:
        raise SettingsError(f"{where} {fault}", fault.said) from None
    except TypeError:
        missing = [name for name, field in settings.items() if _is_required(field) and name not in values]
        raise SettingsError(f"{where} has no {missing[0]}; it needs one; add {missing[0]} = ...") from None


@cache
def _hints(cls: type) -> Mapping[str, Any]:
    """Return the types of a class's settings by key, worked out once: a kitchen asks for each item."""
    return {key: plain_type(hint) for key, hint in get_type_hints(cls).items()}


def _is_required(field: "Field[Any]") -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def keys_elsewhere() -> Mapping[str, str]:
    """Return the keys of which there is one each in all files, and where each stands."""
    return {"extend": "the first line of pantry.toml, above every table"} | {
        field.name: f"[{table}]"
        for table, owner in (("rider", Rider), ("bike", Bike), ("habits", Habits), ("day", Day))
        for field in fields(owner)
        if field.name not in NESTED
    }


def _unknown(
    where: str, shown: str, name: str, allowed: tuple[str, ...], elsewhere: Mapping[str, str]
) -> str:
    advice = probably_meant(name, allowed, elsewhere)
    return f"{where} {shown} is not a setting; allowed are {', '.join(allowed)}; {advice}"


def _above_tables(name: str, tables: tuple[str, ...]) -> str:
    """Return what is wrong with a key that stands in no table, and which it belongs into."""
    here = {key: table for key, table in keys_elsewhere().items() if table.strip("[]") in tables}
    advice = probably_meant(name, (), here)
    if not here or name.casefold() in tables or advice == "remove it":
        advice = "write it below the line of its table, one of " + ", ".join(
            f"[[{table}]]" if table in LISTED else f"[{table}]" for table in tables if table != "extend"
        )
    return f"{name} stands above every table; {advice}"


def plain_type(hint: Any) -> Any:
    """Return the type that a setting has in TOML: no None, and a word from a list is text."""
    if get_origin(hint) is Literal:
        return str
    kinds = [kind for kind in get_args(hint) if kind is not type(None)]
    return kinds[0] if isinstance(hint, UnionType) else hint


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


def shown(value: Any) -> str:
    """Return a value as the rider wrote it, for a message."""
    return str(value) if isinstance(value, (date, time)) else repr(value)


def _kind_text(hint: Any) -> str:
    words = {
        bool: "true or false",
        str: "text in quotes",
        int: "a whole number",
        datetime: "a date and time with its offset",
        tuple[str, ...]: "a list of names",
    }
    return words.get(hint, "a number")
