"""What a ride's folder holds, and reading it: by the page and by the command line alike."""

from dataclasses import dataclass
from datetime import tzinfo
from pathlib import Path

from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError, TrackError
from terrain_fuel.food.pins import Pin
from terrain_fuel.inputs.pins import read_pins
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.pantry import Pantry
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rider import Rider
from terrain_fuel.text import PATH_LETTERS, plain_text
from terrain_fuel.what_stands import is_file, is_folder, is_there

ROUTE = "route.gpx"
TILES = "tiles"
PLACES = "places.osm.pbf"
NAME = "name.txt"
TRACK = "track.txt"
"""Which of several tracks of the route file is the ride, by its number; not there where it has but one."""

MOST_NAME_BYTES = 10_000
SETTINGS = ("rider", "pantry", "day", "pins")
"""Settings files by the name before their ``.toml``."""


@dataclass(frozen=True, slots=True)
class RideSettings:
    """What a ride's settings files say."""

    rider: Rider
    pantry: Pantry
    day: Day
    pins: tuple[Pin, ...]


def route_path(folder: Path) -> Path:
    """Return the route in a ride's folder, whatever its format.

    Raises
    ------
    TrackError
        For a folder without one, such as one that holds nothing but settings.
    """
    path = folder / ROUTE
    if not is_file(path):
        raise TrackError(
            f"{plain_text(str(folder), PATH_LETTERS)}: holds no {ROUTE}; copy your route into it under that"
            " name, whatever its format, or give the route itself"
        )
    return path


def settings_path(folder: Path, name: str) -> Path | None:
    """Return a settings file of a ride's folder, None where it has none: then the defaults serve."""
    path = folder / f"{name}.toml"
    return path if is_there(path) else None


def ride_name(folder: Path) -> str:
    """Return what a ride is called: its route's name as it was kept, else its folder's."""
    try:
        kept = read_regular(folder / NAME, MOST_NAME_BYTES, SettingsError, "a name", "shorten it")
    except SettingsError:
        kept = b""
    return plain_text(kept.decode("utf-8", "replace")) or plain_text(folder.name)


def kept_track(folder: Path) -> str | None:
    """Return the number of the track that is the ride, None where the route has but one."""
    try:
        kept = read_regular(folder / TRACK, MOST_NAME_BYTES, SettingsError, "a number", "shorten it")
    except SettingsError:
        return None
    return plain_text(kept.decode("utf-8", "replace")) or None


def tiles_folder(folder: Path) -> Path | None:
    """Return the elevation tiles that a ride's folder brings, None where it brings none."""
    path = folder / TILES
    return path if is_folder(path) else None


def map_extract(folder: Path, day: Day) -> Path | None:
    """Return the extract of the map that a ride's day names, or its folder brings; None without either."""
    if day.map_extract:
        return folder / day.map_extract
    path = folder / PLACES
    return path if is_file(path) else None


def read_settings(folder: Path, zone: tzinfo) -> RideSettings:
    """Return what the settings files in a folder say; ``zone`` is the time zone in which the road starts.

    Raises
    ------
    SettingsError
        For an unreadable file, an unknown key or an impossible value.
    """
    return RideSettings(
        read_rider(settings_path(folder, "rider")),
        read_pantry(settings_path(folder, "pantry")),
        read_day(settings_path(folder, "day"), zone),
        read_pins(settings_path(folder, "pins")),
    )
