"""What the page is told of a fault: one sentence, without a path and without a traceback."""

import re
import sys

from terrain_fuel.errors import OutputError, TerrainFuelError
from terrain_fuel.user_folders import user_data_folder

_PATH = re.compile(r"(?:[A-Za-z]:)?(?:[/\\][^/\\\s:'\"]+)+[/\\]")
UNFORESEEN = "something went wrong that nobody foresaw; the terminal has a line on it"


def told_of(fault: Exception) -> str:
    """Return what the page says of a fault; the terminal is told of one that nobody foresaw."""
    if isinstance(fault, OutputError):
        return "the ride's folder cannot be written; make room on the disk, or let yourself write there"
    if isinstance(fault, TerrainFuelError):
        return _PATH.sub("", str(fault).replace(_home(), ""))
    print(f"terrain-fuel: unforeseen: {type(fault).__name__}: {fault}", file=sys.stderr)  # noqa: T201
    return UNFORESEEN


def _home() -> str:
    """Return the folder of the rider's own data, which may hold spaces that end a path in a sentence."""
    try:
        return str(user_data_folder())
    except RuntimeError:
        return "\0"
