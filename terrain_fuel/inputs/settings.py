"""Settings files (TOML) into the rider, the pantry and the day; every fault is named with its place."""

from pathlib import Path
from typing import Any

from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.toml_tables import build_settings, list_of_tables, one_table, read_tables
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.rider import Bike, Habits, Rider
from terrain_fuel.rules.book import MOST_WEIGHT, weights_for


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
    tables = read_tables(path, ("rider", "bike", "habits", "rules"))
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
        raise SettingsError(f"{path.name}: {fault}") from None
    return rider


def read_day(path: Path | None) -> Day:
    """Return the day of a TOML file with a table [day] and any number of [[feed]] and [[fill]].

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return Day()
    tables = read_tables(path, ("day", "feed", "fill"))
    feeds = tuple(
        build_settings(Feed, entry, f"{path.name}: [[feed]] number {number}")
        for number, entry in enumerate(list_of_tables(tables, "feed", path), start=1)
    )
    fills = tuple(
        build_settings(Fill, entry, f"{path.name}: [[fill]] number {number}")
        for number, entry in enumerate(list_of_tables(tables, "fill", path), start=1)
    )
    in_order = tuple(sorted(feeds, key=lambda feed: feed.at_km))
    return build_settings(
        Day, one_table(tables, "day", path), f"{path.name}: [day]", nested={"feeds": in_order, "fills": fills}
    )


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
    tables = read_tables(path, ("item", "container"))
    parts: dict[str, Any] = {}
    for key, cls in (("item", Item), ("container", Container)):
        entries = list_of_tables(tables, key, path)
        if entries:
            parts[f"{key}s"] = tuple(
                build_settings(
                    cls, entry, f"{path.name}: [[{key}]] {entry.get('name', f'number {number}')!r}"
                )
                for number, entry in enumerate(entries, start=1)
            )
    try:
        return Pantry(**parts)
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: {fault}") from None


def _weight(value: Any, where: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise SettingsError(
            f"{where} is {value!r}; allowed is a weight from 0 (off) to {MOST_WEIGHT:g}; correct it"
        )
    return float(value)
