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

    Taking i * pitch from place i turns the task into isotonic regression.
    """
    if at.size == 0:
        return at
    steps = pitch * np.arange(at.size)
    return np.asarray(np.clip(_rising(at - steps), low, max(low, high - steps[-1])) + steps)


def _rising(values: FloatArray) -> FloatArray:
    """Return the nearest places that never fall: neighbours that do, share their mean.

    The way is to pool adjacent violators. SciPy's takes longer to load than all marks of a plan to place.
    """
    pools: list[tuple[float, int]] = []
    for value in values.tolist():
        total, count = value, 1
        while pools and pools[-1][0] * count >= total * pools[-1][1]:
            before, held = pools.pop()
            total, count = before + total, held + count
        pools.append((total, count))
    return np.concatenate([np.full(count, total / count) for total, count in pools])
