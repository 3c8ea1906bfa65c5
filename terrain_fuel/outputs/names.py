"""Short names made from the names of things: every word stays to be recognised, no two come out alike."""

from collections.abc import Callable, Iterable, Iterator, Mapping

SHORTEST_STEM = 3
"""Letters of a word that stay at least, before its full stop."""

LITTLE_WORD = 3
"""Letters of a word that says little when it stands inside a name: of, and, à, με, с."""

VOWELS = frozenset("aeiouyäöüàâáåãæéèêëíìîïóòôøúùûαεηιουωάέήίόύώаеёиоуыэюяіїє")


def short_names(
    names: Iterable[str], limit: float | Mapping[str, float], measure: Callable[[str], float] = len
) -> dict[str, str]:
    """Return a short name for each name, no wider than ``limit`` and unlike all the others.

    Parameters
    ----------
    names : names as the rider gave them
    limit : width that a short name may have, in the units of ``measure``; one for all or one a name
    measure : width of a text; counts characters if not given

    Returns
    -------
    dict from name to short name, in the order given

    Notes
    -----
    A name that is narrow enough stays as it is. Otherwise little words of up to three letters
    inside it go first, then words are cut after a consonant to a stem and a full stop, the
    longest first and later ones before earlier ones: "salted rice square" becomes "salted rice
    squ.". Only when no such form is narrow enough are whole words left out: the shortest inside,
    then the last ones, then letters.
    """
    ordered = list(dict.fromkeys(names))
    limits = limit if isinstance(limit, Mapping) else dict.fromkeys(ordered, limit)
    chosen: dict[str, str] = {}
    taken: set[str] = set()
    narrow_first = sorted(ordered, key=lambda name: measure(" ".join(name.split())) > limits[name])
    for name in narrow_first:
        short = next(form for form in _forms(name, limits[name], measure) if form.casefold() not in taken)
        chosen[name] = short
        taken.add(short.casefold())
    return {name: chosen[name] for name in ordered}


def fit_text(text: str, limit: float, measure: Callable[[str], float] = len) -> str:
    """Return one text shortened to a width, the same way as `short_names`."""
    return next(_forms(text, limit, measure))


def _forms(name: str, limit: float, measure: Callable[[str], float]) -> Iterator[str]:
    """Yield ever poorer forms of a name that fit, ending in forms with a number that never run out."""
    words = name.split()
    flat = " ".join(words)
    if measure(flat) <= limit:
        yield flat
    for kept in _word_choices(words):
        for form in _stemmed(kept):
            if measure(form) <= limit:
                yield form
    for kept_words in range(len(words) - 1, 0, -1):
        form = " ".join(words[:kept_words])
        if measure(form) <= limit:
            yield form
    for length in range(len(flat), 0, -1):
        form = flat[:length].rstrip() + "…"
        if measure(form) <= limit:
            yield form
    yield from _numbered(flat, limit, measure)


def _word_choices(words: list[str]) -> Iterator[list[str]]:
    """Yield the words without the little ones inside, then with one inner word less each time."""
    if len(words) > 2:
        words = [words[0], *(word for word in words[1:-1] if len(word) > LITTLE_WORD), words[-1]]
    yield words
    while len(words) > 2:
        inner = range(1, len(words) - 1)
        shortest = min(inner, key=lambda index: (len(words[index]), -index))
        words = words[:shortest] + words[shortest + 1 :]
        yield words


def _stemmed(words: list[str]) -> Iterator[str]:
    """Yield the words joined, then with the longest word cut by one step more each time."""
    words = list(words)
    while True:
        yield " ".join(words)
        longest = sorted(range(len(words)), key=lambda index: (-len(words[index]), -index))
        for index in longest:
            shorter = _shorter(words[index])
            if shorter is not None:
                words[index] = shorter
                break
        else:
            return


def _shorter(word: str) -> str | None:
    """Return the word cut after an earlier consonant, with a full stop, or None if it is at its shortest."""
    letters = word.removesuffix(".")
    longest = len(letters) - 1 if word.endswith(".") else len(letters) - 2
    shortest = None
    for length in range(longest, 0, -1):
        if sum(letter.isalpha() for letter in letters[:length]) < SHORTEST_STEM:
            break
        shortest = letters[:length] + "."
        if letters[length - 1].isalpha() and letters[length - 1].casefold() not in VOWELS:
            break
    return shortest


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
