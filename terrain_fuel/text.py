"""Text that comes in from outside: made harmless once, at the door, before anything shows or keeps it."""

import re
import unicodedata
from typing import Any

NAME_LETTERS = 200
"""Letters of a name that are kept; no sign, sheet or sticker shows more: common practice (no source)."""

PATH_LETTERS = 400
"""Letters of a path that a message shows."""

MESSAGE_LETTERS = 2000
"""Letters of a message that are shown, so that a strange value does not fill the screen."""

_ESCAPE = re.compile(
    r"(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]?"  # control sequences: colours, cursor
    r"|(?:\x1b[\]PX^_]|[\x90\x98\x9d-\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)?"  # strings: titles, links
    r"|\x1b[ -/]*[0-~]?"
)
"""Escape sequences of terminals, whole, as ECMA-48 builds them (from memory)."""

_JOINERS = frozenset("\u200c\u200d")
"""Format characters that writing needs: within Persian and Indic words, between the parts of a picture."""

_FORMULA = re.compile(r"""(?:^|(?<=[,;|]))(?="*[-=+@＝＋－＠﹦﹢﹣﹫])""")
"""Where a formula would begin; spreadsheets of East Asia take the wide signs for the plain ones."""

_GONE = frozenset(("Cc", "Cf", "Co"))


def plain_text(text: str | None, most: int = NAME_LETTERS) -> str:
    """Return a text on one line that no screen, page or sheet takes for more than text.

    Parameters
    ----------
    text : from a file, a file's name, a server or the command line; None counts as nothing
    most : letters kept; a longer text ends in an ellipsis

    Notes
    -----
    Taken out are escape sequences, control characters of both sets (C0, C1), marks that turn the
    direction of reading, other invisible format characters apart from joiners, and what is no
    character. A byte of a file name that is no text becomes a replacement character. White space
    becomes single spaces.
    """
    if not text:
        return ""
    window = text[: 50 * most]  # a bound on the work; no honest text is hidden behind more than that
    if not (window.isascii() and window.isprintable()):
        window = _ESCAPE.sub("", window)
        window = "".join(map(_harmless, window))
    plain = " ".join(window.split())
    if _JOINERS.issuperset(plain):
        return ""  # joiners that join nothing cannot be seen
    return plain if len(plain) <= most else plain[: most - 1].rstrip() + "…"


def plain_values(value: Any, most: int = NAME_LETTERS) -> Any:
    """Return a value read from TOML or JSON with `plain_text` for every text in it, keys too."""
    if isinstance(value, str):
        return plain_text(value, most)
    if isinstance(value, dict):
        return {plain_text(key, most): plain_values(inner, most) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain_values(inner, most) for inner in value]
    return value


def cell_value(value: Any) -> Any:
    """Return a value as a cell: a text that a spreadsheet would take for a formula gets an apostrophe.

    So does what follows a sign that parts cells elsewhere: opened in another country, a cell begins there.
    """
    return _FORMULA.sub("'", value) if isinstance(value, str) else value


def _harmless(letter: str) -> str:
    if letter.isspace():
        return " "
    kind = unicodedata.category(letter)
    if kind == "Cs":  # a lone half of a pair, or a byte of a file name
        return "\ufffd"
    gone = kind in _GONE or _is_no_character(ord(letter))
    return "" if gone and letter not in _JOINERS else letter


def _is_no_character(code: int) -> bool:
    """Return True for the 66 places that Unicode leaves empty for ever; XML allows none of the last."""
    return code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF
