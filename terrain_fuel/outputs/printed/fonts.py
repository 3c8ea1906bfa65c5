"""Letters in print: the faces made known to the PDF library, and texts kept to what they can show.

The font is a free humanist sans for Latin, Greek and Cyrillic with tabular digits; it comes
from a package of its own and is embedded in every file.
"""

import io
import unicodedata
from functools import lru_cache

from terrain_fuel.outputs.printed.face_cache import face_bytes
from terrain_fuel.outputs.printed.faces import FACES, TEXT

MISSING = "\ufffd"
"""Stands for each run of letters that no face can show."""

INVISIBLE = frozenset(("Cc", "Cf", "Cs", "Co", "Cn"))
"""Unicode categories that print nothing of their own."""


@lru_cache(maxsize=len(FACES))
def register_face(name: str) -> None:
    """Make a face known to the PDF library under its name; done once a process."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    pdfmetrics.registerFont(TTFont(name, io.BytesIO(face_bytes(name))))


@lru_cache(maxsize=4096)
def drawable(text: str) -> str:
    """Return a text that every face can show, each run of other letters replaced by one mark.

    Parameters
    ----------
    text : any text; controls, joiners and variation selectors are left out

    Returns
    -------
    str, composed (NFC), with single spaces
    """
    shown = _shown()
    letters: list[str] = []
    for letter in unicodedata.normalize("NFC", text):
        if letter.isspace():
            letters.append(" ")
        elif unicodedata.category(letter) in INVISIBLE or 0xFE00 <= ord(letter) <= 0xFE0F:
            continue
        elif ord(letter) in shown:
            letters.append(letter)
        elif not letters or letters[-1] != MISSING:
            letters.append(MISSING)
    return " ".join("".join(letters).split())


def sayable(text: str, instead: str) -> str:
    """Return `drawable` text without its replacement marks, or ``instead`` if no letter is left."""
    clean = " ".join(drawable(text).replace(MISSING, " ").split())
    return clean if any(letter.isalnum() for letter in clean) else instead


@lru_cache(maxsize=1)
def _shown() -> frozenset[int]:
    """Return the code points that the faces can show; all are cut to the same."""
    from reportlab.pdfbase import pdfmetrics

    register_face(TEXT)
    return frozenset(pdfmetrics.getFont(TEXT).face.charToGlyph)
