"""A recording file read, whatever its format, and two files of one ride joined."""

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.fit_file import is_fit
from terrain_fuel.inputs.recordings.columns import lay_columns
from terrain_fuel.inputs.recordings.fit import read_fit_recording
from terrain_fuel.inputs.recordings.gpx import read_gpx_recording
from terrain_fuel.inputs.recordings.tcx import read_tcx_recording
from terrain_fuel.inputs.unpacking import unpacked
from terrain_fuel.inputs.xml_file import DEFAULT_MAX_BYTES, Asked, parse_xml, read_bytes, split_tag
from terrain_fuel.recorded import SENSORS, RecordedRide
from terrain_fuel.text import plain_text

RECORDING = Asked("recording", "FIT, TCX or GPX", fact("refused_not_recorded"))

SAME_MOMENT_S = 3.0
"""Values of a second device so near in time are of the same moment [s]."""

LONGEST_BREAK_S = 86_400.0
"""Files with more between them are two rides [s]."""


def read_recording_file(path: Path, max_bytes: int = DEFAULT_MAX_BYTES) -> RecordedRide:
    """Return the recording in a FIT, TCX or GPX file, told by what it holds.

    Raises
    ------
    TrackError
        If it cannot be read, is no recording, or is one of another sport.
    """
    source = plain_text(path.name)
    contents = unpacked(read_bytes(path, max_bytes, RECORDING), source, max_bytes)
    if len(contents) != 1:
        raise TrackError(
            f"{source}: holds {len(contents)} files; a recording is one; give the ride's own file",
            fact("refused_packed"),
        )
    data = contents[0].data
    digest = hashlib.sha256(data).hexdigest()
    name = plain_text(path.stem)
    if is_fit(data):
        raw = read_fit_recording(data, source, name)
    else:
        root = parse_xml(data, source, asked=RECORDING)
        _, kind = split_tag(root)
        if kind == "TrainingCenterDatabase":
            raw = read_tcx_recording(root, source, name)
        elif kind == "gpx":
            raw = read_gpx_recording(root, name)
        else:
            raise TrackError(
                f"{source}: is a <{kind[:40]}> file; a recording is FIT, TCX or GPX; export it as one",
                RECORDING.refused,
            )
    return lay_columns(raw, source, digest)


def read_recordings(paths: Sequence[Path], max_bytes: int = DEFAULT_MAX_BYTES) -> RecordedRide:
    """Return one ride from one file or more: parts one after the other, or devices side by side.

    Raises
    ------
    TrackError
        Like `read_recording_file`, and if the files lie more than a day apart.
    """
    rides = sorted((read_recording_file(path, max_bytes) for path in paths), key=lambda ride: ride.start)
    whole = rides[0]
    for ride in rides[1:]:
        whole = _joined(whole, ride)
    return whole


def _joined(first: RecordedRide, second: RecordedRide) -> RecordedRide:
    after_s = (second.start - first.start).total_seconds()
    digest = hashlib.sha256("".join(sorted((first.digest, second.digest))).encode("ascii")).hexdigest()
    if after_s > first.elapsed_s + LONGEST_BREAK_S:
        raise TrackError(
            f"{second.source}: begins {(after_s - first.elapsed_s) / 3600.0:.0f} h after {first.source} ends;"
            " two files of one ride lie at most 24 h apart; review them one by one",
            fact("refused_days_apart"),
        )
    if after_s < first.elapsed_s:
        return replace(_filled(first, second, after_s), digest=digest)
    return replace(_continued(first, second, after_s), digest=digest)


def _filled(first: RecordedRide, second: RecordedRide, after_s: float) -> RecordedRide:
    """Return the first recording with what only a second device knew."""
    clock_s = second.time_s + after_s
    at = np.clip(np.searchsorted(clock_s, first.time_s), 1, clock_s.size - 1)
    at -= (first.time_s - clock_s[at - 1]) < (clock_s[at] - first.time_s)
    near = np.abs(clock_s[at] - first.time_s) <= SAME_MOMENT_S
    lent: dict[str, Any] = {}
    for name in ("lat_deg", "lon_deg", "elevation_m", *SENSORS):
        ours, theirs = getattr(first, name), getattr(second, name)
        # two devices count distance from different starts
        if theirs is None or (name == "distance_m" and ours is not None):
            continue
        taken = np.where(near, theirs[at], np.nan)
        lent[name] = taken if ours is None else np.where(np.isnan(ours), taken, ours)
    return replace(first, **lent, notes=(*first.notes, fact("two_devices", source=second.source)))


def _continued(first: RecordedRide, second: RecordedRide, after_s: float) -> RecordedRide:
    """Return two parts of a ride, one after the other; between them nobody recorded."""
    columns: dict[str, Any] = {"time_s": np.concatenate((first.time_s, second.time_s + after_s))}
    for name in ("lat_deg", "lon_deg", "elevation_m", *SENSORS):
        ours, theirs = getattr(first, name), getattr(second, name)
        if ours is None and theirs is None:
            continue
        before_m = float(np.nanmax(ours)) if name == "distance_m" and ours is not None else 0.0
        columns[name] = np.concatenate(
            (
                np.full(first.time_s.size, np.nan) if ours is None else ours,
                np.full(second.time_s.size, np.nan) if theirs is None else theirs + before_m,
            )
        )
    later = tuple((since + after_s, until + after_s) for since, until in second.pauses_s)
    between = ((first.elapsed_s, after_s),) if after_s > first.elapsed_s else ()
    return replace(
        first,
        **columns,
        pauses_s=(*first.pauses_s, *between, *later),
        sums=None,
        notes=(*first.notes, fact("two_parts", source=second.source)),
    )
