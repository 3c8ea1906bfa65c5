"""All rides of this user: where they are kept, which there are, and putting one more beside them."""

import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from terrain_fuel.errors import OutputError, SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rides.durable import held, settle, write_durably
from terrain_fuel.rides.ride_folder import NAME, ROUTE, SETTINGS, TILES, TRACK
from terrain_fuel.rides.steps import open_steps
from terrain_fuel.rides.texts import text_bytes
from terrain_fuel.text import PATH_LETTERS, plain_text

ASIDE, GONE, LANGUAGE = ".new-", ".gone-", "language.txt"
MOST_LANGUAGE_BYTES = 100
MOST_RIDES = 1000
MOST_GONE = 10
"""Rides taken off the shelf that can be put back; those before them are deleted."""


def rides_on(shelf: Path) -> tuple[Path, ...]:
    """Return the folders of all rides, the one put there last first."""
    numbers = sorted(_numbers(shelf), reverse=True)
    return tuple(shelf / f"ride-{number}" for number in numbers)


def take_off(shelf: Path, folder: Path) -> None:
    """Take a ride off the shelf; it can be put back until so many others have been taken off after it.

    Raises
    ------
    SettingsError
        If it does not lie on the shelf: a folder of the rider's own is left alone.
    OutputError
        If the shelf cannot be written to.
    """
    if folder not in rides_on(shelf):
        raise SettingsError(
            "this ride lies in a folder of your own; delete it there if you want it gone",
            fact("refused_own_folder"),
        )
    with _writable(shelf), held(shelf / ".lock"):
        number = max((0, *gone_from(shelf))) + 1
        os.rename(folder, shelf / f"{GONE}{number}")
        for old in gone_from(shelf)[MOST_GONE:]:
            shutil.rmtree(shelf / f"{GONE}{old}")
        settle(shelf)


def gone_from(shelf: Path) -> tuple[int, ...]:
    """Return the numbers of the rides that can be put back, the one taken off last first."""
    return tuple(sorted(_numbers(shelf, GONE), reverse=True))


def put_back(shelf: Path, number: int) -> Path:
    """Put a ride that was taken off back on the shelf, as its newest, and return its folder.

    Raises
    ------
    SettingsError
        If there is none of that number.
    OutputError
        If the shelf cannot be written to.
    """
    with _writable(shelf), held(shelf / ".lock"):
        if number not in gone_from(shelf):
            raise SettingsError("there is no such ride to put back")
        place = shelf / f"ride-{max(_numbers(shelf), default=0) + 1}"
        os.rename(shelf / f"{GONE}{number}", place)
        settle(shelf)
        return place


def kept_language(shelf: Path) -> str | None:
    """Return the language that was chosen by hand last, None where none was."""
    try:
        kept = read_regular(shelf / LANGUAGE, MOST_LANGUAGE_BYTES, SettingsError, "a language", "shorten it")
    except SettingsError:
        return None
    code = kept.decode("ascii", "replace").strip()
    return code if code in LANGUAGES else None


def keep_language(shelf: Path, code: str) -> None:
    """Keep a language that was chosen by hand: it is that of whatever has no rider yet.

    Raises
    ------
    SettingsError
        If nothing is said in it.
    OutputError
        If the shelf cannot be written to.
    """
    if code not in LANGUAGES:
        raise SettingsError(f"language is {code!r}; allowed is {', '.join(LANGUAGES)}; choose one of them")
    with _writable(shelf):
        shelf.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_durably(shelf / LANGUAGE, f"{code}\n".encode())


def put_on(
    shelf: Path,
    name: str,
    route: bytes,
    texts: Mapping[str, str],
    tiles: tuple[Path, ...] = (),
    track: str | None = None,
) -> Path:
    """Put a new ride on the shelf, whole or not at all, and return its folder.

    Parameters
    ----------
    shelf : the folder of all rides, made when it is not there
    name : what the ride is called
    route : the route file as it came
    texts : of settings files by name, "rider" and so on
    tiles : elevation tiles that lie under the route, copied
    track : which of several tracks of the route is the ride, None where it has but one

    Raises
    ------
    OutputError
        If it cannot be written.
    SettingsError
        If there are too many rides already.
    """
    with _writable(shelf):
        shelf.mkdir(parents=True, exist_ok=True, mode=0o700)
        with held(shelf / ".lock"):
            return _placed(shelf, name, {ROUTE: route, **_track_file(track)}, texts, tiles)


def _track_file(track: str | None) -> dict[str, bytes]:
    return {} if track is None else {TRACK: f"{track}\n".encode()}


@contextmanager
def _writable(shelf: Path) -> Iterator[None]:
    try:
        yield
    except OSError as fault:
        raise OutputError(
            f"{plain_text(str(shelf), PATH_LETTERS)}: cannot be written ({fault.strerror}); make room, or let"
            " yourself write there"
        ) from None


def _placed(
    shelf: Path, name: str, files: Mapping[str, bytes], texts: Mapping[str, str], tiles: tuple[Path, ...]
) -> Path:
    numbers = _numbers(shelf)
    if len(numbers) >= MOST_RIDES:
        raise SettingsError(
            f"there are {len(numbers)} rides in {plain_text(str(shelf), PATH_LETTERS)}; take some away first"
        )
    for left in shelf.glob(f"{ASIDE}*"):
        shutil.rmtree(left, ignore_errors=True)
    aside = Path(tempfile.mkdtemp(prefix=ASIDE, dir=shelf))
    try:
        for file, content in files.items():
            write_durably(aside / file, content)
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


def _numbers(shelf: Path, begin: str = "ride-") -> list[int]:
    names = [path.name.removeprefix(begin) for path in shelf.glob(f"{begin}*") if path.is_dir()]
    return [int(name) for name in names if name.isascii() and name.isdigit() and len(name) < 10]
