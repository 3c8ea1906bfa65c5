"""All rides of this user: where they are kept, which there are, and putting one more beside them."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from terrain_fuel.errors import OutputError, SettingsError
from terrain_fuel.rides.durable import held, settle, write_durably
from terrain_fuel.rides.ride_folder import NAME, ROUTE, SETTINGS, TILES
from terrain_fuel.rides.steps import open_steps
from terrain_fuel.rides.texts import text_bytes
from terrain_fuel.text import PATH_LETTERS, plain_text

ASIDE = ".new-"
MOST_RIDES = 1000


def rides_on(shelf: Path) -> tuple[Path, ...]:
    """Return the folders of all rides, the one put there last first."""
    numbers = sorted(_numbers(shelf), reverse=True)
    return tuple(shelf / f"ride-{number}" for number in numbers)


def put_on(
    shelf: Path, name: str, route: bytes, texts: Mapping[str, str], tiles: tuple[Path, ...] = ()
) -> Path:
    """Put a new ride on the shelf, whole or not at all, and return its folder.

    Parameters
    ----------
    shelf : the folder of all rides, made when it is not there
    name : what the ride is called
    route : the route file as it came
    texts : of settings files by name, "rider" and so on
    tiles : elevation tiles that lie under the route, copied

    Raises
    ------
    OutputError
        If it cannot be written.
    SettingsError
        If there are too many rides already.
    """
    try:
        shelf.mkdir(parents=True, exist_ok=True, mode=0o700)
        with held(shelf / ".lock"):
            return _placed(shelf, name, route, texts, tiles)
    except OSError as fault:
        raise OutputError(
            f"{plain_text(str(shelf), PATH_LETTERS)}: cannot be written ({fault.strerror}); make room, or let"
            " yourself write there"
        ) from None


def _placed(shelf: Path, name: str, route: bytes, texts: Mapping[str, str], tiles: tuple[Path, ...]) -> Path:
    numbers = _numbers(shelf)
    if len(numbers) >= MOST_RIDES:
        raise SettingsError(
            f"there are {len(numbers)} rides in {plain_text(str(shelf), PATH_LETTERS)}; take some away first"
        )
    for left in shelf.glob(f"{ASIDE}*"):
        shutil.rmtree(left, ignore_errors=True)
    aside = Path(tempfile.mkdtemp(prefix=ASIDE, dir=shelf))
    try:
        write_durably(aside / ROUTE, route)
        write_durably(aside / NAME, f"{name}\n".encode("utf-8", "replace"))
        for file in SETTINGS:
            if file in texts:
                write_durably(aside / f"{file}.toml", text_bytes(texts[file]))
        if tiles:
            (aside / TILES).mkdir()
            for tile in tiles:
                shutil.copyfile(tile, aside / TILES / tile.name)
        open_steps(aside)
        place = shelf / f"ride-{max(numbers, default=0) + 1}"
        os.rename(aside, place)
    except BaseException:
        with suppress(OSError):
            shutil.rmtree(aside)
        raise
    settle(shelf)
    return place


def _numbers(shelf: Path) -> list[int]:
    names = [path.name.removeprefix("ride-") for path in shelf.glob("ride-*") if path.is_dir()]
    return [int(name) for name in names if name.isascii() and name.isdigit() and len(name) < 10]
