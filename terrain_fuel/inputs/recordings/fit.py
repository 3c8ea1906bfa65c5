"""A FIT activity as columns: records, the device's own sums, when its clock stood still."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import numpy as np

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.fit_file import DEGREES_A_SEMICIRCLE, read_fit
from terrain_fuel.inputs.recordings.columns import SPORTS, RawRecording
from terrain_fuel.recorded import DeviceSums

FIELDS = {
    "lat_deg": (("position_lat",), DEGREES_A_SEMICIRCLE),
    "lon_deg": (("position_long",), DEGREES_A_SEMICIRCLE),
    "elevation_m": (("enhanced_altitude", "altitude"), 1.0),
    "distance_m": (("distance",), 1.0),
    "power_w": (("power",), 1.0),
    "heart_bpm": (("heart_rate",), 1.0),
    "cadence_rpm": (("cadence",), 1.0),
    "temperature_c": (("temperature",), 1.0),
}
"""The profile's names for a column, the better first, and what one unit of it is [FIT]_."""

Message = Mapping[str, Any]


def read_fit_recording(data: bytes, source: str, name: str) -> RawRecording:
    """Return what a FIT file recorded; of several sports in one file the rides alone.

    Raises
    ------
    TrackError
        If it holds no record of a ride, or is a course.
    """
    found = read_fit(data, source, ("record", "session", "event"))
    records: Sequence[Message] = [each for each in found.messages["record"] if _seconds(each) is not None]
    if not records or found.kind == "course":  # whose times are made up
        what = f"is a {found.kind}" if found.kind not in ("", "activity") else "holds no record of a ride"
        raise TrackError(
            f"{source}: {what}; a recorded activity is needed; give the file of the ride itself",
            fact("refused_planned"),
        )
    sessions = found.messages["session"]
    rides = [each for each in sessions if str(each.get("sport", "")).lower() in SPORTS]
    sport = str(sessions[0].get("sport", "")) if sessions and not rides else ""
    if rides and len(rides) < len(sessions):
        records = [each for each in records if any(_within(each, ride) for ride in rides)]
    seconds = np.array([_seconds(each) for each in records], dtype=np.float64)
    return RawRecording(
        format="FIT",
        name=name,
        seconds=seconds,
        columns={column: _column(records, *how) for column, how in FIELDS.items()},
        sport=sport,
        pauses=_pauses(found.messages["event"]),
        sums=_sums(rides[0]) if len(rides) == 1 else None,
        notes=[fact("recording_damaged", points=len(records))] if found.damage else [],
    )


def _seconds(message: Message, field: str = "timestamp") -> float | None:
    moment = message.get(field)
    return moment.timestamp() if isinstance(moment, datetime) else None


def _within(record: Message, session: Message) -> bool:
    since, until = _seconds(session, "start_time"), _seconds(session)
    moment = _seconds(record)
    return moment is not None and (since or 0.0) <= moment <= (until or np.inf)


def _column(records: Sequence[Message], names: tuple[str, ...], unit: float) -> FloatArray:
    return unit * np.array([_number(each, names) for each in records], dtype=np.float64)


def _number(message: Message, names: tuple[str, ...]) -> float:
    for name in names:
        value = message.get(name)
        if isinstance(value, (int, float)):
            return float(value)
    return np.nan


def _pauses(events: Sequence[Message]) -> list[tuple[float, float]]:
    """Return from when to when the timer stood still, but for its last stop."""
    pauses, stopped = [], None
    for event in events:
        moment = _seconds(event)
        if event.get("event") != "timer" or moment is None:
            continue
        kind = str(event.get("event_type", ""))
        if kind.startswith("stop") and stopped is None:
            stopped = moment
        elif kind == "start" and stopped is not None:
            pauses.append((stopped, moment))
            stopped = None
    return pauses


def _sums(session: Message) -> DeviceSums:
    fields = {
        "distance_m": "total_distance", "ascent_m": "total_ascent", "timer_s": "total_timer_time",
        "power_w": "avg_power", "heart_bpm": "avg_heart_rate",
    }  # fmt: skip
    values = {ours: _number(session, (theirs,)) for ours, theirs in fields.items()}
    return DeviceSums(**{ours: value for ours, value in values.items() if np.isfinite(value)})
