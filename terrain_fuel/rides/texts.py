"""The texts of settings files: read within bounds, every byte kept whatever it is."""

from collections.abc import Mapping
from pathlib import Path

from terrain_fuel.errors import SettingsError
from terrain_fuel.inputs.toml_tables import LARGEST_BYTES
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rides.ride_folder import SETTINGS, settings_path

Texts = Mapping[str, str | None]
"""Text of each settings file by its name, None where there is no such file."""


def read_text(path: Path) -> str:
    """Return the text of a settings file.

    Raises
    ------
    SettingsError
        If it is no file, too large, or cannot be read.
    """
    data = read_regular(path, LARGEST_BYTES, SettingsError, "a TOML file", "leave out what is not needed")
    return data.decode("utf-8", "surrogateescape")


def read_texts(folder: Path) -> dict[str, str | None]:
    """Return the texts of all settings files of a ride's folder; raises like `read_text`."""
    paths = {name: settings_path(folder, name) for name in SETTINGS}
    return {name: None if path is None else read_text(path) for name, path in paths.items()}


def text_bytes(text: str) -> bytes:
    """Return the bytes that a text was read from."""
    return text.encode("utf-8", "surrogateescape")
