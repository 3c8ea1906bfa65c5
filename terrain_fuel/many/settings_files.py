"""Settings as the files that say them: the single command draws the same bytes under these."""

from dataclasses import asdict
from datetime import datetime
from typing import Any

import tomlkit

from terrain_fuel.day import Day
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider


def settings_files(rider: Rider, pantry: Pantry, day: Day) -> dict[str, bytes]:
    """Return file name to content of rider.toml, pantry.toml and day.toml, every number whole."""
    who, when = asdict(rider), asdict(day)
    rules = dict(who.pop("rule_weights"))
    tables = {
        "rider": {"bike": who.pop("bike"), "habits": who.pop("habits"), "rider": who, "rules": rules},
        "pantry": {"item": list(asdict(pantry)["items"]), "container": list(asdict(pantry)["containers"])},
        "day": {"feed": list(when.pop("feeds")), "fill": list(when.pop("fills")), "day": when},
    }
    return {f"{name}.toml": tomlkit.dumps(_as_toml(each)).encode() for name, each in tables.items()}


def _as_toml(value: Any) -> Any:
    """Return a value as TOML has it: what is left open is left out."""
    if isinstance(value, dict):
        return {key: _as_toml(each) for key, each in value.items() if each is not None and each != []}
    if isinstance(value, datetime):
        return value.isoformat()
    return [_as_toml(each) for each in value] if isinstance(value, list | tuple) else value
