"""What a recording file says, point by point, made into columns over one clock that runs forward."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

import numpy as np

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.errors import TrackError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.recorded import SENSORS, DeviceSums, RecordedRide, RecordingFormat

COLUMNS = ("lat_deg", "lon_deg", "elevation_m", *SENSORS)

ALLOWED = {
    "lat_deg": (-90.0, 90.0),
    "lon_deg": (-180.0, 180.0),
    "elevation_m": (-500.0, 9000.0),
    "distance_m": (0.0, 3_000_000.0),
    "power_w": (0.0, 3000.0),
    "heart_bpm": (20.0, 250.0),
    "cadence_rpm": (0.0, 250.0),
    "temperature_c": (-40.0, 60.0),
}
"""What a sensor may say; anything else it does not know: common practice (no source)."""

LONGEST_S = 86_400.0
"""A clock that leaps ahead by more was wrong before [s]."""

USUAL_STEP_S = 1.0
FASTEST_M_S = 35.0
"""No rider gets from point to point faster: the receiver leapt [m/s]."""

SPORTS = frozenset(
    (
        "cycling",
        "biking",
        "e_biking",
        "ebikeride",
        "ride",
        "road_biking",
        "generic",
        "other",
        "transition",
        "",
    )
)
"""What files call a ride by bicycle, or call it when they do not know."""


@dataclass(slots=True)
class RawRecording:
    """What a file says: `seconds` since 1970 and the columns, NaN where it says nothing."""

    format: RecordingFormat
    name: str
    seconds: FloatArray
    columns: Mapping[str, FloatArray]
    sport: str = ""
    pauses: Sequence[tuple[float, float]] = ()
    sums: DeviceSums | None = None
    notes: list[Fact] = field(default_factory=list)


def lay_columns(raw: RawRecording, source: str, digest: str) -> RecordedRide:
    """Return a recording whose clock runs forward and whose values can be.

    Raises
    ------
    TrackError
        If it is of another sport, or has fewer than two points with a time.
    """
    if raw.sport.lower() not in SPORTS:
        raise TrackError(
            f"{source}: is a recording of {raw.sport}; a ride by bicycle is needed; give the file of the"
            " ride",
            fact("refused_other_sport"),
        )
    known = np.isfinite(raw.seconds)
    if known.sum() < 2:
        raise TrackError(
            f"{source}: its points have no times; a recording of a ride has them; export the ridden track,"
            " not the planned route",
            fact("refused_planned"),
        )
    notes = list(raw.notes)
    clock_s, first_s = _forward(raw.seconds[known], notes)
    kept = np.concatenate(([True], np.diff(clock_s) > 0.0))
    columns = {
        name: _possible(name, raw.columns[name][known][kept]) for name in COLUMNS if name in raw.columns
    }
    clock_s = clock_s[kept]
    if clock_s.size < 2:
        raise TrackError(
            f"{source}: all its points have one time; nothing can be said of it; export it again",
            fact("refused_planned"),
        )
    _drop_leaps(clock_s, columns, notes)
    missing = [name for name in ("power_w", "heart_bpm") if not _is_there(columns, name)]
    notes += [fact("recording_lacks_power")] * ("power_w" in missing)
    notes += [fact("recording_lacks_heart")] * ("heart_bpm" in missing)
    nowhere = np.full(clock_s.size, np.nan)
    return RecordedRide(
        name=raw.name,
        source=source,
        digest=digest,
        format=raw.format,
        start=datetime.fromtimestamp(first_s, UTC),
        time_s=clock_s,
        lat_deg=columns.get("lat_deg", nowhere),
        lon_deg=columns.get("lon_deg", nowhere),
        elevation_m=columns.get("elevation_m", nowhere),
        **{name: columns[name] for name in SENSORS if _is_there(columns, name)},
        pauses_s=_pauses(raw.pauses, first_s, float(clock_s[-1])),
        sums=raw.sums,
        notes=tuple(notes),
    )


def _forward(seconds: FloatArray, notes: list[Fact]) -> tuple[FloatArray, float]:
    """Return a clock from 0 that never leaps, and when it began by what the file said last.

    A clock set back, or ahead by more than a day, goes on from where it was: the later time is the true
    one, since receivers set their clock when they find one.
    """
    steps = np.diff(seconds)
    leaps = (steps < -USUAL_STEP_S) | (steps > LONGEST_S)
    if leaps.any():
        notes.append(fact("clock_leapt", count=int(leaps.sum())))
    steps = np.where(leaps, USUAL_STEP_S, np.maximum(steps, 0.0))
    clock_s = np.concatenate(([0.0], np.cumsum(steps)))
    return clock_s, float(seconds[-1] - clock_s[-1])


def _possible(name: str, values: FloatArray) -> FloatArray:
    low, high = ALLOWED[name]
    return np.where((values >= low) & (values <= high), values, np.nan)


def _is_there(columns: Mapping[str, FloatArray], name: str) -> bool:
    return name in columns and bool(np.isfinite(columns[name]).any())


def _drop_leaps(clock_s: FloatArray, columns: dict[str, FloatArray], notes: list[Fact]) -> None:
    """Forget positions from which the receiver came back as fast as it had leapt there."""
    if not {"lat_deg", "lon_deg"} <= columns.keys():
        return
    lat, lon = columns["lat_deg"], columns["lon_deg"]
    at_once = (lat == 0.0) & (lon == 0.0)  # what devices write before they know where they are
    unknown = np.isnan(lat) | np.isnan(lon) | at_once
    lat[unknown], lon[unknown] = np.nan, np.nan
    gone = 0
    for _ in range(5):
        held = np.flatnonzero(np.isfinite(lat))
        if held.size < 3:
            break
        wild = _wild(earth_centred_m(lat[held], lon[held]), clock_s[held])
        lat[held[wild]], lon[held[wild]] = np.nan, np.nan
        gone += int(wild.sum())
        if not wild.any():
            break
    if gone:
        notes.append(fact("receiver_leapt", count=gone))


def _wild(place_m: FloatArray, clock_s: FloatArray) -> BoolArray:
    """Return which points lie off the way between their neighbours, faster than anyone rides."""
    too_fast = np.linalg.norm(np.diff(place_m, axis=0), axis=1) > FASTEST_M_S * np.diff(clock_s)
    past = np.linalg.norm(place_m[2:] - place_m[:-2], axis=1) <= FASTEST_M_S * (clock_s[2:] - clock_s[:-2])
    return np.concatenate(([False], too_fast[:-1] & too_fast[1:] & past, [False]))


def _pauses(
    pauses: Sequence[tuple[float, float]], first_s: float, last_s: float
) -> tuple[tuple[float, float], ...]:
    inside = ((max(since - first_s, 0.0), min(until - first_s, last_s)) for since, until in pauses)
    return tuple((since, until) for since, until in inside if until > since)
