"""The file after.toml: the form "After the ride", key by key as on the printed sheet."""

import re
from pathlib import Path
from typing import Any

from terrain_fuel.after_keys import BOTTLE, ITEM, LINE, SCALE, SCALES, numbered_keys
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.toml_tables import build_settings, list_of_tables, one_table, read_tables, shown
from terrain_fuel.pantry import Pantry
from terrain_fuel.review.after import After, Ate, Bite, Lost
from terrain_fuel.rider import CLOCK

_ALLOWED = (
    "A1 ... (bites left), B1 ... (ml left), C1 to C3 (0 to 10), D1, D2 (kg), D3 (text), E1 ... (text),"
    " ready, passed_ml, bedtime"
)
_MOST_BITES, _MOST_ML = 1000.0, 20_000.0
_SCALED = {key: asked for asked, key in numbered_keys(SCALE, SCALES).items()}


def read_after(path: Path | None, pantry: Pantry) -> After | None:
    """Return the filled-in form of a TOML file with [after], [[bite]], [[ate]] and [[lost]].

    Parameters
    ----------
    path : path, or None for nothing said
    pantry : whose items and bottles the keys count

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return None
    tables = read_tables(path, ("after", "bite", "ate", "lost"))
    table = one_table(tables, "after", path)
    where = f"{path.name}: [after]"
    items = numbered_keys(ITEM, [item.name for item in pantry.items]).values()
    bottles = numbered_keys(BOTTLE, [container.name for container in pantry.containers]).values()
    values: dict[str, Any] = {"left": {}, "lines": ()}
    for key, value in table.items():
        _take(values, key, value, where, tuple(items), tuple(bottles))
    many = {"bites": ("bite", Bite), "ate": ("ate", Ate), "lost": ("lost", Lost)}
    for name, (each, kind) in many.items():
        values[name] = tuple(
            build_settings(kind, entry, f"{path.name}: [[{each}]] number {number}")
            for number, entry in enumerate(list_of_tables(tables, each, path), start=1)
        )
    for eaten in values["ate"]:
        _named(pantry, eaten.item, path)
    for gone in values["lost"]:
        if gone.key not in bottles:
            raise SettingsError(
                f"{path.name}: [[lost]] key is {gone.key!r}; allowed is {_listed(bottles)}; correct it"
            )
    try:
        return After(**values)
    except SettingsError as fault:
        raise SettingsError(f"{where} {fault}") from None


def _take(
    values: dict[str, Any], key: str, value: Any, where: str, items: tuple[str, ...], bottles: tuple[str, ...]
) -> None:
    """Put one key of the form into its place."""
    if key in items or key in bottles:
        most = _MOST_BITES if key in items else _MOST_ML
        values["left"][key] = _number(value, f"{where} {key}", most)
    elif key in _SCALED:
        values[_SCALED[key]] = _number(value, f"{where} {key}", 10.0)
    elif key in ("D1", "D2"):
        values["before_kg" if key == "D1" else "after_kg"] = _number(value, f"{where} {key}", 300.0)
    elif key == "passed_ml":
        values[key] = _number(value, f"{where} {key}", 5000.0)
    elif key == "ready":
        values[key] = _keys(value, f"{where} ready", items)
    elif key == "D3":
        values["hard_at"] = _text(value, f"{where} {key}")
    elif key == "bedtime":
        values[key] = _clock(value, f"{where} {key}")
    elif re.fullmatch(rf"{LINE}\d{{1,2}}", key):
        values["lines"] = (*values["lines"], _text(value, f"{where} {key}"))
    else:
        raise SettingsError(f"{where} {key} is not a key of the form; allowed are {_ALLOWED}; remove it")


def _number(value: Any, where: str, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0.0 <= value <= most:
        raise SettingsError(f"{where} is {shown(value)}; allowed is 0 to {most:g}; correct it")
    return float(value)


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str):
        raise SettingsError(f"{where} is {shown(value)}; allowed is text in quotes; correct it")
    return value


def _clock(value: Any, where: str) -> str:
    if not isinstance(value, str) or not CLOCK.fullmatch(value):
        raise SettingsError(f'{where} is {shown(value)}; allowed is a time of day like "22:30"; correct it')
    return value


def _keys(value: Any, where: str, allowed: tuple[str, ...]) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(each in allowed for each in value):
        raise SettingsError(f"{where} is {shown(value)}; allowed is a list of {_listed(allowed)}; correct it")
    return tuple(value)


def _listed(keys: Any) -> str:
    keys = tuple(keys)
    return f"{keys[0]} to {keys[-1]}" if keys else "nothing: there is none"


def _named(pantry: Pantry, item: str, path: Path) -> None:
    try:
        pantry.item(item)
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: [[ate]] {fault}") from None
