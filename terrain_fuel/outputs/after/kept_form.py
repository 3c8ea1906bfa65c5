"""What a filled-in form holds that the page does not ask for: it is written again as it was."""

from collections.abc import Collection
from dataclasses import asdict
from typing import Any

import tomlkit

from terrain_fuel.after_keys import LINE
from terrain_fuel.review.after import After


def kept_form(after: After | None, asked: Collection[str], ticked: Collection[int]) -> tuple[str, str]:
    """Return the lines of [after] and the tables of after.toml that no field of the page stands for.

    Parameters
    ----------
    after : the form as it was given, None without
    asked : keys that the page has a field for
    ticked : numbers of the bites that the page asks for
    """
    if after is None:
        return "", ""
    values: dict[str, Any] = {f"{LINE}{number}": line for number, line in enumerate(after.lines, 1)}
    values |= {"passed_ml": after.passed_ml, "bedtime": after.bedtime, "ready": list(after.ready)}
    said = {**after.left, **{key: value for key, value in values.items() if value}}
    lines = {key: value for key, value in said.items() if key not in asked}
    tables = {
        "bite": [bite for bite in after.bites if bite.number not in ticked],
        "ate": after.ate,
        "lost": after.lost,
    }
    many = {name: [_said(entry) for entry in entries] for name, entries in tables.items() if entries}
    return tomlkit.dumps(lines), tomlkit.dumps(many)


def _said(entry: Any) -> dict[str, Any]:
    return {key: value for key, value in asdict(entry).items() if value is not None}
