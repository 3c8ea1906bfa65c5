"""What the page is told of a fault, in whose words: a sentence without a path and without a traceback."""

import re
import sys
from pathlib import Path

from terrain_fuel.errors import OutputError, TerrainFuelError
from terrain_fuel.inputs.settings import read_rider
from terrain_fuel.inputs.settings_book import all_settings
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.page.shown import range_text
from terrain_fuel.rider import Rider
from terrain_fuel.user_folders import user_data_folder

_SETTING = re.compile(r"(\w+)\.toml: \[+(\w+)\]+(?: number \d+| '[^']*')? (\w+) is (.+?); (.+)", re.DOTALL)
"""A message of the settings' readers: file, table, key, value, and what is to be done."""

_PATH = re.compile(r"(?:[A-Za-z]:)?(?:[/\\][^/\\\s:'\"]+)+[/\\]")


def told_of(fault: Exception, words: Words) -> str:
    """Return what the page says of a fault; the terminal is told of one that nobody foresaw.

    Where the fault knows how it is said without names of files, keys and options, it is said so.
    """
    if isinstance(fault, OutputError):
        return words.label("table.fault.unwritable")
    if isinstance(fault, TerrainFuelError):
        if fault.said is not None:
            return words.say(fault.said)
        named = _SETTING.fullmatch(str(fault))
        if named:
            return _of_setting(named, words)
        return _PATH.sub("", str(fault).replace(_home(), ""))
    print(f"terrain-fuel: unforeseen: {type(fault).__name__}: {fault}", file=sys.stderr)  # noqa: T201
    return words.label("table.fault.unforeseen")


def words_of(rider: Path | None) -> Words:
    """Return the words that a rider file asks for, the usual ones where it cannot be read."""
    try:
        return words_for(read_rider(rider))
    except TerrainFuelError:
        return words_for(Rider())


def _of_setting(named: re.Match[str], words: Words) -> str:
    """Return what is wrong with a setting by what its field is called, not by its place in a file."""
    file, table, key, value, rest = named.groups()
    setting = next((s for s in all_settings() if (s.file, s.table, s.key) == (file, table, key)), None)
    label = words.language.labels.get(f"setting.{table}.{key}", key)
    allowed = "" if setting is None else range_text(setting, words)
    if allowed and rest.startswith("allowed is "):
        return words.label("table.fault.range", name=label, value=_read(value, words), range=allowed)
    return words.label("table.fault.setting", name=label, rest=f"{value}; {rest}")


def _read(value: str, words: Words) -> str:
    """Return a value of a message as it was typed: "much", 72,5."""
    try:
        return words.number(float(value), "g")
    except ValueError:
        return value.strip("'\"")


def _home() -> str:
    """Return the folder of the rider's own data, which may hold spaces that end a path in a sentence."""
    try:
        return str(user_data_folder())
    except RuntimeError:
        return "\0"
