"""Writing one output file whole: beside its place first, then moved there, never half written."""

import os
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.regular_file import kind_of
from terrain_fuel.text import PATH_LETTERS, plain_text


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file so that readers see the old one or the whole new one.

    Raises
    ------
    OutputError
        If the folder cannot be written to, or if a device, a pipe or a socket has that name: it would be
        put out of the way for the file. Its cause is the system's fault, if that was one.
    """
    kind = kind_of(path)
    if kind:
        where = plain_text(str(path), PATH_LETTERS)
        raise OutputError(f"{where}: is {kind}, not a file; give a file that may be written")
    try:
        beside = path.with_name(f".{path.name}.part")
        try:
            beside.write_bytes(content)
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or "no file can have that name"
        raise OutputError(
            f"{plain_text(str(path), PATH_LETTERS)}: cannot be written ({reason}); choose a folder that you"
            " may write to"
        ) from fault


def write_text(path: Path, content: str) -> None:
    """Write text as UTF-8, the same way as `write_bytes`."""
    write_bytes(path, content.encode("utf-8"))
