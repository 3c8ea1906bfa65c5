"""A ride laid along the planned road: monotonely, the longest that fits; what lies between are events."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from terrain_fuel.frozen import FloatArray, IntArray
from terrain_fuel.review.candidates import REACH_M, Candidates, RoadLine, find_candidates, on_plane
from terrain_fuel.track import Track

SPACING_M = 20.0
"""Recorded points are looked at so far apart [m]."""

HALT_S = 8.0
"""A step that takes longer keeps both its ends."""

SLACK_M, SLACK_SHARE = 20.0, 0.25
"""Road ridden and road passed differ by no more while the rider follows the road."""

HALT_SLACK_M = 60.0
"""... but by so much more over a halt: the road ridden around it is not known to the metre."""

LOOK_BACK = 15
"""Points that may lie off the line, in a forest or a town, before the ride has left the road."""

SKIPPED_M = 5.0
"""What each of them costs, in metres of road matched."""

LEAP_M = 250.0
"""What it costs to leave the road and join it elsewhere, in metres of road matched."""

ON_THE_ROAD_M = 12.0
"""Where the ride leaves the road, the last point so near to it is still on it."""

LATER_SHARE = 1e-3
"""Of two passes that fit alike the earlier is meant."""

OTHER_WAY = 1.5
"""The ride goes the other way if so many times more of it fits so."""


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """Where a ride followed the road.

    Parameters
    ----------
    forward : bool
        False if the road was ridden the other way; ``along_m`` is then counted from its finish.
    along_m, ridden_m, clock_s : array, shape (k,)
        Matched points: place on the planned road [m], on the ridden one [m], when [s]; all rising.
    piece : int array, shape (k,)
        Points of one piece follow the road without leaving it.
    length_m : float
        Of the planned road [m].
    """

    forward: bool
    along_m: FloatArray
    ridden_m: FloatArray
    clock_s: FloatArray
    piece: IntArray
    length_m: float

    @property
    def matched_m(self) -> float:
        """How much of the planned road was ridden [m]."""
        return float(sum(until - since for since, until in self.spans_m))

    @property
    def spans_m(self) -> tuple[tuple[float, float], ...]:
        """Spans of the planned road that were ridden [m], one for each piece."""
        ends = [np.flatnonzero(self.piece == piece)[[0, -1]] for piece in np.unique(self.piece)]
        return tuple((float(self.along_m[first]), float(self.along_m[last])) for first, last in ends)

    def arrival_s(self, along_m: float) -> float | None:
        """Return when a place of the planned road was reached [s], None if it was not."""
        after = int(np.searchsorted(self.along_m, along_m, side="left"))
        if after == self.along_m.size:
            return float(self.clock_s[-1]) if along_m - self.along_m[-1] <= SPACING_M else None
        if self.along_m[after] == along_m:
            return float(self.clock_s[after])
        if after == 0:
            return float(self.clock_s[0]) if self.along_m[0] - along_m <= SPACING_M else None
        if self.piece[after] != self.piece[after - 1]:
            return None
        share = (along_m - self.along_m[after - 1]) / (self.along_m[after] - self.along_m[after - 1])
        return float(self.clock_s[after - 1] + share * (self.clock_s[after] - self.clock_s[after - 1]))

    def stood_m(self, start_s: float, until_s: float) -> tuple[float, float] | None:
        """Return between which places of the planned road the clock went on [m], None off the road."""
        before = max(int(np.searchsorted(self.clock_s, start_s + 0.5, side="right")) - 1, 0)
        after = min(int(np.searchsorted(self.clock_s, until_s - 0.5, side="left")), self.clock_s.size - 1)
        if (
            self.piece[before] != self.piece[after]
            or not self.clock_s[0] - 1.0 <= start_s <= self.clock_s[-1]
        ):
            return None
        return float(self.along_m[before]), float(self.along_m[after])


def match_ride(track: Track, lat_deg: FloatArray, lon_deg: FloatArray, along_m: FloatArray) -> Match | None:
    """Return where a recorded track follows a planned road; None if it never does.

    Parameters
    ----------
    track : a recording with ``time_s``, its rests at one place each
    lat_deg, lon_deg, along_m : the planned road's line [degrees, m], shape (n,)

    Notes
    -----
    Each recorded point has every pass of the road near it as a possible place. Of all chains that never
    go back, the one with the most road is meant: a step within the chain follows the road as far as
    it was ridden, any other leaves the road and costs 250 m. Laps and roads ridden out and back need
    nothing else: the direction and the order tell the passes apart.
    """
    about = (float(lat_deg.mean()), float(lon_deg[0]))
    road = RoadLine(along_m, *on_plane(lat_deg, lon_deg, about))
    picked = _picked(track)
    east_m, north_m = on_plane(track.lat_deg[picked], track.lon_deg[picked], about)
    best, forward = _longest(road, track, picked, east_m, north_m), True
    if best is None or best.matched_m < 0.5 * min(track.length_m, road.length_m):
        other = _longest(road.reversed(), track, picked, east_m, north_m)
        held_m = best.matched_m if best is not None else 0.0
        if other is not None and other.matched_m > OTHER_WAY * held_m:
            best, forward = other, False
    if best is None:
        return None
    return (
        best
        if forward
        else Match(False, best.along_m, best.ridden_m, best.clock_s, best.piece, best.length_m)
    )


def _picked(track: Track) -> IntArray:
    """Return the points looked at: evenly spaced, and both ends of every halt and gap."""
    assert track.time_s is not None
    number = np.floor(track.distance_m / SPACING_M)
    even = np.concatenate(([True], np.diff(number) > 0))
    slow = np.diff(track.time_s) > HALT_S
    even[:-1] |= slow
    even[1:] |= slow
    even[-1] = True
    return np.flatnonzero(even)


def _longest(
    road: RoadLine, track: Track, picked: IntArray, east_m: FloatArray, north_m: FloatArray
) -> Match | None:
    """Return the chain of places with the most road."""
    places = find_candidates(road, east_m, north_m)
    if places.point.size < 2:
        return None
    ridden_m = track.distance_m[picked]
    assert track.time_s is not None
    slow = np.concatenate(([0], np.cumsum(np.diff(track.time_s) > HALT_S)))[picked]
    chain, pieces = _without_ways_off(*_chain(places, ridden_m, slow), places.offset_m)
    point = places.point[chain]
    along_m = np.maximum.accumulate(places.along_m[chain])
    return Match(True, along_m, ridden_m[point], track.time_s[picked][point], pieces, road.length_m)


def _chain(places: Candidates, ridden_m: FloatArray, slow: IntArray) -> tuple[IntArray, IntArray]:
    """Return the places of the best chain in order, and the number of the piece each belongs to."""
    count = places.point.size
    worth = (1.0 - 0.5 * (places.offset_m / REACH_M) ** 2).tolist()
    along, point = places.along_m.tolist(), places.point.tolist()
    ridden = ridden_m[places.point].tolist()
    slack_m = (SLACK_M + HALT_SLACK_M * slow[places.point]).tolist()
    halts_m = (HALT_SLACK_M * slow[places.point]).tolist()
    first_of = np.searchsorted(places.point, np.arange(ridden_m.size + 1)).tolist()
    score, before, leapt = [0.0] * count, [-1] * count, [True] * count
    ahead = _Ahead(places.along_m)
    done = 0
    for node in range(count):
        here = point[node]
        while done < count and point[done] < here:
            ahead.add(done, score[done])
            done += 1
        best, came_from, leap = -LATER_SHARE * along[node], -1, True
        left, best_left = ahead.best(along[node] + SLACK_M)
        if left >= 0 and best_left - LEAP_M - LATER_SHARE * (along[node] - along[left]) > best:
            best, came_from = best_left - LEAP_M - LATER_SHARE * (along[node] - along[left]), left
        for other in range(first_of[max(here - LOOK_BACK, 0)], first_of[here]):
            went, passed = ridden[node] - ridden[other], along[node] - along[other]
            if passed < -SLACK_M or abs(passed - went) > slack_m[node] - halts_m[other] + SLACK_SHARE * went:
                continue
            gain = worth[node] * max(min(went, passed), 0.0) - SKIPPED_M * (here - point[other] - 1)
            if score[other] + gain > best:
                best, came_from, leap = score[other] + gain, other, False
        score[node], before[node], leapt[node] = best, came_from, leap
    return _traced(score, before, leapt)


def _without_ways_off(chain: IntArray, piece: IntArray, offset_m: FloatArray) -> tuple[IntArray, IntArray]:
    """Return the chain without the points by which it drifts off the road where it leaves, or towards it."""
    near = offset_m[chain] <= ON_THE_ROAD_M
    kept = np.ones(chain.size, dtype=np.bool_)
    for number in np.unique(piece):
        members = np.flatnonzero(piece == number)
        on = members[near[members]]
        if on.size:
            kept[members[0] : on[0]] = number == 0
            kept[on[-1] + 1 : members[-1] + 1] = number == piece[-1]
    return chain[kept], piece[kept]


def _traced(score: list[float], before: list[int], leapt: list[bool]) -> tuple[IntArray, IntArray]:
    node = int(np.argmax(score))
    chain, new = [], []
    while node >= 0:
        chain.append(node)
        new.append(leapt[node])
        node = before[node]
    return np.array(chain[::-1]), np.cumsum(new[::-1]) - 1


class _Ahead:
    """The best score of all places so far at or before a place of the road: a tree of running maxima."""

    def __init__(self, along_m: FloatArray) -> None:
        self._keys = np.sort(along_m)
        self._rank = np.argsort(np.argsort(along_m, kind="stable"), kind="stable").tolist()
        self._best: list[tuple[float, int]] = [(-np.inf, -1)] * (along_m.size + 1)

    def add(self, node: int, score: float) -> None:
        at = self._rank[node] + 1
        while at < len(self._best):
            if score > self._best[at][0]:
                self._best[at] = (score, node)
            at += at & -at

    def best(self, along_m: float) -> tuple[int, float]:
        at = int(np.searchsorted(self._keys, along_m, side="right"))
        found = (-np.inf, -1)
        while at > 0:
            found = max(found, self._best[at])
            at -= at & -at
        return found[1], found[0]


def pieces_between(match: Match) -> list[tuple[int, int]]:
    """Return the last point of each piece with the first of the next, as indices of the match."""
    return [
        (before, after)
        for before, after in pairwise(range(match.piece.size))
        if match.piece[before] != match.piece[after]
    ]
