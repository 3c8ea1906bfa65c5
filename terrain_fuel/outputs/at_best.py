"""How much better another plan could be, in words."""

import math

from terrain_fuel.outputs.words import Words

NOT_KNOWN_FROM = 0.9
"""A bound this far off says nothing."""


def at_best(words: Words, gap_share: float, place: str) -> str:
    """Return the line for ``place``, the start of its labels; shares are rounded up to per cents."""
    if gap_share >= NOT_KNOWN_FROM:
        return words.label(f"{place}.not_known")
    return words.label(f"{place}.at_most_better", gap_share=math.ceil(100.0 * gap_share - 1e-6) / 100.0)
