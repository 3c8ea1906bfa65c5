"""Settings fields that know their unit and what is allowed, so that every reader says the same."""

from collections.abc import Iterable
from dataclasses import MISSING, Field, field, fields
from typing import Any, get_origin

from terrain_fuel.errors import SettingsError

COMMON_PRACTICE = "common practice (no source)"


def ranged(
    default: Any, low: float, high: float, unit: str, *, meaning: str = "", source: str = COMMON_PRACTICE
) -> Any:
    """Return a dataclass field for a number that must lie in [low, high].

    ``default`` may be None for a setting the rider may leave open; None is then allowed. ``meaning``
    says what the setting is, ``source`` where its default or its range comes from.
    """
    about = {"meaning": meaning, "source": source}
    return field(default=default, metadata={"low": low, "high": high, "unit": unit, **about})


def one_of(default: Any, allowed: Iterable[str], *, meaning: str = "", source: str = COMMON_PRACTICE) -> Any:
    """Return a dataclass field for a word that must be one of ``allowed``."""
    return field(default=default, metadata={"allowed": tuple(allowed), "meaning": meaning, "source": source})


def told(default: Any = MISSING, *, meaning: str, source: str = COMMON_PRACTICE) -> Any:
    """Return a dataclass field for text, a switch or a time, which its own class checks."""
    return field(default=default, metadata={"meaning": meaning, "source": source})


def allowed_text(setting: "Field[Any]") -> str:
    """Return what a field made by `ranged` or `one_of` allows, for a message."""
    meta = setting.metadata
    if "allowed" in meta:
        return "one of " + ", ".join(meta["allowed"])
    if "low" in meta:
        return f"{meta['low']:.10g} to {meta['high']:.10g} {meta['unit']}".rstrip()
    return "see terrain-fuel settings"


def within_range(owner: Any, name: str, value: float) -> Any:
    """Return a value, or the next that a ranged field of ``owner`` (or of its class) allows."""
    meta = {setting.name: setting.metadata for setting in fields(owner)}[name]
    return min(max(value, meta["low"]), meta["high"])


PLAIN = {bool: "true or false", str: "text"}
"""Types that a setting has or has not; a text for a yes would otherwise count as one."""


def check_fields(owner: Any) -> None:
    """Check every field of a settings dataclass: its type and its range; lists become tuples.

    Raises
    ------
    SettingsError
        Naming the field, its value and what is allowed.
    """
    for setting in fields(owner):
        value = getattr(owner, setting.name)
        meta = setting.metadata
        if isinstance(value, list) and get_origin(setting.type) is tuple:
            object.__setattr__(owner, setting.name, tuple(value))
        for kind, allowed in PLAIN.items():
            if setting.type is kind and not isinstance(value, kind):
                raise SettingsError(f"{setting.name} is {value!r}; allowed is {allowed}; correct it")
        if "allowed" in meta and value not in meta["allowed"]:
            raise SettingsError(
                f"{setting.name} is {value!r}; allowed is {allowed_text(setting)}; correct it"
            )
        if "low" in meta and not _in_range(value, setting):
            raise SettingsError(
                f"{setting.name} is {value!r}; allowed is {allowed_text(setting)}; correct it"
            )


def _in_range(value: Any, setting: "Field[Any]") -> bool:
    if value is None:
        return setting.default is None
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return False
    return bool(  # false of what is no number; a whole one of 400 digits, which no float holds, compares too
        setting.metadata["low"] <= value <= setting.metadata["high"]
    )
