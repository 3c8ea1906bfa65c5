"""Cut faces kept on disk, because cutting one takes longer than drawing all pages.

A kept file is a digest and the face. It is found by everything that decides its bytes, arrives
under another name first, and counts only if its digest is right. Where no folder can be
written, or what lies there is damaged, the face is cut again: the pages are the same either way.
"""

import hashlib
import inspect
import os
import tempfile
from contextlib import suppress
from functools import lru_cache
from importlib import metadata
from pathlib import Path

from terrain_fuel.outputs.printed import faces
from terrain_fuel.user_folders import user_cache_folder

DECIDING_PACKAGES = ("terrain-fuel", "fonttools", "fontpkg-noto-sans")

DIGEST_BYTES = hashlib.sha256().digest_size


def face_bytes(name: str) -> bytes:
    """Return a face, from the cache folder if it is kept there, else cut and kept."""
    place = _place(name)
    if place is None:
        return faces.cut_face(name)
    held = _read(place)
    if held is None:
        held = faces.cut_face(name)
        _keep(place, held)
    return held


def _place(name: str) -> Path | None:
    """Return the file that keeps a face, None without a home or with nothing to tell faces apart by."""
    with suppress(RuntimeError, OSError, metadata.PackageNotFoundError):
        return user_cache_folder("faces") / f"{name}-{_recipe()[:24]}"
    return None


@lru_cache(maxsize=1)
def _recipe() -> str:
    """Return a digest of all that decides how a face is cut."""
    versions = [f"{package} {metadata.version(package)}" for package in DECIDING_PACKAGES]
    return hashlib.sha256("\n".join([*versions, inspect.getsource(faces)]).encode()).hexdigest()


def _read(place: Path) -> bytes | None:
    """Return a kept face, None if there is none or it is not whole."""
    try:
        kept = place.read_bytes()
    except OSError:
        return None
    digest, face = kept[:DIGEST_BYTES], kept[DIGEST_BYTES:]
    return face if hashlib.sha256(face).digest() == digest else None


def _keep(place: Path, face: bytes) -> None:
    """Keep a face if the folder allows it; several processes may do so at once."""
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, part_name = tempfile.mkstemp(prefix=f".{place.name}-", suffix=".part", dir=place.parent)
        part = Path(part_name)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(face).digest() + face)
            part.replace(place)
        finally:
            part.unlink(missing_ok=True)
