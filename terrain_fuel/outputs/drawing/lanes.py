"""Room for numbered marks along an axis: in lanes, none over another, near their places."""

import numpy as np

from terrain_fuel.frozen import FloatArray


def place_in_lanes(
    at: FloatArray, pitch: float, lanes: int, low: float, high: float
) -> tuple[FloatArray, FloatArray]:
    """Return where marks stand so that none overlaps another.

    Parameters
    ----------
    at : rising places that the marks belong to, shape (n,)
    pitch : least distance between two marks of a lane
    lanes : how many lanes; mark i stands in lane i mod ``lanes``
    low, high : ends of the axis

    Returns
    -------
    places, shape (n,), and lane numbers, shape (n,)
    """
    lane = np.arange(at.size, dtype=np.float64) % max(1, lanes)
    places = np.array(at, dtype=float)
    for each in range(max(1, lanes)):
        members = np.flatnonzero(lane == each)
        places[members] = spread(places[members], pitch, low, high)
    return places, lane


def spread(at: FloatArray, pitch: float, low: float, high: float) -> FloatArray:
    """Return places at least ``pitch`` apart with the least sum of squared moves, kept inside [low, high].

    Taking i * pitch from place i turns the task into isotonic regression, which pooling solves exactly.
    """
    if at.size == 0:
        return at
    blocks: list[list[float]] = []
    for value in (at - pitch * np.arange(at.size)).tolist():
        blocks.append([value, 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, count = blocks.pop()
            before = blocks[-1]
            before[0] = (before[0] * before[1] + mean * count) / (before[1] + count)
            before[1] += count
    level = np.concatenate([np.full(int(count), mean) for mean, count in blocks])
    highest = max(low, high - pitch * (at.size - 1))
    return np.asarray(np.clip(level, low, highest) + pitch * np.arange(at.size))
