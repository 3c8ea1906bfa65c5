"""Letters of other scripts written in Latin ones, for where nothing at hand can draw them."""

import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby
from typing import Any

EVERYWHERE = ("LATIN", "GREEK", "CYRILLIC")
"""Scripts that every device can draw."""


def in_latin(text: str) -> str:
    """Return a text in Latin letters."""
    from anyascii import anyascii

    return anyascii(text)


def rare_runs(data: Any) -> dict[str, str]:
    """Return what a device without a fitting font cannot draw of plain data's texts, and its Latin letters.

    The longest runs come first, so that whoever replaces them in turn tears none.
    """
    runs = {run for text in _texts(data) for run in _rare(text)}
    return {run: in_latin(run) for run in sorted(runs, key=lambda run: (-len(run), run))}


def _texts(data: Any) -> Iterator[str]:
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for part in data.values():
            yield from _texts(part)
    elif isinstance(data, (list, tuple)):
        for part in data:
            yield from _texts(part)


def _rare(text: str) -> Iterator[str]:
    if text.isascii():
        return
    for rare, letters in groupby(text, _is_rare):
        if rare:
            yield "".join(letters)


@lru_cache(maxsize=4096)
def _is_rare(letter: str) -> bool:
    letters = unicodedata.category(letter)[0] in "LM"
    return letters and not unicodedata.name(letter, "").startswith((*EVERYWHERE, "COMBINING"))
