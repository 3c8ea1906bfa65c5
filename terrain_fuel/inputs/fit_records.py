"""The plain records of a FIT file read in bulk: a message a second is most of a recording."""

import struct
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from fitdecode.types import BaseType, Field

RECORD = 20
"""The profile's number of the message "record" [FIT]_."""

FIELDS = (
    "timestamp", "position_lat", "position_long", "altitude", "enhanced_altitude", "distance", "power",
    "heart_rate", "cadence", "temperature",
)  # fmt: skip
"""What is read of a record; a record that hides one of them in another field is not plain."""

_COMPRESSED, _DEFINES, _DEVELOPERS, _LOCAL = 0x80, 0x40, 0x20, 0x0F
_NUMBERS = "bBhHiIqQ"


class _NotPlainError(Exception):
    """The file holds something that the decoder has to read."""


@dataclass(frozen=True, slots=True)
class PlainRecords:
    """A file taken apart.

    Parameters
    ----------
    records : sequence of mapping
        In the order of the file: of `FIELDS` what has a value, as the decoder gives it.
    rest : bytes
        The file without its records, for the decoder; its checksum is not made anew.
    """

    records: Sequence[Mapping[str, Any]]
    rest: bytes


@dataclass(slots=True)
class _Layout:
    """What a definition says of the messages that follow it: their size, and where which field is."""

    size: int
    columns: Mapping[str, tuple[int, str, "BaseType", "Field"]] | None = None
    begins: list[int] = field(default_factory=list)


def take_records(data: bytes) -> PlainRecords | None:
    """Return the records of a whole and sound FIT file; None where the decoder has to read all of it.

    Notes
    -----
    Plain is a single file with a checksum that fits, without times in the heads of messages, whose
    records hold numbers of the profile alone and no fields of developers.
    """
    try:
        rest, layouts = _walk(data)
        rows = [row for layout in layouts for row in _rows(data, layout)]
    except (_NotPlainError, LookupError, struct.error):
        return None
    rows.sort(key=lambda row: row[0])
    return PlainRecords([record for _, record in rows], rest)


def _walk(data: bytes) -> tuple[bytes, list[_Layout]]:
    """Return the file without its records, and how and where these are written."""
    from fitdecode.utils import compute_crc

    head, body = data[0], struct.unpack_from("<I", data, 4)[0]
    if head < 12 or len(data) != head + body + 2 or compute_crc(data) != 0:
        raise _NotPlainError
    layouts: dict[int, _Layout] = {}
    of_records: list[_Layout] = []
    kept, at, end = [], head, head + body
    while at < end:
        begin, kind = at, data[at]
        if kind & _COMPRESSED:
            raise _NotPlainError
        if kind & _DEFINES:
            layout, at = _defined(data, begin)
            layouts[kind & _LOCAL] = layout
            if layout.columns is not None:
                of_records.append(layout)
        else:
            layout = layouts[kind & _LOCAL]
            at += 1 + layout.size
            if layout.columns is not None:
                layout.begins.append(begin)
                continue
        kept.append(data[begin:at])
    if at != end:
        raise _NotPlainError
    rest = b"".join(kept)
    return b"".join((data[:4], struct.pack("<I", len(rest)), data[8:head], rest, data[end:])), of_records


def _defined(data: bytes, at: int) -> tuple[_Layout, int]:
    """Return what the definition at a place says, and where it ends."""
    order = "<" if data[at + 2] == 0 else ">"
    number, count = struct.unpack_from(f"{order}HB", data, at + 3)
    fields = [struct.unpack_from("3B", data, at + 6 + 3 * i) for i in range(count)]
    end = at + 6 + 3 * count
    size = sum(each[1] for each in fields)
    if data[at] & _DEVELOPERS:
        if number == RECORD:
            raise _NotPlainError
        size += sum(data[end + 2 + 3 * i] for i in range(data[end]))
        end += 1 + 3 * data[end]
    return _Layout(size, _columns(fields, order) if number == RECORD else None), end


def _columns(
    fields: Sequence[tuple[int, int, int]], order: str
) -> Mapping[str, tuple[int, str, "BaseType", "Field"]]:
    """Return where in a record which of `FIELDS` begins, how it is written, and what it is."""
    from fitdecode.profile import MESSAGE_TYPES
    from fitdecode.types import BASE_TYPES

    profile = MESSAGE_TYPES[RECORD].fields
    columns: dict[str, tuple[int, str, BaseType, Field]] = {}
    place = 1
    for number, size, base in fields:
        known = profile.get(number)
        if known is not None and known.name in FIELDS:
            written = BASE_TYPES[base]
            if written.size != size or written.fmt not in _NUMBERS:
                raise _NotPlainError
            columns.setdefault(known.name, (place, order + written.fmt, written, known))
        elif known is not None and any(part.name in FIELDS for part in known.components or ()):
            raise _NotPlainError
        place += size
    return columns


def _rows(data: bytes, layout: _Layout) -> Iterator[tuple[int, Mapping[str, Any]]]:
    """Yield where each record of a layout begins, and what it says."""
    columns = layout.columns or {}
    written = np.dtype(
        {
            "names": list(columns),
            "formats": [how for _, how, _, _ in columns.values()],
            "offsets": [place for place, _, _, _ in columns.values()],
            "itemsize": 1 + layout.size,
        }
    )
    table = np.frombuffer(b"".join(data[at : at + written.itemsize] for at in layout.begins), written)
    values = [_values(table[name], base, known) for name, (_, _, base, known) in columns.items()]
    for at, row in zip(layout.begins, zip(*values, strict=True), strict=False):
        yield at, {name: value for name, value in zip(columns, row, strict=True) if value is not None}


def _values(raw: np.ndarray[Any, Any], base: "BaseType", known: "Field") -> list[Any]:
    """Return a column in the profile's units, None where the device wrote that it knows nothing."""
    from fitdecode.processors import FIT_DATETIME_MIN, FIT_UTC_REFERENCE

    nothing = [each for each in (0, int(np.iinfo(raw.dtype).max)) if base.parse(each) is None]
    numbers = raw.tolist()
    if known.name == "timestamp":
        told = [
            datetime.fromtimestamp(FIT_UTC_REFERENCE + each, UTC) if each >= FIT_DATETIME_MIN else each
            for each in numbers
        ]
    elif known.scale or known.offset:
        told = [float(each) / (known.scale or 1) - (known.offset or 0) for each in numbers]
    else:
        told = numbers
    return [None if each in nothing else value for each, value in zip(numbers, told, strict=True)]
