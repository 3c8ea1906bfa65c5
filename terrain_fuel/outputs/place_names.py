"""What a place is called where room is short: the distance says where, its name only confirms it."""

import re
from collections.abc import Iterator

from terrain_fuel.outputs.names import ASIDE, WHOLE_OF_PART, fit_text, telling_part

_LANDFORMS = (
    "pass saddle hill hills moor down downs mount mountain summit top climb col mont côte cime passo colle"
    " monte sella cima forcella joch sattel berg höhe puerto alto collado alpe"
)
LANDFORMS = frozenset(_LANDFORMS.split())
"""Words that a crest's own sign says already: common practice (no source)."""

ARTICLE = re.compile(r"^(?:d|l|dell|all|sull)['’](?=\w)", re.IGNORECASE)
"""What a landform leaves before the name behind it: Col d’…"""

SHORT_PLACE_CHARACTERS = 12

TELLING_LETTERS = 3
"""So many letters are left at least once such words are gone."""


def short_place(name: str, *, signed: bool) -> str:
    """Return the one short form of a place: the fullest wording of at most twelve characters.

    >>> short_place("Great Ostrel Pass", signed=True), short_place("Fountain at Quarry Bridge", signed=False)
    ('Great Ostrel', 'Fountain')
    """
    wordings = list(place_wordings(name, signed=signed))
    fitting = (wording for wording in wordings if len(wording) <= SHORT_PLACE_CHARACTERS)
    return next(fitting, "") or fit_text(wordings[-1], SHORT_PLACE_CHARACTERS)


def place_wordings(name: str, *, signed: bool) -> Iterator[str]:
    """Yield what a place could be called, the fullest wording first; the last may still be cut.

    Parameters
    ----------
    name : the place's name, printable
    signed : a sign before it says already that it is a crest, a summit or a climb's foot

    Notes
    -----
    "Great Ostrel Pass" behind its sign is "Great Ostrel", then "G. Ostrel", then "Ostrel";
    "Saddle of Orrin" is "Orrin". Without a sign "Lower Thessel" is "L. Thessel", and what is
    seen there stands for "Pump at Nether Sallow" and for "Thessel tap": pump, tap.
    """
    yield name
    words = (telling_part(name) if signed else _seen_part(name)).split()
    if signed:
        words = _without_landforms(words)
    if len(words) > 1 and words[0][:1].isupper() and words[-1].islower():
        words = words[-1:]
    yield " ".join(words)
    key = max(range(len(words)), key=lambda index: (len(words[index]), index))
    yield " ".join(word if index == key else f"{word[0]}." for index, word in enumerate(words))
    yield words[key]


def _seen_part(name: str) -> str:
    """Return the words before the first "of", "at" and their like."""
    words = name.split()
    inner = range(1, len(words) - 1)
    ends = [index for index in inner if words[index].casefold() in ASIDE | WHOLE_OF_PART]
    return " ".join(words[: ends[0]] if ends else words)


def _without_landforms(words: list[str]) -> list[str]:
    left = [ARTICLE.sub("", word) for word in words if word.casefold() not in LANDFORMS]
    return left if sum(map(len, left)) >= TELLING_LETTERS else words
