"""One or two letters for every bottle, so that a row of print can say which: F and R for front and rear."""

from collections.abc import Iterable

LONGEST_SIGN = 3


def bottle_signs(names: Iterable[str]) -> dict[str, str]:
    """Return a sign for each bottle: the fewest first letters of its name that tell it from the others.

    Parameters
    ----------
    names : bottles in the order of the pantry, no two alike

    Notes
    -----
    Where three letters are not enough the first word is the same ("bottle 1", "bottle 2"): then the
    last word is taken, and the bottle's place in the pantry if that does not tell them apart either.

    >>> bottle_signs(["front bottle", "rear bottle"])
    {'front bottle': 'F', 'rear bottle': 'R'}
    >>> bottle_signs(["left one", "low one"])
    {'left one': 'Le', 'low one': 'Lo'}
    >>> bottle_signs(["bottle 1", "bottle 2"])
    {'bottle 1': '1', 'bottle 2': '2'}
    """
    ordered = list(names)
    letters = ["".join(filter(str.isalnum, name)) for name in ordered]
    last_words = [name.split()[-1:] or [""] for name in ordered]
    choices = [[each[:length].capitalize() for each in letters] for length in range(1, LONGEST_SIGN + 1)]
    choices.append([word[0][:LONGEST_SIGN].capitalize() for word in last_words])
    for signs in choices:
        if all(signs) and len(set(signs)) == len(signs):
            return dict(zip(ordered, signs, strict=True))
    return {name: str(place) for place, name in enumerate(ordered, 1)}
