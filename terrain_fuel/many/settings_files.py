"""Settings as the files that say them: the single command draws the same bytes under these."""

from dataclasses import asdict
from datetime import datetime
from functools import lru_cache
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
        "day": {"feed": list(when.pop("feeds")), "fill": list(when.pop("fills")), "day": when},
    }
    texts = {name: tomlkit.dumps(_as_toml(each)) for name, each in tables.items()}
    return {
        f"{name}.toml": text.encode() for name, text in (*texts.items(), ("pantry", _pantry_text(pantry)))
    }


@lru_cache(maxsize=64)
def _pantry_text(pantry: Pantry) -> str:
    """Return pantry.toml; a team eats out of few kitchens."""
    whole = asdict(pantry)
    return tomlkit.dumps(_as_toml({"item": list(whole["items"]), "container": list(whole["containers"])}))


def _as_toml(value: Any) -> Any:
    """Return a value as TOML has it: what is left open is left out."""
    if isinstance(value, dict):
        return {key: _as_toml(each) for key, each in value.items() if each is not None and each != []}
    if isinstance(value, datetime):
        return value.isoformat()
    return [_as_toml(each) for each in value] if isinstance(value, list | tuple) else value
