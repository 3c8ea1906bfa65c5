"""The language that a terminal is set to."""

import os


def terminal_language() -> str:
    """Return it as a browser names it (de-DE), from POSIX variables (de_DE.UTF-8); "" where none does."""
    named = (os.environ.get(name) for name in ("LC_ALL", "LC_MESSAGES", "LANG"))
    return next(filter(None, named), "").partition(".")[0].replace("_", "-")
