"""Every setting there is, with what it means, as the settings' own classes tell it."""

from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass, fields
from datetime import datetime
from functools import cache
from typing import Any, get_type_hints

import tomlkit

from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.pins import PIN_TABLES
from terrain_fuel.inputs.toml_tables import NESTED, plain_type
from terrain_fuel.pantry import Container, Item
from terrain_fuel.rider import Bike, Habits, Rider

SETTINGS_TABLES: Mapping[str, Mapping[str, type]] = {
    "rider": {"rider": Rider, "bike": Bike, "habits": Habits},
    "pantry": {"item": Item, "container": Container},
    "day": {"day": Day, "feed": Feed, "fill": Fill},
    "pins": PIN_TABLES,
}
"""File to table to class. Tables written [[so]] may come many times; those of `SINGLE_TABLES` once."""

SINGLE_TABLES = ("rider", "bike", "habits", "rules", "day")

KINDS: Mapping[Any, str] = {
    bool: "switch", str: "text", int: "whole", float: "number", datetime: "time", tuple[str, ...]: "names"
}  # fmt: skip


_ALLOWED: Mapping[str, str] = {
    "switch": "true or false",
    "time": '"08:30", or "2027-05-08 08:30"',
    "names": "a list of names",
    "whole": "a whole number",
}
"""What is allowed where no range and no list of words says it; any other kind is a text."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One key of a settings file.

    Parameters
    ----------
    file, table, key : where it stands, the file without its ending
    kind : "switch", "text", "word" (one of ``allowed``), "whole", "number", "time" or "names"
    default : None where the setting may be left open
    required : True where a table needs the key
    low, high, unit : range of a number; None and "" else
    allowed : words
    meaning : what it is, in a few words
    source : where its default or its range comes from
    """

    file: str
    table: str
    key: str
    kind: str
    default: Any
    required: bool
    low: float | None
    high: float | None
    unit: str
    allowed: tuple[str, ...]
    meaning: str
    source: str

    @property
    def many(self) -> bool:
        """True where the table may come many times."""
        return self.table not in SINGLE_TABLES

    @property
    def head(self) -> str:
        """The table as its file writes it."""
        return f"[[{self.table}]]" if self.many else f"[{self.table}]"

    @property
    def default_text(self) -> str:
        """The default as its file would write it."""
        if self.required:
            return "needed"
        return "left out" if self.default is None else toml_text(self.default)

    @property
    def range_text(self) -> str:
        """What is allowed, in words."""
        if self.allowed:
            return "one of " + ", ".join(self.allowed)
        if self.low is not None:
            return f"{self.low:.10g} to {self.high:.10g} {self.unit}".rstrip()
        return _ALLOWED.get(self.kind, "text")


@cache
def all_settings() -> tuple[Setting, ...]:
    """Return every setting, in the order of the files, their tables and their keys."""
    return tuple(
        setting
        for file, tables in SETTINGS_TABLES.items()
        for table, owner in tables.items()
        for setting in settings_of(file, table, owner)
    )


def settings_of(file: str, table: str, owner: Any) -> tuple[Setting, ...]:
    """Return the settings of one table from its class."""
    hints = get_type_hints(owner)
    return tuple(
        _setting(file, table, field, hints[field.name]) for field in fields(owner) if field.name not in NESTED
    )


def toml_text(value: Any) -> str:
    """Return a value as TOML writes it.

    >>> toml_text(("water",)), toml_text(False), toml_text("km"), toml_text(70.0)
    ('["water"]', 'false', '"km"', '70.0')
    """
    if hasattr(value, "isoformat"):
        value = value.isoformat()
    return str(tomlkit.item(list(value) if isinstance(value, tuple) else value).as_string())


def setting_of(file: str, table: str, key: str) -> Setting:
    """Return one setting.

    Raises
    ------
    SettingsError
        If there is none of that name.
    """
    for setting in all_settings():
        if (setting.file, setting.table, setting.key) == (file, table, key):
            return setting
    raise SettingsError(f"{file}.toml: [{table}] has no such setting; see terrain-fuel settings")


def _setting(file: str, table: str, field: "Field[Any]", hint: Any) -> Setting:
    meta = field.metadata
    allowed = meta.get("allowed", ())
    kind = "word" if allowed else KINDS[plain_type(hint)]
    # a start that is left out is tomorrow, not the one that the class names
    left_open = field.default is MISSING or kind == "time"
    return Setting(
        file=file,
        table=table,
        key=field.name,
        kind=kind,
        default=None if left_open else field.default,
        required=field.default is MISSING,
        low=meta.get("low"),
        high=meta.get("high"),
        unit=meta.get("unit", ""),
        allowed=tuple(allowed),
        meaning=meta.get("meaning", ""),
        source=meta.get("source", ""),
    )
