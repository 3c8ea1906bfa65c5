"""An event's file (TOML) into the event; every fault is named with its place."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import fields
from datetime import date, tzinfo
from pathlib import Path
from typing import Any, TypeVar

from terrain_fuel.errors import SettingsError
from terrain_fuel.event.check import check_event
from terrain_fuel.event.settings import Event, EventDay, FeedZone, Piece, Scenario, Variant, Wave
from terrain_fuel.event.spreads import Correlation, Field, Spread
from terrain_fuel.inputs.named_tables import refuse_unknown
from terrain_fuel.inputs.setting_hints import number_hint
from terrain_fuel.inputs.start_time import start_there
from terrain_fuel.inputs.toml_tables import build_settings, list_of_tables, one_table, read_tables

EVENT_TABLES = ("event", "field", "correlation", "scenario", "wave", "piece", "feed", "variant")
FIRST_WAVE = "08:00"
"""When all start of whose waves nothing is said: common practice (no source)."""

Entry = TypeVar("Entry")


def read_event(path: Path) -> Event:
    """Return the event of a TOML file.

    Parameters
    ----------
    path : a file with [event], [field] and any number of [[correlation]], [[scenario]], [[wave]],
        [[piece]], [[feed]] and [[variant]]

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key, an impossible value, or tables that contradict each other.
    """
    tables = read_tables(path, EVENT_TABLES)
    day = build_settings(EventDay, one_table(tables, "event", path), f"{path.name}: [event]")
    feeds = _entries(FeedZone, tables, "feed", path)
    if not feeds:
        raise SettingsError(
            f"{path.name}: has no [[feed]]; an event without one has nothing to count; add one"
        )
    event = Event(
        day=day,
        field=_field(one_table(tables, "field", path), f"{path.name}: [field]"),
        correlations=_entries(Correlation, tables, "correlation", path),
        scenarios=_entries(Scenario, tables, "scenario", path) or (Scenario("usual"),),
        waves=_entries(Wave, tables, "wave", path) or (Wave(FIRST_WAVE, day.riders),),
        pieces=_entries(Piece, tables, "piece", path),
        feeds=tuple(sorted(feeds, key=lambda feed: feed.at_km)),
        variants=_entries(Variant, tables, "variant", path),
    )
    with named_by(path):
        check_event(event)
    return event


@contextmanager
def named_by(path: Path) -> Iterator[None]:
    """Put the file's name before what is wrong with what stands in it.

    Raises
    ------
    SettingsError
        As it came, behind the name.
    """
    try:
        yield
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: {fault}") from None


def day_of(event: Event, zone: tzinfo) -> date:
    """Return the day of an event, tomorrow there if it says none.

    Raises
    ------
    SettingsError
        If what it says is no date.
    """
    said = event.day.date or None
    try:
        return start_there(said if said is None else date.fromisoformat(said), zone).date()
    except ValueError:
        raise SettingsError(
            f'[event] date is {said!r}; allowed is a day like "2027-06-19"; correct it'
        ) from None


def _entries(cls: type[Entry], tables: Mapping[str, Any], name: str, path: Path) -> tuple[Entry, ...]:
    return tuple(
        build_settings(cls, entry, f"{path.name}: [[{name}]] {entry.get('name', f'number {number}')!r}")
        for number, entry in enumerate(list_of_tables(tables, name, path), start=1)
    )


def _field(table: Mapping[str, Any], where: str) -> Field:
    settings = {each.name: each for each in fields(Field)}
    refuse_unknown(table, tuple(settings), where)
    spreads = {}
    for name, said in table.items():
        usual: Spread = getattr(Field(), name)
        spreads[name] = _spread(said, usual, settings[name].metadata, f"{where} {name}")
    return Field(**spreads)


def _spread(said: Any, usual: Spread, about: Mapping[str, Any], where: str) -> Spread:
    """Return a mean and a standard deviation; a number alone is the mean, the usual deviation stays."""
    told = said if isinstance(said, dict) else {"mean": said}
    for key in told:
        if key not in ("mean", "sd"):
            raise SettingsError(f"{where}: {key} is not a setting; allowed are mean and sd; correct it")
    widest = 0.5 * (about["high"] - about["low"])  # beyond, most of a field would stand at its bounds
    bounds = {"mean": (about["low"], about["high"]), "sd": (0.0, widest)}
    values = {}
    for key, (low, high) in bounds.items():
        value = told.get(key, getattr(usual, key))
        number = isinstance(value, (int, float)) and not isinstance(value, bool)
        if not number or not low <= value <= high:
            hint = number_hint(value, about["unit"]) if not number else "correct it"
            raise SettingsError(
                f"{where}: {key} is {value!r}; allowed is {low:g} to {high:g} {about['unit']}; {hint}"
            )
        values[key] = float(value)
    return Spread(**values)
