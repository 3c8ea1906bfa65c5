"""Fetching one elevation tile: one attempt, bounded in time and size, all or nothing."""

import json
import os
import tempfile
import time
import warnings
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

from terrain_fuel.errors import TileFetchError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.tiles import SIDES, DamagedTileError, decode_tile
from terrain_fuel.text import plain_text
from terrain_fuel.user_folders import user_cache_folder

MIRROR_SETTING = "TERRAIN_FUEL_TILE_MIRROR"
"""Environment variable: address of the tile mirror; ``{name}`` in it stands for N46E009 and the like."""

SILENCE_S = 20.0
WHOLE_S = 300.0
STALE_S = 3600.0
MOST_BYTES = 2 * SIDES[-1] ** 2
OVERHEAD_BYTES = 1_000_000
"""Headers, chunk lines and answers that only send on."""

CHUNK_BYTES = 65_536
REASON_LETTERS = 80
LENGTH_DIGITS = 18
PART = ".part"

Progress = Callable[[str, int, int | None], None]
"""Called with the tile's name, the bytes so far and the bytes in all, None if unknown."""


def cache_folder() -> Path:
    """Return the user's own folder for fetched tiles; it may not exist yet."""
    return user_cache_folder("tiles")


def tile_address(name: str, mirror: str | None = None) -> str | None:
    """Return where a tile can be fetched, None if none is published for that place.

    Parameters
    ----------
    name : such as "N46E009.hgt"
    mirror : address of a folder of ``.hgt.zip`` tiles, or a pattern with ``{name}``; without one
        the environment variable `MIRROR_SETTING`, then the addresses that SRTM.py knows
    """
    mirror = mirror or os.environ.get(MIRROR_SETTING)
    if mirror:
        stem = name.removesuffix(".hgt")
        return (
            mirror.replace("{name}", stem) if "{name}" in mirror else f"{mirror.rstrip('/')}/{stem}.hgt.zip"
        )
    return _published().get(name)


def fetch_tile(
    name: str,
    address: str,
    folder: Path,
    silence_s: float = SILENCE_S,
    whole_s: float = WHOLE_S,
    progress: Progress | None = None,
) -> Path:
    """Return the file of a tile fetched into a folder.

    Parameters
    ----------
    name : such as "N46E009.hgt"
    address : where it is
    folder : where it is kept; made if need be
    silence_s : longest wait for an answer or for more of it [s]
    whole_s : longest time for the whole fetch, redirects and headers included [s]
    progress : told of every piece

    Raises
    ------
    TileFetchError
        If it does not come whole and sound, in time. Nothing is left in the folder then.

    Notes
    -----
    The tile arrives under another name, is decoded once, and takes its own name in one step:
    a damaged one is never found later.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _sweep(folder)
        handle, part_name = tempfile.mkstemp(prefix=f".{name}-", suffix=PART, dir=folder)
    except OSError as error:
        raise TileFetchError(
            f"{folder}: the tile {name} cannot be kept there ({error.strerror});"
            " name a folder you may write to"
        ) from None
    part = Path(part_name)
    try:
        with os.fdopen(handle, "wb") as file:
            for piece in _pieces(name, address, silence_s, whole_s, progress):
                file.write(piece)
        return _keep(name, address, part)
    except OSError as error:
        raise TileFetchError(
            f"{folder}: the tile {name} cannot be kept there ({error.strerror});"
            " make room, or name another folder"
        ) from None
    finally:
        part.unlink(missing_ok=True)


def _pieces(
    name: str, address: str, silence_s: float, whole_s: float, progress: Progress | None
) -> Iterator[bytes]:
    """Yield the body of the answer as it comes, all of the fetch within its budget."""
    import requests
    import urllib3

    from terrain_fuel.inputs.metered import Budget, failure_text, final_answer, metered_session

    budget = Budget(silence_s, whole_s, MOST_BYTES + OVERHEAD_BYTES)
    try:
        with metered_session(budget) as session, final_answer(session, address, budget) as answer:
            if answer.status_code != 200:
                reason = plain_text(answer.reason, REASON_LETTERS)
                budget.refuse(f"it answers {answer.status_code} {reason}".rstrip())
            total = _promised(answer.headers.get("Content-Length", ""))
            done = 0
            while piece := answer.raw.read1(CHUNK_BYTES):  # it minds the length that was promised
                done += len(piece)
                if max(done, total or 0) > MOST_BYTES:
                    budget.refuse(f"more than {MOST_BYTES} bytes came, more than a tile has")
                if progress is not None:
                    progress(name, done, total)
                yield piece
    except (requests.RequestException, urllib3.exceptions.HTTPError, ValueError) as error:
        raise _not_fetched(name, address, budget.refusal or failure_text(error)) from None
    except OSError:
        if not budget.refusal:
            raise
        raise _not_fetched(name, address, budget.refusal) from None


def _promised(length: str) -> int | None:
    """Return the length an answer promises, None if it is no length."""
    return int(length) if length.isascii() and length.isdigit() and len(length) < LENGTH_DIGITS else None


def _keep(name: str, address: str, part: Path) -> Path:
    """Give a sound tile its own name; anything else is not kept."""
    try:
        decode_tile(name, part)
    except DamagedTileError as fault:
        raise _not_fetched(name, address, f"what came is no elevation tile: {fault.detail}") from None
    whole = part.with_name(f"{name}.zip" if zipfile.is_zipfile(part) else name)
    part.replace(whole)
    return whole


def _sweep(folder: Path) -> None:
    """Remove what a fetch left behind that was killed: older by far than any fetch may last."""
    for left in folder.glob(f".*{PART}"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > STALE_S:
                left.unlink()


@cache
def _published() -> dict[str, str]:
    """Return the addresses that SRTM.py knows, the finer tile where there are two."""
    with warnings.catch_warnings():  # its patterns are no raw strings
        warnings.simplefilter("ignore")
        from srtm.main import DEFAULT_LIST_JSON
    lists = json.loads(Path(DEFAULT_LIST_JSON).read_text(encoding="utf-8"))
    return {**lists["srtm3"], **lists["srtm1"]}


def _not_fetched(name: str, address: str, reason: str) -> TileFetchError:
    return TileFetchError(
        f"{name}: cannot be fetched from {address}: {reason}; one attempt is made for each tile; try again"
        f" later, set {MIRROR_SETTING} to another mirror, or put the tile in the elevation folder",
        fact("refused_fetch"),
    )
