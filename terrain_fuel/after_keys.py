"""The keys of the form "After the ride": the same on the printed sheet, on the page and in after.toml."""

from collections.abc import Sequence

ITEM, BOTTLE, SCALE, BLANK, LINE = "A", "B", "C", "D", "E"

SCALES = ("stomach", "legs", "thirst")
"""C1, C2, C3: from 0 to 10; the low end is trouble, empty, none."""

BLANKS = ("mass_before", "mass_after", "hard")
"""D1, D2 [kg] and D3, the place where it got hard."""

SCALE_STEPS = 11


def numbered_keys(letter: str, names: Sequence[str]) -> dict[str, str]:
    """Return the key of each name: a letter and its place among them.

    >>> numbered_keys("A", ["fig slice", "plain gel"])
    {'fig slice': 'A1', 'plain gel': 'A2'}
    """
    return {name: f"{letter}{place}" for place, name in enumerate(names, 1)}
