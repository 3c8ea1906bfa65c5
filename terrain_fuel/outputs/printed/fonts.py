"""Letters in print: the faces made known to the PDF library, and texts as far as they can show them.

Our own faces, cut from a free humanist sans for Latin, Greek and Cyrillic with tabular digits, are
embedded in every file. Letters of other scripts come from font packages where these are installed:
Arabic's always is. What no installed font shows is written in Latin letters.
"""

import io
import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from terrain_fuel.kept_bytes import kept_bytes
from terrain_fuel.outputs.in_latin import in_latin
from terrain_fuel.outputs.printed import faces
from terrain_fuel.outputs.printed.faces import FACES, TEXT

OTHER_SCRIPTS = (
    "Noto Sans Arabic", "Noto Sans Hebrew", "Arimo",
    "Noto Sans SC", "Noto Sans JP", "Noto Sans KR", "Noto Sans TC",
)  # fmt: skip
"""Families of other scripts whose letters can be set one beside the other, the first that shows a letter."""

INVISIBLE = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "So", "Sk"))
"""Unicode categories that print nothing of their own, and pictures, which say nothing that can be read."""

FIRST_TO_TURN = "\u0590"
"""Scripts before this run from left to right, and no face of another script is for them."""

SAYING = "©°"
"""The pictures that say something: whose a map's data is, and that a number is one of degrees."""


@lru_cache(maxsize=len(FACES))
def register_face(name: str) -> None:
    """Make a face known to the PDF library under its name; done once a process."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    pdfmetrics.registerFont(TTFont(name, io.BytesIO(face_bytes(name))))


def face_bytes(name: str) -> bytes:
    """Return a face as a TrueType file; it is cut once and kept."""
    packages = ("terrain-fuel", "fonttools", "fontpkg-noto-sans")
    return kept_bytes("faces", name, packages, Path(faces.__file__), lambda: faces.cut_face(name))


@lru_cache(maxsize=4096)
def drawable(text: str) -> str:
    """Return a text that the faces can show, in the order in which it is read.

    Letters that no face shows are written in Latin ones, Arabic ones take the form that their neighbours
    ask for; controls, joiners and pictures are left out.

    Returns
    -------
    str, composed (NFC), with single spaces
    """
    composed = unicodedata.normalize("NFC", text)
    if _turns(composed):
        from arabic_reshaper import reshape

        composed = reshape(composed)
    letters: list[str] = []
    for letter in composed:
        if letter.isspace():
            letters.append(" ")
        elif letter not in SAYING and (
            unicodedata.category(letter) in INVISIBLE or 0xFE00 <= ord(letter) <= 0xFE0F
        ):
            continue
        elif face_of(letter):
            letters.append(letter)
        else:
            letters.append(in_latin(letter))
    return " ".join("".join(letters).split())


def sayable(text: str, instead: str) -> str:
    """Return `drawable` text, or ``instead`` if no letter is left."""
    clean = drawable(text)
    return clean if any(letter.isalnum() for letter in clean) else instead


@lru_cache(maxsize=4096)
def runs_of(text: str, face: str) -> tuple[tuple[str, str], ...]:
    """Return the parts of a drawable text from left to right, each with the face that shows it.

    Right-to-left scripts are turned as [UAX9]_ says.
    """
    return tuple(_runs(text, face))


def _runs(text: str, face: str) -> Iterator[tuple[str, str]]:
    if text and _shown().issuperset(map(ord, text)):  # our own faces, none of which turns
        yield text, face
        return
    shown = text
    if _turns(text):
        from bidi.algorithm import get_display

        shown = str(get_display(text, base_dir="L"))
    run, held = "", face
    for letter in shown:
        wanted = face_of(letter) or TEXT
        wanted = face if wanted == TEXT else wanted
        if run and wanted != held:
            yield run, held
            run = ""
        run, held = run + letter, wanted
    if run:
        yield run, held


@lru_cache(maxsize=4096)
def face_of(letter: str) -> str:
    """Return `TEXT` if our own faces show a letter, the face of another script, or "" if none does."""
    if ord(letter) in _shown():
        return TEXT
    if letter < FIRST_TO_TURN:
        return ""
    return next((name for name, codes in _other_faces() if ord(letter) in codes), "")


def _turns(text: str) -> bool:
    """Return whether a text holds letters that run from right to left."""
    return max(text, default="") >= FIRST_TO_TURN and any(
        unicodedata.bidirectional(letter) in ("R", "AL") for letter in text
    )


@lru_cache(maxsize=1)
def _other_faces() -> tuple[tuple[str, frozenset[int]], ...]:
    """Return the faces of other scripts that are installed, with what they show."""
    import fontpkg
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    found = []
    for family in OTHER_SCRIPTS:
        try:
            font = TTFont(family.replace(" ", ""), str(fontpkg.path(family)))
        except (LookupError, OSError, TTFError, ValueError):
            continue
        pdfmetrics.registerFont(font)
        found.append((family.replace(" ", ""), frozenset(font.face.charToGlyph)))
    return tuple(found)


@lru_cache(maxsize=1)
def _shown() -> frozenset[int]:
    """Return the code points that the faces can show; all are cut to the same."""
    from reportlab.pdfbase import pdfmetrics

    register_face(TEXT)
    return frozenset(pdfmetrics.getFont(TEXT).face.charToGlyph)
