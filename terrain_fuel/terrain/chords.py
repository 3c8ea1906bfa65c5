"""Heights no road has: spikes, and the gorge under a bridge or the ridge over a tunnel."""

from bisect import bisect_right
from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.equations.around import running_median
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.terrain.runs import runs
from terrain_fuel.track import Waypoint

SPIKE_GRADE = 0.30
"""A spike is steeper than this on the way to it (from memory)."""

SPIKE_SPREADS = 3.0
"""A spike stands off the running median by this many robust standard deviations."""

LEAST_SPIKE_M = 3.0
SPIKE_REACH_M = 60.0
"""A spike is narrower than twice this [m]."""

FLANK_GRADE = 0.16
"""Both flanks of a gorge or ridge are steeper than this: steeper than the road across may be."""

LEAST_DEPTH_M = 15.0
"""It is at least this deep or high (from memory)."""

LONGEST_BRIDGE_M, LONGEST_TUNNEL_M = 2000.0, 5000.0
"""It is at most this long (from memory): road tunnels open to bicycles are rarely longer."""

FLANK_SHARE = 0.8
"""The flank is the way from the rim to this share of the depth."""

LEAST_FLANK_M = 6.0
"""A steep place that rises or falls less is noise."""

FLANK_SPREADS, DEPTH_SPREADS = 1.5, 3.0
"""... and both by so many standard deviations of the heights' errors more."""

STEEPEST_ROAD = 0.15
"""The road across is no steeper than this."""

RIM_M = 60.0
RIM_GRADE = 0.10
"""The rim lies beside the steep flank, so far at most [m], where the ground is no steeper than this."""

TUNNEL_REACH_M = 1000.0
"""A tunnel waypoint explains a ridge this near [m]; half the flank and depth then suffice."""


@dataclass(frozen=True, slots=True)
class Chord:
    """A span of road whose heights were replaced by a straight line, as node indices, both included."""

    kind: Literal["bridge", "tunnel"]
    first: int
    last: int


def despiked(height_m: FloatArray, step_m: float) -> tuple[FloatArray, BoolArray]:
    """Return heights without spikes, and where they were.

    A spike stands above, or lies below, the running medians on both its sides; the edge of a
    gorge lies between them.
    """
    reach = max(int(SPIKE_REACH_M / step_m), 1)
    count = height_m.size
    if count < 4 * reach:
        return height_m, np.zeros(count, dtype=bool)
    middle = running_median(height_m, reach | 1)
    before = middle[np.maximum(np.arange(count) - reach, 0)]
    after = middle[np.minimum(np.arange(count) + reach, count - 1)]
    off = np.maximum(height_m - np.maximum(before, after), np.minimum(before, after) - height_m)
    spread = 1.4826 * float(np.median(np.abs(height_m - middle)))
    steep = np.abs(np.diff(height_m)) > SPIKE_GRADE * step_m
    beside = np.concatenate((steep, [False])) | np.concatenate(([False], steep))
    spike = beside & (off > max(SPIKE_SPREADS * spread, LEAST_SPIKE_M))
    node = np.arange(count)
    return (np.interp(node, node[~spike], height_m[~spike]) if spike.any() else height_m), spike


def find_chords(
    height_m: FloatArray, step_m: float, waypoints: tuple[Waypoint, ...], noise_sd_m: float = 0.0
) -> tuple[Chord, ...]:
    """Return the gorges and ridges that the road must cross on a bridge or through a tunnel.

    Parameters
    ----------
    height_m : shape (n,), heights at equal steps [m]
    step_m : the step [m]
    waypoints : of which tunnels explain gentler ridges
    noise_sd_m : standard deviation of the heights' errors [m]
    """
    found = _steep_sided(height_m, step_m, noise_sd_m, 1.0)
    tunnels = [mark.distance_m for mark in waypoints if mark.kind == "tunnel"]
    if tunnels:
        for chord in _steep_sided(height_m, step_m, noise_sd_m, 0.5):
            low, high = chord.first * step_m - TUNNEL_REACH_M, chord.last * step_m + TUNNEL_REACH_M
            known = any(low <= at <= high for at in tunnels)
            if chord.kind == "tunnel" and known and not any(_overlap(chord, other) for other in found):
                found.append(chord)
    return tuple(sorted(found, key=lambda chord: chord.first))


def across(height_m: FloatArray, chords: tuple[Chord, ...]) -> tuple[FloatArray, BoolArray]:
    """Return heights with every chord drawn straight, and where they are."""
    flat, inside = height_m.copy(), np.zeros(height_m.size, dtype=bool)
    for chord in chords:
        span = slice(chord.first, chord.last + 1)
        flat[span] = np.linspace(height_m[chord.first], height_m[chord.last], chord.last - chord.first + 1)
        inside[chord.first + 1 : chord.last] = True
    return flat, inside


def _overlap(a: Chord, b: Chord) -> bool:
    return a.first <= b.last and b.first <= a.last


def _steep_sided(height_m: FloatArray, step_m: float, noise_sd_m: float, share: float) -> list[Chord]:
    if height_m.size < 3:
        return []
    slope = np.zeros(height_m.size)
    slope[1:-1] = (height_m[2:] - height_m[:-2]) / (2 * step_m)
    flanks = _flanks(height_m, slope, FLANK_GRADE * share, LEAST_FLANK_M + FLANK_SPREADS * noise_sd_m)
    least_m = (LEAST_DEPTH_M + DEPTH_SPREADS * noise_sd_m) * share
    lasts = [last for _, last, _ in flanks]
    chords: list[Chord] = []
    for index, (first, _, way) in enumerate(flanks):
        if chords and first < chords[-1].last:
            continue
        longest_m = LONGEST_BRIDGE_M if way < 0 else LONGEST_TUNNEL_M
        stop = bisect_right(lasts, first + longest_m / step_m)
        across_from = (last for _, last, other in flanks[index + 1 : stop] if other != way)
        opposite = [_to_the_rims(slope, step_m, first, last, way) for last in across_from]
        crossings = [chord for chord in opposite if _is_crossing(height_m, step_m, chord, least_m, share)]
        if crossings:
            chords.append(min(crossings, key=lambda chord: _slope(height_m, step_m, chord)))
    return chords


def _flanks(
    height_m: FloatArray, slope: FloatArray, grade: float, least_m: float
) -> list[tuple[int, int, int]]:
    """Return first node, last node and way (-1 down, 1 up) of every steep flank."""
    way = np.where(np.abs(slope) > grade, np.sign(slope), 0.0)
    return [
        (first, last, int(way[first]))
        for first, last in runs(way)
        if abs(height_m[last] - height_m[first]) >= least_m
    ]


def _to_the_rims(slope: FloatArray, step_m: float, first: int, last: int, way: int) -> Chord:
    """Return the chord from rim to rim: beside the flanks, where the ground is steep no more."""
    reach = int(RIM_M / step_m)
    before = slope[max(first - reach, 0) : first][::-1] * way > RIM_GRADE
    after = slope[last + 1 : last + 1 + reach] * -way > RIM_GRADE
    return Chord("bridge" if way < 0 else "tunnel", first - _leading(before) - 1, last + _leading(after) + 1)


def _leading(marks: BoolArray) -> int:
    return int(np.argmin(marks)) if not marks.all() else marks.size


def _is_crossing(height_m: FloatArray, step_m: float, chord: Chord, least_m: float, share: float) -> bool:
    """Tell whether the road leaves the chord steeply on both sides and far enough."""
    span = height_m[chord.first : chord.last + 1]
    off = np.linspace(span[0], span[-1], span.size) - span
    depth = off if chord.kind == "bridge" else -off
    reached = np.flatnonzero(depth >= FLANK_SHARE * depth.max()) * step_m
    longest_flank_m = FLANK_SHARE * float(depth.max()) / (FLANK_GRADE * share)
    return bool(
        depth.max() > least_m
        and reached[0] <= longest_flank_m
        and (span.size - 1) * step_m - reached[-1] <= longest_flank_m
        and _slope(height_m, step_m, chord) <= STEEPEST_ROAD
    )


def _slope(height_m: FloatArray, step_m: float, chord: Chord) -> float:
    return abs(float(height_m[chord.last] - height_m[chord.first])) / ((chord.last - chord.first) * step_m)
