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
    texts = {"rider": _rider_text(rider), "day": _day_text(day), "pantry": _pantry_text(pantry)}
    return {f"{name}.toml": text.encode() for name, text in texts.items()}


@lru_cache(maxsize=64)
def _rider_text(rider: Rider) -> str:
    """Return rider.toml; a rider of a team comes again on every stage."""
    who = asdict(rider)
    rules = dict(who.pop("rule_weights"))
    return tomlkit.dumps(
        _as_toml({"bike": who.pop("bike"), "habits": who.pop("habits"), "rider": who, "rules": rules})
    )


@lru_cache(maxsize=64)
def _day_text(day: Day) -> str:
    """Return day.toml; whoever rides alone has the stage's."""
    when = asdict(day)
    return tomlkit.dumps(
        _as_toml({"feed": list(when.pop("feeds")), "fill": list(when.pop("fills")), "day": when})
    )


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
