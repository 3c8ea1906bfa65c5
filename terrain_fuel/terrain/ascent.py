"""Ascent and descent that do not count noise: only reversals that persist."""

import numpy as np

from terrain_fuel.frozen import FloatArray


def climbed(elevation_m: FloatArray, reversal_m: float) -> tuple[float, float]:
    """Return ascent and descent, both positive [m]; their difference is end less start.

    Parameters
    ----------
    elevation_m : shape (n,), heights in order [m]
    reversal_m : a reversal counts once it has gone this far [m], positive

    Notes
    -----
    Keeps the turning points whose one-dimensional persistence is at least ``reversal_m``,
    and both ends of the road.
    """
    change = np.diff(_lasting_turns(elevation_m, reversal_m))
    return float(change[change > 0].sum()), float(-change[change < 0].sum())


def _lasting_turns(elevation_m: FloatArray, reversal_m: float) -> FloatArray:
    heights = _turning_points(elevation_m).tolist()
    kept = heights[:1]
    low = high = extreme = heights[0]
    way = 0
    for height in heights[1:]:
        if way == 0:
            low, high = min(low, height), max(high, height)
            if high - low >= reversal_m:
                way = 1 if height == high else -1
                kept.append(low if way > 0 else high)
                extreme = height
        elif way * (height - extreme) > 0:
            extreme = height
        elif way * (extreme - height) >= reversal_m:
            kept.append(extreme)
            way, extreme = -way, height
    if way != 0:
        kept.append(extreme)
    kept.append(heights[-1])
    return _without_short_ends(kept, reversal_m)


def _without_short_ends(turns: list[float], reversal_m: float) -> FloatArray:
    """Drop turning points so near the height of the road's start or end that they do not count."""
    first, last = 0, len(turns) - 1
    while first + 1 < last and abs(turns[first + 1] - turns[0]) < reversal_m:
        first += 1
    while first + 1 < last and abs(turns[last - 1] - turns[-1]) < reversal_m:
        last -= 1
    return np.array([turns[0], *turns[first + 1 : last], turns[-1]])


def _turning_points(elevation_m: FloatArray) -> FloatArray:
    change = np.diff(elevation_m)
    moving = np.flatnonzero(change != 0.0)
    direction = np.sign(change[moving])
    turns = moving[1:][direction[1:] != direction[:-1]]
    return elevation_m[np.concatenate(([0], turns, [elevation_m.size - 1]))]
