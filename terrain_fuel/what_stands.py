"""Whether a file or a folder stands at a path, asked so that the same is heard on every Python."""

import stat
from errno import EBADF, ELOOP, ENOENT, ENOTDIR
from pathlib import Path

_NOTHING = (ENOENT, ENOTDIR, EBADF, ELOOP)
"""What the system says where nothing stands."""


def is_there(path: Path) -> bool:
    """Return whether anything stands at a path.

    Raises
    ------
    OSError
        If that cannot be known: the way there is shut, or the name is longer than any may be. From
        Python 3.14 on ``Path.exists`` and its like answer False then, and what is shut counts as missing.
    """
    return _mode(path) != 0


def is_file(path: Path) -> bool:
    """Return whether a regular file stands at a path; raise as `is_there` does."""
    return stat.S_ISREG(_mode(path))


def is_folder(path: Path) -> bool:
    """Return whether a folder stands at a path; raise as `is_there` does."""
    return stat.S_ISDIR(_mode(path))


def _mode(path: Path) -> int:
    try:
        return path.stat().st_mode
    except OSError as fault:
        if fault.errno in _NOTHING:
            return 0
        raise
    except ValueError:  # no name that a file can have
        return 0
