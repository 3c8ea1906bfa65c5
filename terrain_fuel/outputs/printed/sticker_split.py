"""Cutting the cues of a ride into strips: as few as hold them, at the halts, not where hands are held."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from terrain_fuel.outputs.printed.cues import Cue
from terrain_fuel.outputs.printed.sticker_lines import StickerLine

STRIP_COST, CUT_COST, HANDS_COST = 100.0, 8.0, 50.0
"""What a strip more costs, a cut away from a halt, and one where hands go on the bars."""


AT_ONCE_M = 1500.0
"""A rhythm that holds no farther than this is not worth a line."""


@dataclass(frozen=True, slots=True)
class Block:
    """A cue and the lines that it takes on a strip."""

    cue: Cue
    lines: tuple[StickerLine, ...]


def split_blocks(blocks: Sequence[Block], rows: int) -> list[list[Block]]:
    """Return the blocks in strips of at most so many lines, in road order.

    Each strip but the last ends with a line that says to turn to the next, and begins with the rhythm.

    Parameters
    ----------
    blocks : in road order
    rows : lines that a strip holds
    """
    count = len(blocks)
    best: list[tuple[float, int]] = [(math.inf, count)] * count + [(0.0, count)]
    for first in range(count - 1, -1, -1):
        used = int(repeated_rhythm(blocks, first) is not None)
        for last in range(first + 1, count + 1):
            used += len(blocks[last - 1].lines)
            full = used + (last < count)
            if full > rows and last > first + 1:
                continue
            cost = STRIP_COST + 4.0 * (full / rows) ** 2 + _cut_cost(blocks, last) + best[last][0]
            if cost < best[first][0]:
                best[first] = (cost, last)
    parts, first = [], 0
    while first < count:
        last = best[first][1]
        parts.append(list(blocks[first:last]))
        first = last
    return parts


def repeated_rhythm(blocks: Sequence[Block], first: int) -> Cue | None:
    """Return the rhythm that a strip repeats at its head; None where it, or the road, begins with another.

    A halt close behind the last line of the strip before is such a place if the rhythm changes there.
    """
    at_once = blocks[first].cue
    if at_once.kind == "refill" and 0 < first < len(blocks) - 1:
        near = at_once.distance_m - blocks[first - 1].cue.distance_m <= AT_ONCE_M
        at_once = blocks[first + 1].cue if near else at_once
    if at_once.kind == "rhythm":
        return None
    return next((block.cue for block in reversed(blocks[:first]) if block.cue.kind == "rhythm"), None)


def _cut_cost(blocks: Sequence[Block], at: int) -> float:
    """Return what it costs to cut before a block."""
    if at == len(blocks):
        return 0.0
    before, after = blocks[at - 1].cue.kind, blocks[at].cue.kind
    if before == "refill" or after == "rhythm":
        return 0.0
    return HANDS_COST if after == "hands_on" else CUT_COST
