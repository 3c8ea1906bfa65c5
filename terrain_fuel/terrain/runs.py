"""Runs of equal marks along the road, and spans joined over short gaps."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

Span = tuple[float, float]


def runs(marks: ArrayLike) -> list[tuple[int, int]]:
    """Return the first and last index of every run of one mark; runs of 0 or False are left out."""
    mark = np.asarray(marks)
    edges = np.concatenate(([0], np.flatnonzero(mark[1:] != mark[:-1]) + 1, [mark.size]))
    kept = np.flatnonzero(mark[edges[:-1]])
    return list(zip(edges[kept].tolist(), (edges[kept + 1] - 1).tolist(), strict=True))


def joined(spans: Iterable[Span], gap_m: float) -> list[Span]:
    """Return spans in order, those joined that lie no farther apart than a gap [m]."""
    out: list[Span] = []
    for start, end in spans:
        if out and start - out[-1][1] <= gap_m:
            out[-1] = (out[-1][0], end)
        else:
            out.append((start, end))
    return out
