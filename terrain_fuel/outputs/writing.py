"""Writing one output file whole: beside its place first, then moved there, never half written."""

import os
from pathlib import Path

from terrain_fuel.errors import OutputError


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file so that readers see the old one or the whole new one.

    Raises
    ------
    OutputError
        If the folder cannot be written to.
    """
    beside = path.with_name(f".{path.name}.part")
    try:
        beside.write_bytes(content)
        os.replace(beside, path)
    except OSError as fault:
        raise OutputError(
            f"{path}: cannot be written ({fault.strerror}); choose a folder that you may write to"
        ) from None


def write_text(path: Path, content: str) -> None:
    """Write text as UTF-8, the same way as `write_bytes`."""
    write_bytes(path, content.encode("utf-8"))
