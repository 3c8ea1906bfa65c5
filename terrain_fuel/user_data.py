"""Where the rider's own data is kept: what cannot be made again, unlike what is in the cache."""

import os
import sys
from pathlib import Path


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
    if sys.platform == "win32":
        base = Path(os.environ.get("APPDATA") or Path.home() / "AppData" / "Roaming")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        named = Path(os.environ.get("XDG_DATA_HOME", ""))
        base = named if named.is_absolute() else Path.home() / ".local" / "share"
    return base / "terrain-fuel"
