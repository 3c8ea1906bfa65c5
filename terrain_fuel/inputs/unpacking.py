"""What a file holds once gzip and zip are taken off: bounded in size, depth and count, never on disk."""

import io
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.text import plain_text

MOST_MEMBERS = 1000
"""More files than any collection of rides that is sent as one archive."""

DEEPEST = 3
"""Wrappings one within the other: a zip of gzipped files is two."""

CHUNK_BYTES = 1 << 20

_GZIP, _ZIP, _EMPTY_ZIP = b"\x1f\x8b", b"PK\x03\x04", b"PK\x05\x06"
_ENTRY = b"PK\x01\x02"
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_ENCRYPTED = 0x1


@dataclass(frozen=True, slots=True)
class Content:
    """The bytes of one file, and what messages call it: ``trip.zip/day-2.gpx`` within an archive."""

    source: str
    data: bytes


def file_stem(source: str) -> str:
    """Return a file's name without what says how it is packed and written: ``day.gpx.gz`` is "day"."""
    name = PurePosixPath(source)
    return (PurePosixPath(name.stem) if name.suffix.lower() in (".gz", ".zip") else name).stem


def unpacked(data: bytes, source: str, max_bytes: int) -> tuple[Content, ...]:
    """Return the files that a file holds: itself, unless it is gzipped or a zip archive.

    Parameters
    ----------
    data : what the file holds
    source : the file's name, for messages
    max_bytes : all that is unpacked together, at most

    Returns
    -------
    tuple of Content
        In the order of the archive; folders, hidden files and what some systems add are left out.

    Raises
    ------
    TrackError
        If it is damaged, locked by a password, packed in a way that is not read, nested too deep,
        holds too many files or, unpacked, too much.

    Notes
    -----
    What counts is what comes out, piece by piece, not what the archive says of itself, so that a small
    file that would unpack without end is refused at the bound.
    """
    return tuple(_layers(Content(source, data), _Room(source, max_bytes), DEEPEST))


class _Room:
    """How many bytes may still come out."""

    def __init__(self, source: str, most: int) -> None:
        self._source, self._most, self.left = source, most, most

    def take(self, count: int) -> None:
        self.left -= count
        if self.left < 0:
            raise TrackError(
                f"{self._source}: unpacks to more than {self._most / 1e6:g} MB; that much is allowed;"
                " thin out its points, or allow it with --largest-mb",
                fact("refused_too_large"),
            )


def _layers(content: Content, room: _Room, depth: int) -> Iterator[Content]:
    packed = content.data.startswith((_GZIP, _ZIP, _EMPTY_ZIP))
    if packed and not depth:
        raise TrackError(
            f"{content.source}: is packed more than {DEEPEST} times over; give the route itself,"
            " or packed once",
            fact("refused_packed"),
        )
    if content.data.startswith(_GZIP):
        yield from _layers(Content(content.source, _gunzipped(content, room)), room, depth - 1)
    elif packed:
        for member in _members(content, room):
            yield from _layers(member, room, depth - 1)
    else:
        yield content


def _gunzipped(content: Content, room: _Room) -> bytes:
    """Return what a gzipped file holds, all its members one after the other."""
    pieces: list[bytes] = []
    rest = content.data
    while rest.startswith(_GZIP):
        member = zlib.decompressobj(wbits=31)
        while not member.eof:
            try:
                piece = member.decompress(rest, CHUNK_BYTES)
            except zlib.error:
                raise _damaged(content.source) from None
            rest = member.unconsumed_tail
            if not piece and not rest and not member.eof:
                raise _damaged(content.source)
            room.take(len(piece))
            pieces.append(piece)
        rest = member.unused_data
    return b"".join(pieces)


def _members(content: Content, room: _Room) -> Iterator[Content]:
    source = content.source
    if content.data.count(_ENTRY) > MOST_MEMBERS:  # before any of them is unfolded
        raise TrackError(
            f"{source}: holds more than {MOST_MEMBERS} files; give the route's own file,"
            " or an archive of a few",
            fact("refused_packed"),
        )
    try:
        archive = zipfile.ZipFile(io.BytesIO(content.data))
    except (zipfile.BadZipFile, NotImplementedError, ValueError):
        raise _damaged(source) from None
    for entry in archive.infolist():
        parts = entry.filename.split("/")
        if entry.is_dir() or any(part.startswith((".", "__MACOSX")) for part in parts):
            continue
        yield Content(f"{source}/{plain_text(entry.filename)}", _member(archive, entry, source, room))


def _member(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, source: str, room: _Room) -> bytes:
    if entry.flag_bits & _ENCRYPTED:
        raise TrackError(
            f"{source}: is locked by a password; unpack it and give the route's own file",
            fact("refused_packed"),
        )
    if entry.compress_type not in _METHODS:
        raise TrackError(
            f"{source}: is packed in a way that is not read; allowed are zip as usual (deflate) and gzip;"
            " unpack it and give the route's own file",
            fact("refused_packed"),
        )
    try:
        with archive.open(entry) as file:
            data = file.read(room.left + 1)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OSError):
        raise _damaged(source) from None
    room.take(len(data))
    return data


def _damaged(source: str) -> TrackError:
    return TrackError(
        f"{source}: is damaged or cut off and cannot be unpacked; download it again, or give the route's own"
        " file",
        fact("refused_damaged"),
    )
