"""Where things are kept that can be made or fetched again: the user's own cache folder."""

import os
import sys
from pathlib import Path


def user_cache_folder(what: str) -> Path:
    """Return the folder for one kind of thing kept; it may not exist yet, nor be writable.

    Parameters
    ----------
    what : name of the kind, "tiles" or "faces"

    Raises
    ------
    RuntimeError
        If the user has no home folder.

    Notes
    -----
    The platform's custom: ``XDG_CACHE_HOME`` where it is set and absolute, else ``~/.cache``;
    ``LOCALAPPDATA`` and ``~/Library/Caches`` on the two systems with customs of their own.
    """
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        named = Path(os.environ.get("XDG_CACHE_HOME", ""))
        base = named if named.is_absolute() else Path.home() / ".cache"
    return base / "terrain-fuel" / what
