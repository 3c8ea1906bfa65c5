"""What is doubtful about a route's line: mended where that is safe, said in one line, or refused."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.errors import ModelRangeError, TrackError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.inputs.formats.raw_route import RawRoute
from terrain_fuel.inputs.standing import fall_together
from terrain_fuel.track import LeftOut

SAME_POINT_M = 0.001
LONGEST_LEG_M = 20_000.0
"""A longer straight leg is no road; over 20 km straight lines of different kinds drift apart too."""

ASKED_LEG_M = 5000.0
"""A longer leg in a dense route is refused until the rider says that it is so."""

LONG_LEG_M, LONG_OF_MEDIAN = 2000.0, 20.0
"""A leg longer than both, in metres and in usual legs, is doubted: common practice (no source)."""

MOST_STRAYS = 5
"""Points in a row that may be strays: common practice (no source)."""

BREAK_M = 50.0
"""A break in the line is told from here on; receivers themselves err by less."""

SPARSE_M = 1000.0
MOST_LEGS_TOLD = 5
OPTION = "--straight-legs"


@dataclass(frozen=True, slots=True)
class Mended:
    """Which points of a file are the road, where they lie along it, and what was mended or is doubted.

    ``kept`` is True for points of the road, shape (n,); positions [degrees] and ``distance_m`` [m] belong to
    those, shape (k,).
    """

    kept: BoolArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    distance_m: FloatArray
    notes: tuple[Fact, ...]
    left_out: tuple[LeftOut, ...]


def mend_line(raw: RawRoute, straight_legs: bool = False) -> Mended:
    """Return the points of a route that are the road.

    Parameters
    ----------
    raw : the file's points
    straight_legs : True when the rider says that long legs without a point are as they should be

    Raises
    ------
    TrackError
        If a leg is too long to be a road, or so long that the rider must say it is one, or all
        points are one place.

    Notes
    -----
    A line that stands in the file twice counts once. Up to five points far off, from which the
    line comes back to where it was, are strays and left out. Points recorded while standing fall
    together at their mean; points less than 1 mm after the one before are dropped.
    """
    kept = np.ones(raw.lat_deg.size, dtype=bool)
    repeats = _repeats(raw)
    for piece in repeats:
        kept[piece.first_point - 1 : piece.last_point] = False
    strays = _strays(raw, kept)
    for stray in strays:
        kept[stray.first_point - 1 : stray.last_point] = False
    raw, kept = _stand_still(raw, kept)
    numbers = np.flatnonzero(kept)
    legs_m = _legs_m(raw, numbers)
    _refuse_far_legs(raw, numbers, legs_m, straight_legs)
    distance_m = np.concatenate([[0.0], np.cumsum(legs_m)])
    moved = np.concatenate([[True], legs_m >= SAME_POINT_M])
    if moved.sum() < 2:
        raise TrackError(
            f"{raw.source}: all {kept.size} points are one and the same place; a route needs at least 2;"
            " export the whole route",
            fact("refused_one_place"),
        )
    kept[numbers[~moved]] = False
    return Mended(
        kept=kept,
        lat_deg=raw.lat_deg[kept],
        lon_deg=raw.lon_deg[kept],
        distance_m=distance_m[moved],
        notes=(
            *(
                fact(
                    "track_repeated",
                    first=piece.first_point,
                    last=piece.last_point,
                    source=raw.source,
                    track=piece.repeats,
                )
                for piece in repeats
            ),
            *(_stray_note(raw, stray, numbers, distance_m) for stray in strays),
            *_lap_notes(raw, repeats),
            *_leg_notes(raw, numbers, legs_m, distance_m),
        ),
        left_out=(*repeats, *strays),
    )


def _stand_still(raw: RawRoute, kept: BoolArray) -> tuple[RawRoute, BoolArray]:
    """Return the route with the points of a halt at their mean, and which points are still kept."""
    numbers = np.flatnonzero(kept)
    time_s = None if raw.time_s is None else raw.time_s[numbers]
    first_of_all, lat, lon = fall_together(raw.lat_deg[numbers], raw.lon_deg[numbers], time_s)
    lat_deg, lon_deg, kept = raw.lat_deg.copy(), raw.lon_deg.copy(), kept.copy()
    lat_deg[numbers], lon_deg[numbers], kept[numbers] = lat, lon, first_of_all
    return replace(raw, lat_deg=lat_deg, lon_deg=lon_deg), kept


def _legs_m(raw: RawRoute, numbers: NDArray[np.intp]) -> FloatArray:
    """Return the lengths between points that follow one another, shape (k - 1,) [m]."""
    lat, lon = raw.lat_deg[numbers], raw.lon_deg[numbers]
    try:
        return geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])[0]
    except ModelRangeError as error:
        raise TrackError(f"{raw.source}: {error}") from None


def _usual_leg_m(legs_m: FloatArray) -> float:
    moving = legs_m[legs_m >= SAME_POINT_M]
    return float(np.median(moving)) if moving.size else 0.0


def _doubtful_m(legs_m: FloatArray) -> float:
    """Return the length from which a leg is doubted [m]."""
    return max(LONG_LEG_M, LONG_OF_MEDIAN * _usual_leg_m(legs_m))


def _repeats(raw: RawRoute) -> list[LeftOut]:
    """Return the pieces of the file that are an earlier piece once more; laps in one track stay."""
    bounds = [*raw.piece_starts, raw.lat_deg.size]
    tracks: dict[bytes, int] = {}
    found: list[LeftOut] = []
    for i, (first, after) in enumerate(pairwise(bounds)):
        track = raw.piece_tracks[i]
        places = _places(raw, first, after)
        earlier = tracks.get(places)
        is_lap = earlier == track and _places(raw, first, first + 1) == _places(raw, after - 1, after)
        if earlier is not None and after - first > 2 and not is_lap:
            found.append(LeftOut(first + 1, after, earlier))
        tracks.setdefault(places, track)
    return found


def _places(raw: RawRoute, first: int, after: int) -> bytes:
    """Return what two pieces have in common only if they are the same points."""
    return raw.lat_deg[first:after].tobytes() + raw.lon_deg[first:after].tobytes()


def _strays(raw: RawRoute, kept: BoolArray) -> list[LeftOut]:
    """Return runs of a few points far off, between two places of the road that are near each other."""
    numbers = np.flatnonzero(kept)
    lat, lon = raw.lat_deg[numbers], raw.lon_deg[numbers]
    legs_m = _legs_m(raw, numbers)
    long = np.flatnonzero(legs_m > _doubtful_m(legs_m)).tolist()
    found: list[LeftOut] = []
    i = 0
    while i < len(long) - 1:
        out, back = long[i], long[i + 1]
        gap_m = float(geodesic_m(lat[out], lon[out], lat[back + 1], lon[back + 1])[0])
        if back - out <= MOST_STRAYS and gap_m < 0.25 * min(legs_m[out], legs_m[back]):
            found.append(LeftOut(int(numbers[out + 1]) + 1, int(numbers[back]) + 1))
            i += 1
        i += 1
    return found


def _refuse_far_legs(
    raw: RawRoute, numbers: NDArray[np.intp], legs_m: FloatArray, straight_legs: bool
) -> None:
    far = np.flatnonzero(legs_m > LONGEST_LEG_M)
    if far.size:
        i = int(far[0])
        raise TrackError(
            f"{raw.source}: point {numbers[i + 1] + 1} lies {legs_m[i] / 1000.0:.0f} km from the one before"
            f"{_at_a_break(raw, int(numbers[i + 1]))}; allowed are {LONGEST_LEG_M / 1000.0:g} km; delete the"
            " stray point, or keep one ride a file",
            fact("refused_far_leg", number=int(numbers[i + 1]) + 1, leg_m=float(legs_m[i])),
        )
    asked = np.flatnonzero(legs_m > max(ASKED_LEG_M, _doubtful_m(legs_m)))
    if asked.size and not straight_legs:
        i = int(asked[0])
        raise TrackError(
            f"{raw.source}: from point {numbers[i] + 1} to {numbers[i + 1] + 1}"
            f"{_at_a_break(raw, int(numbers[i + 1]))} there are {legs_m[i] / 1000.0:.1f} km of straight air,"
            f" in a route with a point about every {_usual_leg_m(legs_m):.0f} m; export the whole route, or"
            f" if you ride straight there, say so with {OPTION}",
            fact("refused_straight_air", number=int(numbers[i + 1]) + 1, leg_m=float(legs_m[i])),
        )


def _at_a_break(raw: RawRoute, index: int) -> str:
    """Return that a leg joins two tracks or segments, nothing if it lies within one."""
    piece = int(np.searchsorted(raw.piece_starts, index))
    if index == 0 or piece == len(raw.piece_starts) or raw.piece_starts[piece] != index:
        return ""
    before, after = raw.piece_tracks[piece - 1], raw.piece_tracks[piece]
    return (
        f", where track {before} ends and track {after} begins"
        if before != after
        else ", where the line breaks"
    )


def _stray_note(raw: RawRoute, stray: LeftOut, numbers: NDArray[np.intp], distance_m: FloatArray) -> Fact:
    i = int(np.searchsorted(numbers, stray.first_point - 1)) - 1
    ends = np.array([numbers[i], stray.first_point - 1])
    return fact(
        "stray_points",
        count=stray.last_point - stray.first_point + 1,
        first=stray.first_point,
        source=raw.source,
        at_m=float(distance_m[i]),
        off_m=float(_legs_m(raw, ends)[0]),
    )


def _lap_notes(raw: RawRoute, repeats: list[LeftOut]) -> tuple[Fact, ...]:
    count = raw.lat_deg.size
    if repeats or count % 2 or count < 6 or _places(raw, 0, count // 2) != _places(raw, count // 2, count):
        return ()
    return (fact("two_laps", first=count // 2 + 1, source=raw.source),)


def _leg_notes(
    raw: RawRoute, numbers: NDArray[np.intp], legs_m: FloatArray, distance_m: FloatArray
) -> tuple[Fact, ...]:
    usual_m, doubtful_m = _usual_leg_m(legs_m), _doubtful_m(legs_m)
    notes = []
    if usual_m > SPARSE_M:
        notes.append(fact("sparse_points", source=raw.source, leg_m=usual_m))
    at_break = np.isin(numbers[1:], raw.piece_starts)
    doubted = np.flatnonzero((legs_m > doubtful_m) | (at_break & (legs_m > BREAK_M)))
    for i in doubted[:MOST_LEGS_TOLD].tolist():
        notes.append(
            fact(
                "straight_leg",
                first=int(numbers[i]) + 1,
                last=int(numbers[i + 1]) + 1,
                source=raw.source,
                at_m=float(distance_m[i]),
                leg_m=float(legs_m[i]),
            )
        )
    if doubted.size > MOST_LEGS_TOLD:
        notes.append(fact("straight_legs_more", count=int(doubted.size) - MOST_LEGS_TOLD, source=raw.source))
    return tuple(notes)
