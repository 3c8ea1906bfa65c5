"""What is missing of crests and hollows in a file: cut off between its points, or blunted by coarse cells."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.ascent import IntArray, lasting_turns
from terrain_fuel.terrain.smoothing import VERTICAL_CURVE_M

COARSEST_CELL_M = 90.0
"""Ground models that cover the world have cells of up to three seconds of arc [m]."""

NEAR_M, FAR_M = 80.0, 180.0
"""The slopes beside a turn are taken there: nearer by, cells of 90 m and smoothing bend them [m]."""

LEAST_GRADE = 1e-9


def cut_off(
    distance_m: FloatArray, elevation_m: FloatArray, reversal_m: FloatArray, gap_m: FloatArray
) -> float:
    """Return how much of the ascent, and of the descent, points leave out where the road turns [m].

    Parameters
    ----------
    distance_m, elevation_m : shape (n,), smoothed heights in order [m]
    reversal_m : shape (n,), what counted as a reversal [m]
    gap_m : shape (n,), from one point of the file to the next [m]

    Notes
    -----
    The nearest point to a crest lies up to half a gap away, and the line between points cuts it off.
    With grades of g on both sides that become each other over a vertical curve of length L, the
    nearest point is lower by g d^2 / (12 L) on average for gaps d up to L, and by g (d - L) / 4 +
    g L^2 / (12 d) for longer ones. Unlike grades count as one of 2 / (1 / a + 1 / b). The grades are
    those between half a gap and one and a half from the turn, or as far as to the next.
    """
    turns = lasting_turns(elevation_m, reversal_m)
    gap = gap_m[turns[1:-1]]
    (_, before), (_, after) = _flanks(distance_m, elevation_m, turns, 0.5 * gap, 1.5 * gap)
    shorter_m, longer_m = np.minimum(gap, VERTICAL_CURVE_M), np.maximum(gap, VERTICAL_CURVE_M)
    lower_m = (gap - shorter_m) / 4.0 + shorter_m**2 / (12.0 * longer_m)
    return float((_alike(before, after) * lower_m).sum())


def blunted(
    distance_m: FloatArray, elevation_m: FloatArray, reversal_m: FloatArray, gap_m: FloatArray
) -> float:
    """Return how much more than `cut_off` cells of unknown size may have taken where the road turns [m].

    Parameters
    ----------
    distance_m, elevation_m, reversal_m, gap_m : as for `cut_off`

    Notes
    -----
    Heights from the lines between cells look like heights of a road that is as blunt, however near to
    each other the points are: no file tells them apart. What may be missing is at most what the
    coarsest cells cut off, and no more than the turns are lower than the slopes beside them promise:
    those meet above a turn rounded over a vertical curve of length L by g L / 4.
    """
    coarse_m = cut_off(distance_m, elevation_m, reversal_m, np.maximum(gap_m, COARSEST_CELL_M))
    known_m = cut_off(distance_m, elevation_m, reversal_m, gap_m)
    turns = lasting_turns(elevation_m, reversal_m)
    near, far = np.full(turns.size - 2, NEAR_M), np.full(turns.size - 2, FAR_M)
    (from_before_m, before), (from_after_m, after) = _flanks(distance_m, elevation_m, turns, near, far)
    # the lines of both slopes meet where the lower of them has made up for what it is lower by
    share = np.where(before + after > LEAST_GRADE, before / np.maximum(before + after, LEAST_GRADE), 0.5)
    meeting_m = from_before_m + share * (from_after_m - from_before_m)
    lower_m = float((meeting_m - _alike(before, after) * VERTICAL_CURVE_M / 4.0).sum()) - known_m
    return max(min(coarse_m - known_m, lower_m), 0.0)


def _flanks(
    distance_m: FloatArray, elevation_m: FloatArray, turns: IntArray, near_m: FloatArray, far_m: FloatArray
) -> tuple[tuple[FloatArray, FloatArray], tuple[FloatArray, FloatArray]]:
    """Return the slopes before and behind each turn but the ends.

    Each is how far beyond the turn's height its line reaches at the turn [m], up at crests and down in
    hollows, and its grade, positive towards the turn; taken between ``near_m`` and ``far_m`` from it, or as
    far as to the next.
    """
    here_m, height_m = distance_m[turns[1:-1]], elevation_m[turns[1:-1]]
    up = np.sign(height_m - elevation_m[turns[:-2]])
    found = []
    for way, others_m in ((-1.0, distance_m[turns[:-2]]), (1.0, distance_m[turns[2:]])):
        end_m = np.minimum(far_m, 0.75 * np.abs(others_m - here_m))
        begin_m = np.minimum(near_m, 0.5 * end_m)
        begin, end = (
            up * (height_m - np.interp(here_m + way * at_m, distance_m, elevation_m))
            for at_m in (begin_m, end_m)
        )
        grade = np.maximum(end - begin, 0.0) / np.maximum(end_m - begin_m, 1.0)
        found.append((grade * begin_m - begin, grade))
    return found[0], found[1]


def _alike(before: FloatArray, after: FloatArray) -> FloatArray:
    """Return the one grade that stands for two unlike ones."""
    return np.asarray(2.0 * before * after / np.maximum(before + after, LEAST_GRADE))
