"""When a recording rode and when it stood: halts, a receiver that strays, a device switched off."""

from dataclasses import replace

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.model import WALKING_PACE_M_S
from terrain_fuel.track import Track

FASTEST_M_S = 35.0
"""No span is taken to have been ridden faster: GPS jumps are [m/s]."""

LOOK_S, STRAY_M = 30.0, 13.0
"""Whose places so long before and after a moment lie about their middle with a root mean square of no
more than this stands. A receiver at rest strays by 5 to 10 m; walking pace gives 17 m, a hairpin at
2 m/s as much; common practice (no source)."""

STEP_S, REST_STEP_M = 2.0, 1e-3

GAP_S, GAP_SHARE = 15.0, 0.5
"""A span that takes longer, at less than this share of the speed around it, has a halt in it."""

AROUND_M = 1000.0
"""The speed around a place is the mean over so much road before and after it [m]."""

EARTH_M = 6_371_000.0


def without_rests(track: Track) -> Track:
    """Return a recording in which all points of a rest lie at one place of the road.

    Parameters
    ----------
    track : a recording with ``time_s``
    """
    stood = _standing(track)
    inside = np.concatenate(([False], stood[:-1] & stood[1:], [False]))
    road_m = np.concatenate(([0.0], np.cumsum(np.where(stood, REST_STEP_M, np.diff(track.distance_m)))))
    kept = ~inside
    return replace(
        track,
        lat_deg=track.lat_deg[kept],
        lon_deg=track.lon_deg[kept],
        elevation_m=track.elevation_m[kept],
        interpolated=track.interpolated[kept],
        distance_m=road_m[kept],
        time_s=_times(track)[kept],
        power_w=None if track.power_w is None else track.power_w[kept],
    )


def riding_time(track: Track) -> FloatArray:
    """Return what each span of a recording took in the saddle [s], shape (n - 1,).

    Parameters
    ----------
    track : a recording with ``time_s``, `without_rests`

    Notes
    -----
    A span that holds a halt gets the time of its length at the speed ridden around it; everything
    else its own time, at walking pace at the slowest.
    """
    length, took = np.diff(track.distance_m), np.diff(_times(track))
    lasted = np.clip(took, length / FASTEST_M_S, length / WALKING_PACE_M_S)
    usual = _speed_around(track.distance_m, length, lasted, took <= GAP_S)
    halted = (took > GAP_S) & (length < GAP_SHARE * usual * took)
    return np.asarray(np.where(halted, length / usual, lasted))


def _times(track: Track) -> FloatArray:
    if track.time_s is None:
        raise ValueError("a recording has times")
    return track.time_s


def _standing(track: Track) -> BoolArray:
    """Return where the rider stays about one place for a while, shape (n - 1,).

    A gap between points that leads on along the road is none: nobody knows where in it the rider stood.
    """
    time_s = np.maximum.accumulate(_times(track))
    east_m = np.unwrap(np.radians(track.lon_deg)) * EARTH_M * np.cos(np.radians(track.lat_deg.mean()))
    place_m = np.column_stack((EARTH_M * np.radians(track.lat_deg), east_m))
    even_s = np.arange(time_s[0], time_s[-1] + STEP_S, STEP_S)
    there_m = np.column_stack([np.interp(even_s, time_s, place_m[:, axis]) for axis in (0, 1)])
    middle_m, spread_m = _place_and_spread(there_m, round(LOOK_S / STEP_S))
    rests = np.flatnonzero(spread_m < STRAY_M)
    stood = np.zeros(even_s.size, dtype=np.bool_)
    for run in np.split(rests, np.flatnonzero(np.diff(rests) > 1) + 1):
        if run.size:
            _mark_rest(stood, there_m, middle_m[run].mean(axis=0), int(run[0]), int(run[-1]))
    middle_s = 0.5 * (time_s[1:] + time_s[:-1])
    led_on = (np.diff(time_s) > GAP_S) & (np.hypot(*np.diff(place_m, axis=0).T) > 2.0 * STRAY_M)
    return np.asarray(stood[np.rint((middle_s - time_s[0]) / STEP_S).astype(np.int_)] & ~led_on)


def _place_and_spread(there_m: FloatArray, reach: int) -> tuple[FloatArray, FloatArray]:
    """Return the mean place, shape (m, 2), and the spread about it, shape (m,), so many steps around [m]."""
    origin = there_m - there_m.mean(axis=0)
    first = np.maximum(np.arange(origin.shape[0]) - reach, 0)
    last = np.minimum(np.arange(origin.shape[0]) + reach + 1, origin.shape[0])
    count = (last - first)[:, None]
    sums, squares = (np.vstack((np.zeros((1, 2)), np.cumsum(of, axis=0))) for of in (origin, origin**2))
    mean = (sums[last] - sums[first]) / count
    variance = (squares[last] - squares[first]) / count - mean**2
    return mean + there_m.mean(axis=0), np.sqrt(np.maximum(variance.sum(axis=1), 0.0))


def _mark_rest(stood: BoolArray, there_m: FloatArray, middle_m: FloatArray, first: int, last: int) -> None:
    """Mark what of a rest, and of the time just before and after it, lies about its place."""
    reach = round(LOOK_S / STEP_S)
    part = slice(max(first - reach, 0), last + reach + 1)
    stood[part] |= np.hypot(*(there_m[part] - middle_m).T) < 1.5 * STRAY_M


def _speed_around(
    distance_m: FloatArray, length: FloatArray, lasted: FloatArray, sound: BoolArray
) -> FloatArray:
    """Return the usual speed around each span [m/s], shape (n - 1,), from sound spans alone."""
    if not sound.any():
        return np.full(length.shape, length.sum() / lasted.sum())
    road = np.concatenate(([0.0], np.cumsum(np.where(sound, length, 0.0))))
    time = np.concatenate(([0.0], np.cumsum(np.where(sound, lasted, 0.0))))
    middle = 0.5 * (distance_m[1:] + distance_m[:-1])
    first = np.searchsorted(distance_m, middle - AROUND_M).clip(0, length.size - 1)
    last = np.searchsorted(distance_m, middle + AROUND_M).clip(1, length.size)
    ridden, spent = road[last] - road[first], time[last] - time[first]
    whole = road[-1] / time[-1]
    return np.asarray(np.where(ridden > 0.2 * AROUND_M, ridden / np.maximum(spent, 1e-9), whole))
