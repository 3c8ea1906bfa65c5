"""Regular files only: input read whole, no longer than allowed, one message for anything else."""

import os
import stat
from pathlib import Path

from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.text import PATH_LETTERS, plain_text

_OTHER_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


def read_regular(
    path: Path, most_bytes: int, error: type[TerrainFuelError], wanted: str, thinner: str
) -> bytes:
    """Return what a regular file holds, its kind and size known before a byte is read.

    Parameters
    ----------
    path : the file
    most_bytes : a larger file is refused
    error : the class of the error raised
    wanted : what to give instead of something that is no file, for the message
    thinner : what to do about a file that is too large, for the message

    Raises
    ------
    error
        If there is no such file, or it is a folder, a pipe, a socket or a device, too large, or
        cannot be read. Nothing waits for a pipe to be written to.
    """
    where = plain_text(str(path), PATH_LETTERS)
    try:
        descriptor = _open_at_once(path)
    except (FileNotFoundError, NotADirectoryError):
        raise error(f"{where}: there is no such file; check its name and its folder") from None
    except OSError as fault:
        kind = kind_of(path)
        if kind:  # a socket cannot even be opened
            raise error(f"{where}: is {kind}, not a file; give {wanted}") from None
        raise error(f"{where}: cannot be read ({fault.strerror}); check that you may open it") from None
    except ValueError:
        raise error(f"{where}: is no name that a file can have; give {wanted}") from None
    try:
        status = os.fstat(descriptor)
        if not stat.S_ISREG(status.st_mode):
            raise error(f"{where}: is {_called(status.st_mode)}, not a file; give {wanted}")
        if status.st_size > most_bytes:
            raise error(
                f"{path.name}: the file has {status.st_size / 1e6:.1f} MB; allowed are"
                f" {most_bytes / 1e6:g} MB; {thinner}"
            )
        with open(descriptor, "rb", closefd=False) as file:
            data = file.read(most_bytes + 1)
    except OSError as fault:
        raise error(f"{where}: cannot be read ({fault.strerror}); check that you may open it") from None
    finally:
        os.close(descriptor)
    if len(data) > most_bytes:
        raise error(f"{path.name}: the file grows while it is read; wait until it is whole")
    return data


def _open_at_once(path: Path) -> int:
    """Return a descriptor; a pipe without a writer is opened, not waited for."""
    flags = (
        os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
    )
    return os.open(path, flags)


def kind_of(path: Path) -> str:
    """Return what stands at a path that is no regular file, nothing if that cannot be known."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return ""
    return "" if stat.S_ISREG(mode) else _called(mode)


def _called(mode: int) -> str:
    return next((name for is_kind, name in _OTHER_KINDS if is_kind(mode)), "something else")
