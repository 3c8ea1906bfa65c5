"""The faces that the printed pages are set in: widths and weights cut from one variable font.

The font is a free humanist sans for Latin, Greek and Cyrillic with tabular digits; it comes
from a package of its own and is embedded in every file.
"""

import io
import unicodedata
from functools import lru_cache

TEXT = "TerrainFuelText"
STRONG = "TerrainFuelStrong"
STRIP = "TerrainFuelStrip"
STRIP_NARROW = "TerrainFuelStripNarrow"

FACES: dict[str, dict[str, float]] = {
    TEXT: {"wdth": 88.0, "wght": 420.0},
    STRONG: {"wdth": 88.0, "wght": 680.0},
    STRIP: {"wdth": 80.0, "wght": 600.0},
    STRIP_NARROW: {"wdth": 64.0, "wght": 600.0},
}
"""Width [percent of normal] and weight of each face."""

REPERTOIRE = (
    range(0x20, 0x250), range(0x2B0, 0x2E0), range(0x300, 0x33A), range(0x370, 0x400), range(0x400, 0x530),
    range(0x1E00, 0x1F00), range(0x2010, 0x2070), range(0x2074, 0x208F), range(0x20A0, 0x20C0),
    range(0x2116, 0x2117), range(0x2150, 0x215F), range(0x2212, 0x2213), range(0xFFFD, 0xFFFE),
)  # fmt: skip
"""Code points kept: Latin, Greek, Cyrillic, their accents, punctuation, currencies, fractions."""

MISSING = "\ufffd"
"""Stands for each run of letters that no face can show."""

INVISIBLE = frozenset(("Cc", "Cf", "Cs", "Co", "Cn"))
"""Unicode categories that print nothing of their own."""


@lru_cache(maxsize=len(FACES))
def register_face(name: str) -> None:
    """Make a face known to the PDF library under its name; done once a process."""
    from fontTools.ttLib import TTFont as VariableFont
    from fontTools.varLib import instancer
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    font = VariableFont(io.BytesIO(_core_font()), recalcTimestamp=False)
    instancer.instantiateVariableFont(font, FACES[name], inplace=True)
    # printers keep fonts by name: two faces must not share one
    for identity in (1, 3, 4, 6, 16):
        font["name"].setName(name, identity, 3, 1, 0x409)
        font["name"].setName(name, identity, 1, 0, 0)
    held = io.BytesIO()
    font.save(held)
    held.seek(0)
    pdfmetrics.registerFont(TTFont(name, held))


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
def _core_font() -> bytes:
    """Return the variable font cut down to the repertoire, without layout tables."""
    import fontpkg
    from fontTools import subset
    from fontTools.ttLib import TTFont

    font = TTFont(fontpkg.path("Noto Sans"), recalcTimestamp=False)
    for table in ("GSUB", "GPOS", "GDEF", "STAT"):
        if table in font:
            del font[table]
    options = subset.Options(layout_features=[], hinting=False, notdef_outline=True, recalc_timestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[code for span in REPERTOIRE for code in span])
    cutter.subset(font)
    held = io.BytesIO()
    font.save(held)
    return held.getvalue()


@lru_cache(maxsize=1)
def _shown() -> frozenset[int]:
    """Return the code points that the faces can show."""
    from fontTools.ttLib import TTFont

    return frozenset(TTFont(io.BytesIO(_core_font())).getBestCmap())
