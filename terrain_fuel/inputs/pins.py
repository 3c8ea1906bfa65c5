"""The pins file (TOML): what the rider has fixed and every replanning keeps."""

from pathlib import Path

from terrain_fuel.food.pins import EatHere, NoFood, OnlyInLastHour, Pin, Swap
from terrain_fuel.inputs.toml_tables import build_settings, list_of_tables, read_tables

PIN_TABLES: dict[str, type[Pin]] = {
    "eat_here": EatHere,
    "no_food": NoFood,
    "only_in_last_hour": OnlyInLastHour,
    "swap": Swap,
}


def read_pins(path: Path | None) -> tuple[Pin, ...]:
    """Return the pins of a TOML file, in the order of the tables above and of the file.

    Parameters
    ----------
    path : path, or None for no pins

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    if path is None:
        return ()
    tables = read_tables(path, tuple(PIN_TABLES))
    return tuple(
        build_settings(kind, entry, f"{path.name}: [[{name}]] number {number}")
        for name, kind in PIN_TABLES.items()
        for number, entry in enumerate(list_of_tables(tables, name, path), start=1)
    )
