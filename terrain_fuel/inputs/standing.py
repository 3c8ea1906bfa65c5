"""Points recorded while standing: they wander about one place, which is no road."""

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.equations.around import running_mean
from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.terrain.runs import runs

LOOK_S = 10
"""Who is no farther on after so many seconds, comparing means before and after, stands [s]."""

ON_M = 7.0
"""No farther on: slower than 0.7 m/s, half a walking pace [m]."""

AROUND_M = 10.0
"""Points of someone standing lie about their middle with no larger root mean square [m]."""

BESIDE_M = 12.0
"""The points before and after a halt belong to it as long as they lie so near its middle [m]."""

SAME_PLACE_M = 20.0
"""Two halts so near, one after the other, are one [m]."""

SAME_HALT_S = 60.0
"""... if no more than this lies between them [s]."""

PAUSE_S = 30.0
"""A recorder that writes nothing for longer has been switched off, and nobody wandered [s]."""

UNTIMED_M_S = 7.5
"""Points without times are taken to be ridden at this speed: jitter then looks like standing [m/s]."""

FEWEST_POINTS = 4


def fall_together(
    lat_deg: FloatArray, lon_deg: FloatArray, time_s: FloatArray | None
) -> tuple[BoolArray, FloatArray, FloatArray]:
    """Return which points to keep, and all positions, those of a halt at its mean.

    Parameters
    ----------
    lat_deg, lon_deg : shape (n,) [degrees]
    time_s : shape (n,) [s], NaN where unknown, or None

    Returns
    -------
    kept : bool, shape (n,)
        Of every halt only the first point.
    lat_deg, lon_deg : shape (n,) [degrees]
    """
    place_m = earth_centred_m(lat_deg, lon_deg)
    clock_s = _clock(place_m, time_s)
    kept, lat, lon = np.ones(lat_deg.size, dtype=bool), lat_deg.copy(), lon_deg.copy()
    for first, last in _halts(_standing(place_m, clock_s), place_m, clock_s):
        kept[first + 1 : last + 1] = False
        lat[first] = lat_deg[first : last + 1].mean()
        away = (lon_deg[first : last + 1] - lon_deg[first] + 180.0) % 360.0 - 180.0
        lon[first] = (lon_deg[first] + away.mean() + 180.0) % 360.0 - 180.0
    return kept, lat, lon


def _clock(place_m: FloatArray, time_s: FloatArray | None) -> FloatArray:
    """Return seconds of recording at the points, or of riding them where times are not known [s]."""
    leg_s = np.linalg.norm(np.diff(place_m, axis=0), axis=1) / UNTIMED_M_S
    if time_s is not None and np.isfinite(time_s).all():
        leg_s = np.clip(np.diff(time_s), 0.0, None)
    return np.concatenate(([0.0], np.cumsum(np.minimum(leg_s, PAUSE_S))))


def _standing(place_m: FloatArray, clock_s: FloatArray) -> BoolArray:
    """Tell at which points the rider stands, shape (n,)."""
    seconds = np.arange(0.0, np.floor(clock_s[-1]) + 1.0)
    if seconds.size <= 2 * LOOK_S:
        return np.zeros(clock_s.size, dtype=bool)
    moving = np.column_stack([np.interp(seconds, clock_s, column) for column in place_m.T])
    mean = running_mean(moving, LOOK_S)
    middle = running_mean(moving, 2 * LOOK_S)
    around = running_mean(((moving - middle) ** 2).sum(axis=1), 2 * LOOK_S)
    # whether someone stands at the very ends of a recording is seen a few seconds within it
    index = np.clip(np.arange(seconds.size), LOOK_S, seconds.size - 1 - LOOK_S)
    on_m = np.linalg.norm(mean[index + LOOK_S // 2] - mean[index - LOOK_S // 2], axis=1)
    stands = (on_m < ON_M) & (around[index] < AROUND_M**2)
    return np.asarray(stands[np.minimum(np.rint(clock_s).astype(np.intp), seconds.size - 1)])


def _halts(standing: BoolArray, place_m: FloatArray, clock_s: FloatArray) -> list[tuple[int, int]]:
    """Return first and last point of every halt; halts that jitter has parted are one."""
    halts: list[tuple[int, int]] = []
    middles: list[NDArray[np.float64]] = []
    for first, last in runs(standing):
        middle = place_m[first : last + 1].mean(axis=0)
        first, last = _grown(first, last, np.linalg.norm(place_m - middle, axis=1) < BESIDE_M)
        again = halts and clock_s[first] - clock_s[halts[-1][1]] < SAME_HALT_S
        if again and np.linalg.norm(middle - middles[-1]) < SAME_PLACE_M:
            halts[-1] = (halts[-1][0], last)
        elif last - first + 1 >= FEWEST_POINTS:
            first = max(first, halts[-1][1] + 1) if halts else first
            halts.append((first, last))
            middles.append(middle)
    return halts


def _grown(first: int, last: int, beside: BoolArray) -> tuple[int, int]:
    """Return the run with the points before and after it, as long as they lie beside its middle."""
    away = np.flatnonzero(~beside)
    before, after = away[away < first], away[away > last]
    return (
        int(before[-1]) + 1 if before.size else 0,
        int(after[0]) - 1 if after.size else beside.size - 1,
    )
