"""Settings files (TOML) into the rider, the pantry and the day; every fault is named with its place."""

from collections.abc import Mapping
from datetime import datetime, tzinfo
from pathlib import Path
from typing import Any

from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.start_time import start_there
from terrain_fuel.inputs.toml_tables import TABLES, build_settings, list_of_tables, one_table, read_tables
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.rider import Bike, Habits, Rider
from terrain_fuel.rules.book import MOST_WEIGHT, weights_for

MOST_KINDS = 250
"""Foods and drinks, bottles and pockets, each: more than a kitchen has, and each is tried at every place."""


def read_rider(path: Path | str | None) -> Rider:
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
    path = Path(path)
    return rider_of(read_tables(path, TABLES["rider"]), path)


def rider_of(tables: Mapping[str, Any], path: Path) -> Rider:
    """Return the rider of the tables [rider], [bike], [habits] and [rules]; ``path`` is named in messages."""
    bike = build_settings(Bike, one_table(tables, "bike", path), f"{path.name}: [bike]")
    habits = build_settings(Habits, one_table(tables, "habits", path), f"{path.name}: [habits]")
    weights = tuple(
        (name, _weight(value, f"{path.name}: [rules] {name}"))
        for name, value in sorted(one_table(tables, "rules", path).items())
    )
    rider = build_settings(
        Rider,
        one_table(tables, "rider", path),
        f"{path.name}: [rider]",
        nested={"bike": bike, "habits": habits, "rule_weights": weights},
    )
    try:
        weights_for(rider)
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: {fault}", fault.said) from None
    return rider


def read_day(path: Path | str | None, zone: tzinfo | None = None) -> Day:
    """Return the day of a TOML file with a table [day] and any number of [[feed]] and [[fill]].

    Parameters
    ----------
    path : path, or None for the documented defaults
    zone : the place's time zone: a start may then be a clock time there, and one left out is tomorrow; None
        asks for date, time and offset, and takes `Day`'s own start for one left out

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Day() if zone is None else Day(start=start_there(None, zone))
    path = Path(path)
    return day_of(read_tables(path, TABLES["day"]), path, zone)


def day_of(tables: Mapping[str, Any], path: Path, zone: tzinfo | None) -> Day:
    """Return the day of the tables [day], [[feed]] and [[fill]]; ``path`` is named in messages."""
    feeds = tuple(
        build_settings(Feed, entry, f"{path.name}: [[feed]] number {number}")
        for number, entry in enumerate(list_of_tables(tables, "feed", path), start=1)
    )
    fills = tuple(
        build_settings(Fill, entry, f"{path.name}: [[fill]] number {number}")
        for number, entry in enumerate(list_of_tables(tables, "fill", path), start=1)
    )
    in_order = tuple(sorted(feeds, key=lambda feed: feed.at_km))
    table, where = one_table(tables, "day", path), f"{path.name}: [day]"
    if zone is not None:
        table = {**table, "start": _start(table.get("start"), zone, where)}
    return build_settings(Day, table, where, nested={"feeds": in_order, "fills": fills})


def read_pantry(path: Path | str | None) -> Pantry:
    """Return the pantry of a TOML file with [[item]] and [[container]] entries.

    A file without any [[item]] keeps the default foods, one without [[container]] the default
    bottles and pockets. With ``extend = true`` at its top, what it has comes to the default ones, or
    takes the place of one of its name; ``extend = "item"`` does so for food only.

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Pantry()
    path = Path(path)
    tables = read_tables(path, TABLES["pantry"])
    extended = _extended(tables.get("extend", False), path)
    parts: dict[str, Any] = {}
    for key, cls in (("item", Item), ("container", Container)):
        entries = list_of_tables(tables, key, path, MOST_KINDS)
        if entries:
            parts[f"{key}s"] = tuple(
                build_settings(
                    cls, entry, f"{path.name}: [[{key}]] {entry.get('name', f'number {number}')!r}"
                )
                for number, entry in enumerate(entries, start=1)
            )
            if key in extended:
                parts[f"{key}s"] = _with_usual(parts[f"{key}s"], getattr(Pantry(), f"{key}s"))
    try:
        return Pantry(**parts)
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: {fault}", fault.said) from None


def _start(said: Any, zone: tzinfo, where: str) -> datetime:
    try:
        return start_there(said, zone)
    except SettingsError as fault:
        raise SettingsError(f"{where} {fault}", fault.said) from None
    except (TypeError, ValueError, OverflowError):
        raise SettingsError(
            f'{where} start is {said!r}; allowed is a clock time there ("08:30", tomorrow), a date, or both'
            ' ("2027-05-08 08:30"); correct it'
        ) from None


def _extended(value: Any, path: Path) -> tuple[str, ...]:
    """Return which of the pantry's lists keep their default entries."""
    if isinstance(value, bool):
        return ("item", "container") if value else ()
    if value in ("item", "container"):
        return (value,)
    raise SettingsError(
        f'{path.name}: extend is {value!r}; allowed are true, false, "item" and "container"; correct it'
    )


def _with_usual(own: tuple[Any, ...], usual: tuple[Any, ...]) -> tuple[Any, ...]:
    named = {each.name for each in own}
    return (*(each for each in usual if each.name not in named), *own)


def _weight(value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise SettingsError(
            f"{where} is {value!r}; allowed is a weight from 0 (off) to {MOST_WEIGHT:g}; correct it"
        )
    return float(value)
