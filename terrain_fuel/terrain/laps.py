"""Laps: the same road ridden again and again, in the same direction."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, points

from terrain_fuel.equations.geodesy import SPHERE_DEGREE_M, earth_centred_m
from terrain_fuel.frozen import FloatArray, IntArray
from terrain_fuel.terrain.model import Laps, Profile

# Common practice (no source).
STEP_M = 20.0
SAME_ROAD_M = 25.0
LEAST_LAP_M = 700.0
LAG_SLACK_M, LAG_SLACK = 40.0, 0.015
"""Two laps of one road measure this much apart."""
LONGEST_GAP_M = 300.0
"""Where two lanes run apart the lap is not over."""
CHART_SLACK = 1.01
"""The chart's sphere and the ellipsoid differ by less."""
WHOLE_LAP = 0.9
"""A second lap that is ridden at least so far is one."""
ENDS_M = 500.0
"""Laps that end this near to the finish are counted from there."""

MOST_PAIRS = 4_000_000
"""Pairs of places that are one: some 400 laps of 400 m. With more, which fill the memory, none are sought."""


@dataclass(frozen=True, slots=True, eq=False)
class _Passes:
    """Where the road comes by again: at ``from_m``, and ``lag_m`` later once more; shape (k,) [m]."""

    from_m: FloatArray
    lag_m: FloatArray


def find_laps(profile: Profile) -> Laps | None:
    """Return the laps of a route, None if it has none.

    Parameters
    ----------
    profile : the road at even steps

    Notes
    -----
    Where the road passes the same place once more, the distance in between is noted. A lap is the least
    such distance that holds all along a lap without a break: a road that crosses itself shares a place
    and not a lap; on one that goes out and back the distance changes from place to place.
    """
    passes = _passes(profile)
    for lap_m in _candidates_m(passes):
        run = _longest_run(passes, lap_m)
        if run is not None and run.from_m[-1] - run.from_m[0] >= WHOLE_LAP * lap_m - SAME_ROAD_M:
            return _laps(run, float(profile.distance_m[-1]))
    return None


def _passes(profile: Profile) -> _Passes:
    """Return every pair of places of the road that are one place, passed again."""
    every = max(1, round(STEP_M / profile.step_m))
    road_m = profile.distance_m[::every]
    places = earth_centred_m(profile.lat_deg[::every], profile.lon_deg[::every])
    if _expected_pairs(places) > MOST_PAIRS:
        return _Passes(np.empty(0), np.empty(0))
    first, later = _near_pairs(profile.lat_deg[::every], profile.lon_deg[::every])
    lag_m = road_m[later] - road_m[first]
    again = lag_m >= LEAST_LAP_M
    first, later, lag_m = first[again], later[again], lag_m[again]
    one = np.linalg.norm(places[first] - places[later], axis=1) <= SAME_ROAD_M
    first, lag_m = first[one], lag_m[one]
    order = np.lexsort((lag_m, first))
    return _Passes(road_m[first][order], lag_m[order])


def _near_pairs(lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[IntArray, IntArray]:
    """Return the earlier and the later of all pairs of places near each other, and of some hardly farther.

    The chart is Mercator's, on which what is near is a circle everywhere, larger towards the poles.
    """
    lat = np.radians(lat_deg)
    stretched = 1.0 / np.cos(lat)
    lon_unwrapped = np.unwrap(lon_deg, period=360.0)
    place = np.asarray(
        points(SPHERE_DEGREE_M * lon_unwrapped, SPHERE_DEGREE_M * np.degrees(np.arcsinh(np.tan(lat))))
    )
    within = CHART_SLACK * SAME_ROAD_M * stretched
    first, later = STRtree(place).query(place, predicate="dwithin", distance=within)
    in_order = first < later
    return first[in_order], later[in_order]


def _expected_pairs(place_m: FloatArray) -> int:
    """Return about how many pairs of places are near each other: the squares of how many share a cube."""
    cube = np.floor(place_m / SAME_ROAD_M).astype(np.int64)
    cube -= cube.min(axis=0)
    _, wide, deep = (cube.max(axis=0) + 1).tolist()
    _, sharing = np.unique((cube[:, 0] * wide + cube[:, 1]) * deep + cube[:, 2], return_counts=True)
    return int(sharing @ sharing)


def _candidates_m(passes: _Passes) -> NDArray[np.float64]:
    """Return distances that may be a lap, the least first: so much road comes by again after them [m]."""
    if passes.lag_m.size == 0:
        return np.empty(0)
    lags = np.sort(passes.lag_m)
    tried = np.arange(lags[0], lags[-1] + LAG_SLACK_M, LAG_SLACK_M)
    slack = LAG_SLACK_M + LAG_SLACK * tried
    near = np.searchsorted(lags, tried + slack, "right") - np.searchsorted(lags, tried - slack)
    return np.asarray(tried[near * STEP_M >= WHOLE_LAP * tried - LONGEST_GAP_M])


def _longest_run(passes: _Passes, lap_m: float) -> _Passes | None:
    """Return the longest stretch without a break that comes by again after about one lap."""
    near = np.abs(passes.lag_m - lap_m) <= LAG_SLACK_M + LAG_SLACK * lap_m
    from_m, lag_m = passes.from_m[near], passes.lag_m[near]
    if from_m.size == 0:
        return None
    parts = np.split(np.arange(from_m.size), np.flatnonzero(np.diff(from_m) > LONGEST_GAP_M) + 1)
    longest = max(parts, key=lambda part: float(from_m[part[-1]] - from_m[part[0]]))
    at_m, where = np.unique(from_m[longest], return_inverse=True)
    mean_lag_m = np.bincount(where, weights=lag_m[longest]) / np.bincount(where)
    return _Passes(at_m, mean_lag_m)


def _laps(run: _Passes, length_m: float) -> Laps:
    """Return the whole laps of a run: back from the finish if it lies on the lap, else from its start."""
    next_m = np.maximum.accumulate(run.from_m + run.lag_m)
    end_m = float(next_m[-1])
    if length_m - end_m <= ENDS_M:
        bounds, nearly_m = [end_m], (1.0 - WHOLE_LAP) * float(run.lag_m[0])
        while bounds[-1] >= next_m[0] - nearly_m:
            bounds.append(float(np.interp(bounds[-1], next_m, run.from_m)))
        return Laps(tuple(bounds[::-1]))
    bounds = [float(run.from_m[0])]
    while bounds[-1] <= run.from_m[-1] + SAME_ROAD_M:
        bounds.append(bounds[-1] + float(np.interp(bounds[-1], run.from_m, run.lag_m)))
    return Laps(tuple(bounds))
