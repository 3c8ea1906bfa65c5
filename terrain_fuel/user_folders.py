"""Where a user's things are kept: what can be made or fetched again, and what cannot."""

import os
import sys
from pathlib import Path


def user_cache_folder(what: str) -> Path:
    """Return the folder for one kind of thing kept; it may not exist yet, nor be writable.

    Parameters
    ----------
    what : name of the kind, such as "tiles" or "faces"

    Raises
    ------
    RuntimeError
        If the user has no home folder.

    Notes
    -----
    The platform's custom: ``XDG_CACHE_HOME`` where it is set and absolute, else ``~/.cache``;
    ``LOCALAPPDATA`` and ``~/Library/Caches`` on the two systems with customs of their own.
    """
    return _own_folder("LOCALAPPDATA", "AppData/Local", "Library/Caches", "XDG_CACHE_HOME", ".cache") / what


def user_data_folder() -> Path:
    """Return the user's data folder for this program; it may not exist yet.

    Raises
    ------
    RuntimeError
        If the user has no home folder.

    Notes
    -----
    The platform's custom: ``XDG_DATA_HOME`` where it is set and absolute, else ``~/.local/share``;
    ``APPDATA`` and ``~/Library/Application Support`` on the two systems with customs of their own.
    """
    return _own_folder(
        "APPDATA", "AppData/Roaming", "Library/Application Support", "XDG_DATA_HOME", ".local/share"
    )


def _own_folder(win_variable: str, win: str, mac: str, xdg_variable: str, xdg: str) -> Path:
    """Return this program's folder where the system keeps such things; folders are below the user's home."""
    if sys.platform == "win32":
        base = Path(os.environ.get(win_variable) or Path.home() / win)
    elif sys.platform == "darwin":
        base = Path.home() / mac
    else:
        named = Path(os.environ.get(xdg_variable, ""))
        base = named if named.is_absolute() else Path.home() / xdg
    return base / "terrain-fuel"
