"""A rider's settings file changed key by key: comments, order and everything else stay as they are."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.errors import OutputError, SettingsError
from terrain_fuel.inputs.settings import read_rider
from terrain_fuel.inputs.toml_tables import LARGEST_BYTES
from terrain_fuel.regular_file import read_regular

_TABLE = re.compile(r"^\s*\[(?P<name>[^\[\]]+)\]\s*(#.*)?$")


@dataclass(frozen=True, slots=True)
class Change:
    """A setting to be changed: where it stands and its value as TOML writes it."""

    table: str
    key: str
    value: str


def changed_text(text: str, changes: Sequence[Change]) -> str:
    r"""Return the text of a settings file with values changed, or added to the end of their table.

    >>> print(changed_text("[bike]\ncda_m2 = 0.35  # hoods\n", [Change("bike", "cda_m2", "0.331")]), end="")
    [bike]
    cda_m2 = 0.331  # hoods
    """
    lines = text.splitlines()
    for change in changes:
        lines = _changed(lines, change)
    return "\n".join(lines) + "\n"


def change_rider_file(path: Path, changes: Sequence[Change]) -> None:
    """Change a rider's settings file in one step.

    Raises
    ------
    SettingsError
        If it cannot be read, or would not be readable afterwards; then it is as it was.
    OutputError
        If it cannot be written.
    """
    read_rider(path)
    data = read_regular(path, LARGEST_BYTES, SettingsError, "a TOML file", "leave out what is not needed")
    new = changed_text(data.decode("utf-8-sig"), changes)
    beside = path.with_name(f".{path.name}.new")
    try:
        try:
            beside.write_text(new, encoding="utf-8")
            read_rider(beside)
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as fault:
        raise OutputError(
            f"{path.name}: cannot be written ({fault.strerror}); check that you may write to its folder"
        ) from None
    except SettingsError as fault:
        raise SettingsError(f"{path.name}: would no longer be right ({fault}); nothing was changed") from None


def _changed(lines: list[str], change: Change) -> list[str]:
    """Return the lines with one value changed in its table, or added."""
    inside, end, table_seen = False, len(lines), False
    key = re.compile(rf"^(\s*{re.escape(change.key)}\s*=\s*)([^#]*?)(\s*(?:#.*)?)$")
    for number, line in enumerate(lines):
        head = _TABLE.match(line)
        if head or line.lstrip().startswith("[["):
            if inside:
                end = number
                break
            inside = head is not None and head["name"].strip() == change.table
            table_seen = table_seen or inside
        elif inside and (found := key.match(line)):
            return [*lines[:number], f"{found[1]}{change.value}{found[3]}", *lines[number + 1 :]]
    added = f"{change.key} = {change.value}"
    if not table_seen:
        return [*lines, "", f"[{change.table}]", added]
    while end > 0 and not lines[end - 1].strip():
        end -= 1
    return [*lines[:end], added, *lines[end:]]
