"""The rides of the log: kept, listed, corrected, deleted."""

import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager, ExitStack, nullcontext, suppress
from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from terrain_fuel.errors import LogError
from terrain_fuel.log.database import changing, opened, sweep
from terrain_fuel.log.model import Eaten, LoggedRide, RidePlace
from terrain_fuel.log.possible import impossible
from terrain_fuel.log.schema import EATEN_COLUMNS, PLACE_COLUMNS, RIDE_COLUMNS
from terrain_fuel.what_stands import is_there

SAME_RIDE_S = 60.0
"""Recordings that begin and last alike within this are of one ride [s]."""

CORRECTABLE = (
    "name", "purpose", "temperature_c", "sweat_ml_per_h", "sweat_sd_ml_per_h", "eaten_g_per_h",
    "drunk_ml_per_h",
    "stomach", "legs", "thirst", "hard_at", "notes", "bedtime",
)  # fmt: skip
"""What a rider may correct by hand; the rest follows from the recording."""


def keep_ride(path: Path, ride: LoggedRide, beside: AbstractContextManager[object] | None = None) -> int:
    """Keep a ride and return its number; the same recording replaces what was kept of it before.

    So does another file of the same ride, from the same moment and as long. What stands ``beside`` it is
    entered once the log has taken the ride: if that fails, the log stays as it was; if the log cannot hold
    on to the ride after all, what stands beside it is left with that fault.

    Raises
    ------
    LogError
        If the log cannot be written, or the ride cannot be; then nothing of it is in the log.
    """
    fault = impossible({name: getattr(ride, name) for name, _ in RIDE_COLUMNS})
    if fault:
        raise LogError(f"{path.name}: cannot keep this ride ({fault}); nothing was changed")
    with opened(path) as log, ExitStack() as held, changing(log):
        number = _kept_before(log, ride, path)
        if number is not None:
            log.execute("DELETE FROM ride WHERE number = ?", (number,))
        columns = [name for name, _ in RIDE_COLUMNS]
        values = [_stored(getattr(ride, name)) for name in columns]
        marks = ", ".join("?" * (len(columns) + 1))
        added = log.execute(
            f"INSERT INTO ride (number, {', '.join(columns)}) VALUES ({marks})", (number, *values)
        )
        number = int(added.lastrowid or 0)
        for table, kinds, things in (
            ("eaten", EATEN_COLUMNS, ride.eaten),
            ("place", PLACE_COLUMNS, ride.places),
        ):
            names = [name for name, _ in kinds]
            rows = [(number, *(_stored(getattr(thing, name)) for name in names)) for thing in things]
            blanks = ", ".join("?" * (len(names) + 1))
            log.executemany(f"INSERT INTO {table} (ride, {', '.join(names)}) VALUES ({blanks})", rows)
        held.enter_context(beside or nullcontext())
    return number


def _kept_before(log: sqlite3.Connection, ride: LoggedRide, path: Path) -> int | None:
    """Return the number of the same ride in the log, None if it is new."""
    for row in log.execute(
        "SELECT number, digest, start, elapsed_s FROM ride ORDER BY digest <> ?", (ride.digest,)
    ):
        start = _row(row, ("start", "elapsed_s"), row["number"], path)["start"]
        apart_s = abs((start - ride.start).total_seconds())
        longer_s = abs(row["elapsed_s"] - ride.elapsed_s)
        if row["digest"] == ride.digest or max(apart_s, longer_s) <= SAME_RIDE_S:
            return int(row["number"])
    return None


def read_rides(path: Path, *, with_places: bool = False) -> tuple[LoggedRide, ...]:
    """Return all rides in order of their start; none if there is no log yet.

    Raises
    ------
    LogError
        If the log cannot be read.
    """
    if not is_there(path):
        return ()
    with opened(path) as log:
        eaten = _by_ride(log, "eaten", Eaten, path)
        places = _by_ride(log, "place", RidePlace, path) if with_places else {}
        rows = log.execute("SELECT * FROM ride ORDER BY start, number").fetchall()
    return tuple(
        _ride(row, eaten.get(row["number"], ()), places.get(row["number"], ()), path) for row in rows
    )


def read_log(path: Path) -> tuple[LoggedRide, ...]:
    """Return all rides of a log that the rider named.

    Raises
    ------
    LogError
        If there is no such file, or it cannot be read.
    """
    if not is_there(path):
        raise LogError(f"{path.name}: there is no such log; check its name, or review a ride into it first")
    return read_rides(path)


def read_ride(path: Path, number: int) -> LoggedRide:
    """Return one ride, its road too.

    Raises
    ------
    LogError
        If the log has no such ride, or cannot be read.
    """
    found = [ride for ride in read_rides(path, with_places=True) if ride.number == number]
    if not found:
        raise _unknown(path, number)
    return found[0]


def correct_ride(path: Path, number: int, changes: Mapping[str, Any]) -> LoggedRide:
    """Return a ride with values set right by hand, and keep it so.

    Raises
    ------
    LogError
        If there is no such ride, the name is none that may be corrected, or the value cannot be.
    """
    for name in changes:
        if name not in CORRECTABLE:
            raise LogError(
                f"log: {name} cannot be corrected; allowed are {', '.join(CORRECTABLE)}; name one of them"
            )
    ride = replace(read_ride(path, number), **changes)
    fault = impossible(changes)
    if fault:
        raise LogError(f"log: {fault}; nothing was changed")
    with opened(path) as log:
        try:
            with changing(log):
                for name, value in changes.items():
                    log.execute(f"UPDATE ride SET {name} = ? WHERE number = ?", (_stored(value), number))
        except sqlite3.IntegrityError:
            shown = ", ".join(f"{name} = {value!r}" for name, value in changes.items())
            raise LogError(
                f"log: {shown} cannot be; marks go from 0 to 10, a ride is training or race"
            ) from None
    return ride


def delete_ride(path: Path, number: int) -> None:
    """Delete a ride without trace, backups of the log included.

    Raises
    ------
    LogError
        If there is no such ride, or the log cannot be written.
    """
    if not is_there(path):
        raise _unknown(path, number)
    with opened(path) as log:
        with changing(log):
            gone = log.execute("DELETE FROM ride WHERE number = ?", (number,)).rowcount
        if not gone:
            raise _unknown(path, number)
        sweep(log, path)


def _unknown(path: Path, number: int) -> LogError:
    return LogError(f"{path.name}: has no ride {number}; list them with `terrain-fuel log`")


def _stored(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.isoformat()
    return int(value) if isinstance(value, bool) else value


def _by_ride(log: sqlite3.Connection, table: str, kind: type[Any], path: Path) -> dict[int, tuple[Any, ...]]:
    names = [field.name for field in fields(kind)]
    grouped: dict[int, list[Any]] = {}
    for row in log.execute(f"SELECT ride, {', '.join(names)} FROM {table} ORDER BY rowid"):
        grouped.setdefault(row["ride"], []).append(kind(**_row(row, names, row["ride"], path)))
    return {ride: tuple(things) for ride, things in grouped.items()}


def _ride(row: sqlite3.Row, eaten: Sequence[Eaten], places: Sequence[RidePlace], path: Path) -> LoggedRide:
    values = _row(row, [name for name, _ in RIDE_COLUMNS], row["number"], path)
    return LoggedRide(number=row["number"], **values, eaten=tuple(eaten), places=tuple(places))


def _row(row: sqlite3.Row, names: Sequence[str], ride: int, path: Path) -> dict[str, Any]:
    """Return the values of a row as the model has them.

    Raises
    ------
    LogError
        If one of them cannot be of a ride: somebody else wrote it.
    """
    values = {name: row[name] for name in names}
    for name in {"intake_known", "ready"}.intersection(names):
        values[name] = bool(values[name])
    if "start" in values:
        with suppress(ValueError):
            values["start"] = datetime.fromisoformat(values["start"])
    fault = impossible(values)
    if fault:
        raise LogError(
            f"{path.name}: ride {ride} cannot be ({fault}); delete it with --delete {ride}, or put back a"
            " copy of the log; nothing was changed"
        )
    return values
