"""Files in the user's cache folder: there whole or not at all, and never relied on.

A kept file is a digest and the bytes. It arrives under another name first, and counts only if its
digest is right.
"""

import hashlib
import os
import tempfile
from contextlib import suppress
from pathlib import Path

DIGEST_BYTES = hashlib.sha256().digest_size


def read_kept(place: Path) -> bytes | None:
    """Return what is kept, None if there is nothing or it is not whole."""
    try:
        kept = place.read_bytes()
    except OSError:
        return None
    digest, held = kept[:DIGEST_BYTES], kept[DIGEST_BYTES:]
    return held if hashlib.sha256(held).digest() == digest else None


def keep(place: Path, held: bytes) -> None:
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
