"""What is said of a fault that nobody foresaw: one line, and on request a file for a report."""

import os
import platform
import sys
from pathlib import Path

from terrain_fuel.text import plain_text

REPORT_SETTING = "TERRAIN_FUEL_REPORT"
"""Environment variable: the file that takes the details of an unforeseen fault."""


def unforeseen_line(fault: BaseException) -> str:
    """Return the line that says something unforeseen happened, and what to do; write the details if asked."""
    said = plain_text(f"{type(fault).__name__}: {fault}".removesuffix(": "))
    named = os.environ.get(REPORT_SETTING)
    if not named:
        advice = f"please report this, with the details that {REPORT_SETTING}=FILE writes"
    elif _write_details(Path(named), fault):
        advice = f"please report this, with the details in {plain_text(named)}"
    else:
        advice = f"please report this; the details cannot be written to {plain_text(named)}"
    return f"terrain-fuel: something went wrong that it did not foresee ({said}); {advice}"


def _write_details(path: Path, fault: BaseException) -> bool:
    """Write versions and the place in the code; no input of the rider but what the fault itself quotes."""
    import traceback
    from importlib import metadata

    lines = [
        f"terrain-fuel {metadata.version('terrain-fuel')}",
        f"Python {platform.python_version()} on {platform.platform()}",
        f"command {sys.argv[1:2]}",
        "".join(traceback.format_exception(fault)),
    ]
    try:
        path.write_text("\n".join(lines), encoding="utf-8", errors="backslashreplace")
    except (OSError, ValueError):
        return False
    return True
