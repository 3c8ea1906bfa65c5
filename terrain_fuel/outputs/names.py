"""Short names made from the names of things: the telling words stay, no two come out alike."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice

SHORTEST_STEM = 3
"""Letters of a word that stay at least, before its full stop; of the last word two consonants: rice sq."""

LITTLE_WORD = 3
"""Letters of a word that says little when it stands inside a name: of, and, à, με, с."""

VOWELS = frozenset("aeiouyäöüàâáåãæéèêëíìîïóòôøúùûαεηιουωάέήίόύώаеёиоуыэюяіїє")

WHOLE_OF_PART = frozenset(("of", "de", "du", "des", "di", "del", "della", "dello", "da", "do", "von"))
"""Behind these stands what a thing is made or named of: a twist of sugar, a Saddle of Orrin."""

MARKED_TRIES = 200
"""So many forms of a name are looked at for one that says its mark by itself."""

SHAPES = frozenset(("bar", "square", "slice", "ball", "piece", "bite", "block", "cube"))
"""Shapes tell less than what they are made of: of "oat bar" the oat stays."""

UNITS = frozenset(("g", "kg", "mg", "ml", "cl", "dl", "l", "oz", "lb"))
"""Behind a number these say how much of a thing there is, not what it is: of "bread 60 g" the bread stays."""

_ASIDE = (
    "with and in on at by near below above under behind from for à au aux avec et sur sous près pour"
    " con e al alla su per y en para mit und im am an bei unter über vor für med og och"
    " με και σε του της с со и на в у из"
)
ASIDE = frozenset(_ASIDE.split())
"""Behind these stands what is beside the point when room is short: bread with honey, Pump at Sallow."""


def short_names(
    names: Iterable[str],
    limit: float | Mapping[str, float],
    measure: Callable[[str], float] = len,
    own: Mapping[str, str] | None = None,
    marks: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """Return a short name for each name, no wider than ``limit`` and unlike all the others.

    Parameters
    ----------
    names : names as the rider gave them
    limit : width that a short name may have, in the units of ``measure``; one for all or one a name
    measure : width of a text; counts characters if not given
    own : short names that the rider gave, tried first where a name is too wide
    marks : what must show in the short form of a name, put behind it where it is not in it already

    Returns
    -------
    dict from name to short name, in the order given

    Notes
    -----
    A name that is narrow enough stays as it is. Otherwise words are left out that tell least:
    "twist of sugar" becomes "sugar", "bread with honey" becomes "bread", and of several words
    in a row the first ones go before the last, because the last is what the thing is: "salted
    corn square" becomes "corn square". Then words are cut after a consonant to a stem and a full
    stop, "rice sq.", and only then is the last word left alone, or letters.
    """
    ordered = list(dict.fromkeys(names))
    limits = limit if isinstance(limit, Mapping) else dict.fromkeys(ordered, limit)
    chosen: dict[str, str] = {}
    taken: set[str] = set()
    narrow_first = sorted(ordered, key=lambda name: measure(" ".join(name.split())) > limits[name])
    for name in narrow_first:
        wordings, mark = [name, (own or {}).get(name, "")], (marks or {}).get(name, "")
        forms = _forms(wordings, limits[name], measure)
        if mark:
            forms = _marked(wordings, limits[name], measure, mark)
        short = next(form for form in forms if form.casefold() not in taken)
        chosen[name] = short
        taken.add(short.casefold())
    return {name: chosen[name] for name in ordered}


def fit_text(text: str, limit: float, measure: Callable[[str], float] = len) -> str:
    """Return one name shortened to a width, the same way as `short_names`."""
    return next(_forms([text], limit, measure))


def clip_text(text: str, limit: float, measure: Callable[[str], float] = len) -> str:
    """Return as much of a text as a width allows, with an ellipsis if that is not all."""
    return text if measure(text) <= limit else next(_clipped(text, limit, measure), "")


def telling_part(name: str) -> str:
    """Return the part of a name that tells most: behind "of", else before "with", "at" and their like.

    How much there is of it, at the end, is left out.
    """
    words = _without_amount(name.split())
    inner = range(1, len(words) - 1)
    aside = next((index for index in inner if words[index].casefold() in ASIDE), len(words))
    words = words[:aside]
    part = [index for index in range(1, len(words) - 1) if words[index].casefold() in WHOLE_OF_PART]
    return " ".join(words[part[0] + 1 :] if part else words)


def _without_amount(words: list[str]) -> list[str]:
    """Return words without an amount behind them: "60 g", "60g"."""
    for count in (1, 2):
        amount = "".join(words[-count:]).casefold()
        number = amount.rstrip("abcdefghijklmnopqrstuvwxyz")
        is_number = number.replace(",", "").replace(".", "").isdigit()
        if len(words) > count and is_number and amount.removeprefix(number) in UNITS:
            return words[:-count]
    return words


def _forms(names: list[str], limit: float, measure: Callable[[str], float]) -> Iterator[str]:
    """Yield ever poorer forms that fit, of a name and then of its other wordings.

    They end in forms with a number that never run out.
    """
    flats = [flat for flat in (" ".join(name.split()) for name in names) if flat]
    for form in (form for flat in flats for form in _wordings(flat, is_last=flat is flats[-1])):
        if measure(form) <= limit:
            yield form
    flat = flats[-1] if flats else ""
    yield from _clipped(flat, limit, measure)
    yield from _numbered(flat, limit, measure)


def _marked(names: list[str], limit: float, measure: Callable[[str], float], mark: str) -> Iterator[str]:
    """Yield the forms that say the mark by themselves, then those that have room for it behind them."""
    for form in islice(_forms(names, limit, measure), MARKED_TRIES):
        if says_mark(form, mark):
            yield form
    yield from (f"{form} {mark}" for form in _forms(names, limit - measure(f" {mark}"), measure))


def says_mark(text: str, mark: str) -> bool:
    """Return whether a text has a word that begins like the mark."""
    stem = mark.removesuffix(".").casefold()
    return any(word.casefold().startswith(stem) for word in text.split())


def _wordings(flat: str, *, is_last: bool) -> Iterator[str]:
    """Yield a name and, if no better wording follows, the words that tell it, ever fewer and shorter."""
    yield flat
    if not is_last:
        return
    words = telling_part(flat).split()
    ends = [words[first:] for first in range(len(words))]
    yield from (" ".join(end) for end in ends if len(end) > 1 or len(words) == 1)
    # two words still tell a thing when they are cut, more of them only clutter
    for end in [*ends[-2:-1], *ends[:-2]]:
        yield from _stemmed(end)
    last_first = list(reversed(words))
    for word in sorted(last_first, key=lambda word: word.casefold() in SHAPES):
        yield word
        yield from _stemmed([word])
    yield from _stemmed([word for word in flat.split() if len(word) > LITTLE_WORD])


def _stemmed(words: list[str]) -> Iterator[str]:
    """Yield the words joined, then with the longest word cut by one step more each time."""
    words = list(words)
    while words:
        yield " ".join(words)
        longest = sorted(range(len(words)), key=lambda index: (-len(words[index]), -index))
        for index in longest:
            shorter = _shorter(words[index], is_last=index == len(words) - 1)
            if shorter is not None:
                words[index] = shorter
                break
        else:
            return


def _shorter(word: str, *, is_last: bool) -> str | None:
    """Return the word cut after an earlier consonant, with a full stop, or None if it is at its shortest."""
    letters = word.removesuffix(".")
    longest = len(letters) - 1 if word.endswith(".") else len(letters) - 2
    for length in range(longest, 1, -1):
        stem = letters[:length]
        enough = SHORTEST_STEM - 1 if is_last and not any(map(_is_vowel, stem)) else SHORTEST_STEM
        if sum(letter.isalpha() for letter in stem) < enough:
            break
        if stem[-1].isalpha() and not _is_vowel(stem[-1]):
            return stem + "."
    return None


def _is_vowel(letter: str) -> bool:
    return letter.casefold() in VOWELS


def _clipped(flat: str, limit: float, measure: Callable[[str], float]) -> Iterator[str]:
    """Yield ever shorter beginnings of a text, with an ellipsis."""
    for length in range(len(flat), 0, -1):
        form = flat[:length].rstrip() + "…"
        if measure(form) <= limit:
            yield form


def _numbered(flat: str, limit: float, measure: Callable[[str], float]) -> Iterator[str]:
    """Yield the start of a name with a number; the number alone if nothing else is left."""
    number = 2
    while True:
        suffix = str(number)
        start = flat
        while start and measure(start + suffix) > limit:
            start = start[:-1]
        yield start.rstrip() + suffix
        number += 1
