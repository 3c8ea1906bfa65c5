"""Bytes kept on disk because making them takes longer than all that is drawn with them.

They are found by everything that decides them. Where no folder can be written, or what lies there is
damaged, they are made again: the outputs are the same either way.
"""

import hashlib
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path

from terrain_fuel.kept_file import keep, read_kept
from terrain_fuel.user_folders import user_cache_folder


def kept_bytes(
    kind: str, name: str, packages: Sequence[str], source: Path, make: Callable[[], bytes]
) -> bytes:
    """Return bytes from the cache folder if they are kept there, else made and kept.

    Parameters
    ----------
    kind, name : where they are kept in the user's cache folder
    packages : whose versions decide the bytes
    source : the file of code that decides them
    make : makes them
    """
    place = _place(kind, name, packages, source)
    if place is None:
        return make()
    held = read_kept(place)
    if held is None:
        held = make()
        keep(place, held)
    return held


def _place(kind: str, name: str, packages: Sequence[str], source: Path) -> Path | None:
    """Return the file that keeps bytes, None without a home or with nothing to tell them apart by."""
    with suppress(RuntimeError, OSError, ImportError):
        recipe = hashlib.sha256(source.read_bytes())
        for package in packages:
            recipe.update(f"\n{package} {_version(package)}".encode())
        return user_cache_folder(kind) / f"{name}-{recipe.hexdigest()[:24]}"
    return None


@cache
def _version(package: str) -> str:
    """Return the version of an installed package."""
    from importlib import metadata

    return metadata.version(package)
