"""Bytes kept on disk because making them takes longer than all that is drawn with them.

A kept file is a digest and the bytes. It is found by everything that decides them, arrives under
another name first, and counts only if its digest is right. Where no folder can be written, or what
lies there is damaged, they are made again: the outputs are the same either way.
"""

import hashlib
import os
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path

from terrain_fuel.user_folders import user_cache_folder

DIGEST_BYTES = hashlib.sha256().digest_size


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
    held = _read(place)
    if held is None:
        held = make()
        _keep(place, held)
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


def _read(place: Path) -> bytes | None:
    """Return what is kept, None if there is nothing or it is not whole."""
    try:
        kept = place.read_bytes()
    except OSError:
        return None
    digest, held = kept[:DIGEST_BYTES], kept[DIGEST_BYTES:]
    return held if hashlib.sha256(held).digest() == digest else None


def _keep(place: Path, held: bytes) -> None:
    """Keep bytes if the folder allows it; several processes may do so at once."""
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, part_name = tempfile.mkstemp(prefix=f".{place.name}-", suffix=".part", dir=place.parent)
        part = Path(part_name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(held).digest() + held)
            part.replace(place)
        finally:
            part.unlink(missing_ok=True)
