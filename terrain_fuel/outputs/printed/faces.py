"""Cutting the faces of the printed pages from one variable font, each to one width and weight.

The cut bytes follow from this file, the font and the libraries alone, so they may be kept.
"""

import io
from functools import lru_cache

TEXT = "TerrainFuelText"
TEXT_NARROW = "TerrainFuelTextNarrow"
STRONG = "TerrainFuelStrong"
STRIP = "TerrainFuelStrip"
STRIP_NARROW = "TerrainFuelStripNarrow"

FACES: dict[str, dict[str, float]] = {
    TEXT: {"wdth": 88.0, "wght": 420.0},
    TEXT_NARROW: {"wdth": 64.0, "wght": 420.0},
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


def cut_face(name: str) -> bytes:
    """Return a face as a TrueType file of its own."""
    from fontTools.ttLib import TTFont
    from fontTools.varLib import instancer

    font = TTFont(io.BytesIO(_core_font()), recalcTimestamp=False)
    instancer.instantiateVariableFont(font, FACES[name], inplace=True)
    # printers keep fonts by name: two faces must not share one
    for identity in (1, 3, 4, 6, 16):
        font["name"].setName(name, identity, 3, 1, 0x409)
        font["name"].setName(name, identity, 1, 0, 0)
    held = io.BytesIO()
    font.save(held)
    return held.getvalue()


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
