"""Which straight pieces of profile make up a climb, a descent or a flat."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import StretchKind

STEEP_FROM = 0.03
"""Grade from which a piece is a climb or a descent: common practice (no source)."""

LEAST_GAIN_M = 30.0
"""Height from which it is a stretch of its own: common practice (no source)."""

LARGEST_LOSS_M = 10.0
"""A climb goes on after a dip of this depth at most."""

LONGEST_REST_M = 500.0
LONGEST_REST_SHARE = 0.3
"""A climb goes on after a rest of this length or share of it at most: a false flat."""

SHORTEST_FLAT_M = 150.0
"""A shorter flat between two others goes to the one it resembles."""


@dataclass(frozen=True, slots=True)
class _Run:
    """Pieces ``first`` to ``last`` taken together."""

    kind: StretchKind
    first: int
    last: int


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Straight pieces: knots [m] and heights there [m]."""

    knot_m: FloatArray
    height_m: FloatArray

    def length(self, run: _Run) -> float:
        return float(self.knot_m[run.last + 1] - self.knot_m[run.first])

    def gain(self, run: _Run) -> float:
        return float(self.height_m[run.last + 1] - self.height_m[run.first])


def divide_road(
    knot_m: FloatArray, knot_height_m: FloatArray, kept_share: float = 1.0
) -> list[tuple[StretchKind, int, int]]:
    """Return kind, first knot and last knot of the climbs, descents and flats of a road.

    Parameters
    ----------
    knot_m : shape (k + 1,), where the grade changes, from 0 to the route's length [m]
    knot_height_m : shape (k + 1,), heights there [m]
    kept_share : share of the distance that is road; the rest is jitter of the points, and
        makes every grade look gentler than it is
    """
    pieces = _Pieces(knot_m * kept_share, knot_height_m)
    kinds = [_kind(grade) for grade in (np.diff(pieces.height_m) / np.diff(pieces.knot_m)).tolist()]
    runs = _joined([_Run(kind, index, index) for index, kind in enumerate(kinds)])
    runs = _over_rests(runs, pieces)
    runs = _joined(
        [run if abs(pieces.gain(run)) >= LEAST_GAIN_M else replace(run, kind="flat") for run in runs]
    )
    runs = _joined([_resembling(runs, index, pieces) for index in range(len(runs))])
    return [(run.kind, run.first, run.last + 1) for run in runs]


def _kind(grade: float) -> StretchKind:
    if grade >= STEEP_FROM:
        return "climb"
    return "descent" if grade <= -STEEP_FROM else "flat"


def _joined(runs: list[_Run]) -> list[_Run]:
    out = runs[:1]
    for run in runs[1:]:
        if run.kind == out[-1].kind:
            out[-1] = replace(out[-1], last=run.last)
        else:
            out.append(run)
    return out


def _over_rests(runs: list[_Run], pieces: _Pieces) -> list[_Run]:
    """Join climbs over false flats and descents over short rises, the shortest first."""
    while True:
        rests = [
            (pieces.length(runs[index]), index)
            for index in range(1, len(runs) - 1)
            if _carries_on(runs[index - 1], runs[index], runs[index + 1], pieces)
        ]
        if not rests:
            return runs
        _, index = min(rests)
        joined = replace(runs[index - 1], last=runs[index + 1].last)
        runs = [*runs[: index - 1], joined, *runs[index + 2 :]]


def _carries_on(before: _Run, rest: _Run, after: _Run, pieces: _Pieces) -> bool:
    if before.kind != after.kind or before.kind == "flat":
        return False
    whole = replace(before, last=after.last)
    way = 1.0 if before.kind == "climb" else -1.0
    length = pieces.length(whole)
    return (
        way * pieces.gain(whole) / length >= STEEP_FROM
        and -way * pieces.gain(rest) <= LARGEST_LOSS_M
        and pieces.length(rest) <= max(LONGEST_REST_M, LONGEST_REST_SHARE * length)
    )


def _resembling(runs: list[_Run], index: int, pieces: _Pieces) -> _Run:
    run = runs[index]
    if run.kind != "flat" or len(runs) == 1 or pieces.length(run) >= SHORTEST_FLAT_M:
        return run
    neighbours = {other.kind for other in runs[max(index - 1, 0) : index + 2]} - {"flat"}
    wanted: StretchKind = "climb" if pieces.gain(run) >= 0.0 else "descent"
    return replace(run, kind=wanted) if wanted in neighbours else run
