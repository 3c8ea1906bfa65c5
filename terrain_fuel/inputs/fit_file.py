"""FIT files read without trust: fitdecode's messages, bounded in number, and what kept it from the end."""

import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from terrain_fuel.errors import TrackError
from terrain_fuel.inputs.fit_records import take_records

if TYPE_CHECKING:
    from fitdecode import FitDataMessage

MOST_MESSAGES = 400_000
"""A record a second for more than four days; decoding so many takes some ten seconds."""

DEGREES_A_SEMICIRCLE = 180.0 / 2**31
"""Positions are counted in parts of half a turn [FIT]_."""

_SIGNATURE = b".FIT"
_FAULTS = (
    ArithmeticError, AssertionError, AttributeError, LookupError, TypeError, ValueError, struct.error,
)  # fmt: skip
"""What the decoder raises on damaged bytes beside its own errors: it trusts some of what it reads."""


@dataclass(frozen=True, slots=True)
class FitFile:
    """The messages of a FIT file that were asked for.

    Parameters
    ----------
    kind : str
        What the file says it is ("course", "activity" and others of the profile); empty if it does not say.
    messages : mapping
        Message name to its messages in the order of the file, each a mapping of field name to value in
        the profile's units: positions in semicircles, heights in metres, times as datetime; fields
        without a value are left out.
    damage : str
        What kept the file from being read to its end; empty if nothing did.
    """

    kind: str
    messages: Mapping[str, tuple[Mapping[str, Any], ...]]
    damage: str = ""


def is_fit(data: bytes) -> bool:
    """Return True for what begins like a FIT file."""
    return len(data) >= 12 and data[8:12] == _SIGNATURE


def read_fit(data: bytes, source: str, wanted: Iterable[str]) -> FitFile:
    """Return the messages of those names that can be read.

    Parameters
    ----------
    data : what the file holds
    source : the file's name, for messages
    wanted : names of the profile's messages, such as "record" or "course_point"

    Raises
    ------
    TrackError
        If the file holds more than `MOST_MESSAGES`.

    Notes
    -----
    A file that is cut off or damaged gives what stands before the damage, and says so in ``damage``:
    who reads a recording may go on with it, who reads a route must not. A checksum that does not fit
    is damage too. The records of a sound file are read in bulk.
    """
    wanted = tuple(wanted)
    plain = take_records(data) if "record" in wanted else None
    if plain is not None and len(plain.records) <= MOST_MESSAGES:
        file = _decoded(plain.rest, source, wanted, checked=True)
        if not file.damage:
            return FitFile(file.kind, {**file.messages, "record": tuple(plain.records)})
    return _decoded(data, source, wanted)


def _decoded(data: bytes, source: str, wanted: Iterable[str], *, checked: bool = False) -> FitFile:
    """Return what the decoder reads, message by message; ``checked`` if the checksum is known to fit."""
    import fitdecode  # its tables of the whole profile take long to load

    found: dict[str, list[Mapping[str, Any]]] = {name: [] for name in wanted}
    kind, damage, count = "", "", 0
    reader = fitdecode.FitReader(
        data,
        check_crc=fitdecode.CrcCheck.DISABLED if checked else fitdecode.CrcCheck.RAISE,
        error_handling=fitdecode.ErrorHandling.IGNORE,
    )
    try:
        for frame in reader:
            count += 1
            if count > MOST_MESSAGES:
                break
            if not isinstance(frame, fitdecode.FitDataMessage):
                continue
            if frame.name == "file_id" and not kind:
                kind = str(_values(frame).get("type", ""))
            if frame.name in found:
                found[frame.name].append(_values(frame))
    except fitdecode.FitCRCError:
        damage = "its checksum does not fit"
    except (fitdecode.FitError, *_FAULTS):
        damage = f"it cannot be read beyond message {count}"
    finally:
        reader.close()
    if count > MOST_MESSAGES:
        raise TrackError(
            f"{source}: holds more than {MOST_MESSAGES} messages; that many are allowed; export a shorter"
            " ride, or one with fewer points"
        )
    return FitFile(kind, {name: tuple(messages) for name, messages in found.items()}, damage)


def _values(frame: "FitDataMessage") -> Mapping[str, Any]:
    """Return the fields that have a value; of two of one name the first."""
    values: dict[str, Any] = {}
    for field in frame.fields:
        if field.value is not None:
            values.setdefault(field.name, field.value)
    return values
