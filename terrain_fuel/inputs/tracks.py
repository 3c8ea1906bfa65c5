"""Which of the tracks of a file is the ride: the only one, the one that is chosen, or all in a row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.formats.raw_route import RawRoute
from terrain_fuel.inputs.unpacking import file_stem

ALL = "all"
MOST_LISTED = 20
OPTION = "--track"


@dataclass(frozen=True, slots=True)
class _Found:
    """A track that is no other once more, of the file with that index, and that number within it."""

    file: int
    number: int
    name: str
    length_m: float


def tracks_told(files: Sequence[RawRoute]) -> tuple[tuple[str, float], ...]:
    """Return name and length [m] of every track that can be chosen by its place here, counted from 1."""
    return tuple((track.name, track.length_m) for track in _tracks(files))


def choose_track(files: Sequence[RawRoute], source: str, choice: str | None) -> RawRoute:
    """Return the points of the tracks that are ridden.

    Parameters
    ----------
    files : what was read, each with at least one point
    source : name of the file that was handed in, for messages
    choice : a track's number in the order of the files, its name, "all", or None

    Raises
    ------
    TrackError
        If there are several tracks and none is chosen, or the one chosen is not there; the message
        lists them with their lengths.

    Notes
    -----
    A track that is an earlier one once more is not counted, nor one of a single point, which is no road
    even where all tracks are ridden. Tracks of several
    files put in a row have no times: nobody knows what lay between.
    """
    found = list(_tracks(files))
    if choice is None and len(found) > 1:
        raise TrackError(
            f"{source}: holds {len(found)} tracks: {_listed(found)}; a plan is for one ride; choose one with"
            f" {OPTION} and its number or name, or ride them in a row with {OPTION} {ALL}"
        )
    if choice is None or choice.casefold() == ALL or not found:
        return _without_dots(files[0]) if len(files) == 1 else _in_a_row(files, source)
    chosen = _chosen(found, choice)
    if chosen is None:
        raise TrackError(
            f"{source}: has no track {choice!r}; allowed are {_listed(found)}, or {ALL}; correct {OPTION}"
        )
    file = files[chosen.file]
    if len(found) == 1:
        return _without_dots(file)
    return _only(file, (chosen.number,), chosen.name or f"{file_stem(file.source)} {chosen.number}")


def _tracks(files: Sequence[RawRoute]) -> Iterator[_Found]:
    """Yield the tracks that differ."""
    seen: set[bytes] = set()
    for index, file in enumerate(files):
        for number, name in enumerate(file.track_names, start=1):
            points = _points_of(file, number)
            lat, lon = file.lat_deg[points], file.lon_deg[points]
            places = lat.tobytes() + lon.tobytes()
            if lat.size < 2 or places in seen:
                continue
            seen.add(places)
            legs_m = np.linalg.norm(np.diff(earth_centred_m(lat, lon), axis=0), axis=1)
            yield _Found(index, number, name or (file.name if len(files) > 1 else ""), float(legs_m.sum()))


def _points_of(file: RawRoute, number: int) -> NDArray[np.intp]:
    """Return the indices of a track's points."""
    bounds = [*file.piece_starts, file.lat_deg.size]
    pieces = zip(pairwise(bounds), file.piece_tracks, strict=True)
    ranges = [np.arange(first, after) for (first, after), track in pieces if track == number]
    return np.concatenate(ranges) if ranges else np.zeros(0, dtype=np.intp)


def _listed(found: Sequence[_Found]) -> str:
    shown = [
        f"{i}{f' {track.name!r}' if track.name else ''} ({track.length_m / 1000.0:.1f} km)"
        for i, track in enumerate(found[:MOST_LISTED], start=1)
    ]
    more = len(found) - MOST_LISTED
    return ", ".join(shown) + (f" and {more} more" if more > 0 else "")


def _chosen(found: Sequence[_Found], choice: str) -> _Found | None:
    if choice.isascii() and choice.isdigit():
        number = int(choice[:9])
        if 1 <= number <= len(found):
            return found[number - 1]
    wanted = choice.strip().casefold()
    return next((track for track in found if wanted and track.name.casefold() == wanted), None)


def _without_dots(file: RawRoute) -> RawRoute:
    """Return a file without tracks of a single point, unless it has no other."""
    numbers = range(1, len(file.track_names) + 1)
    lines = tuple(number for number in numbers if _points_of(file, number).size > 1)
    if len(lines) in (0, len(file.track_names)):
        return file
    named = file.track_names[lines[0] - 1] if len(lines) == 1 else ""
    return _only(file, lines, named or file.name)


def _only(file: RawRoute, numbers: Sequence[int], name: str) -> RawRoute:
    """Return a file with some of its tracks only; all waypoints stay, those far off the road do no harm."""
    bounds = pairwise([*file.piece_starts, file.lat_deg.size])
    pieces = [
        (after - first, numbers.index(track) + 1)
        for (first, after), track in zip(bounds, file.piece_tracks, strict=True)
        if track in numbers
    ]
    points = np.sort(np.concatenate([_points_of(file, number) for number in numbers]))
    return replace(
        file,
        name=name,
        lat_deg=file.lat_deg[points],
        lon_deg=file.lon_deg[points],
        elevation_m=file.elevation_m[points],
        time_s=None if file.time_s is None else file.time_s[points],
        power_w=None if file.power_w is None else file.power_w[points],
        piece_starts=tuple(np.cumsum([0, *(size for size, _ in pieces[:-1])]).tolist()),
        piece_tracks=tuple(track for _, track in pieces),
        track_names=tuple(file.track_names[number - 1] for number in numbers),
    )


def _in_a_row(files: Sequence[RawRoute], source: str) -> RawRoute:
    """Return the points of several files one after the other."""
    points_before = np.cumsum([0, *(file.lat_deg.size for file in files)]).tolist()
    tracks_before = np.cumsum([0, *(len(file.track_names) for file in files)]).tolist()
    return RawRoute(
        name=next((file.name for file in files if file.name), ""),
        source=source,
        lat_deg=np.concatenate([file.lat_deg for file in files]),
        lon_deg=np.concatenate([file.lon_deg for file in files]),
        elevation_m=np.concatenate([file.elevation_m for file in files]),
        waypoints=tuple(waypoint for file in files for waypoint in file.waypoints),
        piece_starts=tuple(
            start + points_before[i] for i, file in enumerate(files) for start in file.piece_starts
        ),
        piece_tracks=tuple(
            track + tracks_before[i] for i, file in enumerate(files) for track in file.piece_tracks
        ),
        track_names=tuple(name for file in files for name in file.track_names),
    )
