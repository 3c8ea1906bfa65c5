"""Elevation tiles: which one holds a place, where it lies on disk, what heights it has.

A tile is a square of one degree named after its south-west corner, 1201 (3 arc-seconds) or
3601 (1 arc-second) heights a side of two bytes each, the higher first, north row first [HGT]_.
"""

import io
import math
import re
import struct
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.errors import ElevationError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.formats.gpx_points import HIGHEST_M, LOWEST_M
from terrain_fuel.regular_file import read_regular
from terrain_fuel.what_stands import is_file, is_folder

SIDES = (1201, 3601)
KEPT_TILES = 4  # of 26 MB at most
MOST_FILE_BYTES = 2 * SIDES[-1] ** 2 + 65_536
"""The largest tile, stored in an archive that adds its own names."""

_DECODING_FAULTS = (
    OSError, EOFError, RuntimeError, ValueError, LookupError, AssertionError, struct.error,
    zipfile.BadZipFile, zlib.error,
)  # fmt: skip
"""What an archive raises over a damaged file."""

_FILE = re.compile(r"([NS]\d{2}[EW]\d{3})(?:\.SRTMGL[13])?\.hgt(\.zip)?", re.IGNORECASE)


class DamagedTileError(ElevationError):
    """A tile file that is no whole tile; ``detail`` says what is wrong with it."""

    def __init__(self, name: str, path: Path, detail: str) -> None:
        self.detail = detail
        sizes = " or ".join(f"{2 * side * side}" for side in SIDES)
        super().__init__(
            f"{path.name}: the tile {name} is damaged ({detail}); a tile holds {sizes} bytes of heights,"
            " zipped or not; delete the file and get it again"
        )


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """The heights of one square degree.

    ``heights_m`` has shape (side, side) [m], big-endian, north row first, -32768 where unknown.
    """

    name: str
    south_deg: int
    west_deg: int
    heights_m: NDArray[np.int16]

    @property
    def side(self) -> int:
        """Heights along one side."""
        return int(self.heights_m.shape[0])


def tile_name(south_deg: int, west_deg: int) -> str:
    """Return the file name of the tile with that south-west corner [degrees]."""
    north_south, east_west = "S" if south_deg < 0 else "N", "W" if west_deg < 0 else "E"
    return f"{north_south}{abs(south_deg):02d}{east_west}{abs(west_deg):03d}.hgt"


def tile_corners(lat_deg: FloatArray, lon_deg: FloatArray) -> NDArray[np.int64]:
    """Return the south-west corners of the tiles that hold points, shape (n, 2) [degrees].

    Longitudes wrap: 180 belongs to the tile of -180. The north pole belongs to the tiles of 89.
    """
    south = np.minimum(np.floor(lat_deg), 89.0)
    west = (np.floor(lon_deg) + 180.0) % 360.0 - 180.0
    return np.column_stack([south, west]).astype(np.int64)


class TileFolders:
    """Tiles on disk, ``.hgt`` or ``.hgt.zip``, in one or more folders.

    Parameters
    ----------
    folders : looked through in order; a folder that is not there is an error

    Raises
    ------
    ElevationError
        If a folder does not exist or cannot be listed.
    """

    def __init__(self, *folders: Path) -> None:
        self.files: dict[str, Path] = {}
        self._kept: dict[str, Tile] = {}
        for folder in reversed(folders):
            self.files.update(_tile_files(folder))

    def add(self, name: str, path: Path) -> None:
        """Take in a tile file that has come later."""
        self.files[name] = path

    def read(self, south_deg: int, west_deg: int) -> Tile | None:
        """Return a tile, None if no folder has it.

        Raises
        ------
        ElevationError
            If its file is damaged.
        """
        name = tile_name(south_deg, west_deg)
        if name in self._kept:
            return self._kept[name]
        path = self.files.get(name)
        if path is None:
            return None
        tile = Tile(name, south_deg, west_deg, decode_tile(name, path))
        while len(self._kept) >= KEPT_TILES:
            self._kept.pop(next(iter(self._kept)))
        self._kept[name] = tile
        return tile


def _tile_files(folder: Path) -> dict[str, Path]:
    if not is_folder(folder):
        lacks = "is a file, not a folder" if is_file(folder) else "there is no such elevation folder"
        raise ElevationError(
            f"{folder}: {lacks}; it must hold tiles such as N46E009.hgt or N46E009.hgt.zip; check its name"
        )
    try:
        paths = list(folder.iterdir())
    except OSError as error:
        raise ElevationError(
            f"{folder}: the elevation folder cannot be listed ({error.strerror}); check that you may open it"
        ) from None
    files: dict[str, Path] = {}
    for path in sorted(paths, key=lambda path: (len(path.name), path.name), reverse=True):
        match = _FILE.fullmatch(path.name)
        if match and path.is_file():
            files[f"{match.group(1).upper()}.hgt"] = path  # the shortest name last: it wins
    return files


def decode_tile(name: str, path: Path) -> NDArray[np.int16]:
    """Return the heights of a tile file, shape (side, side).

    Raises
    ------
    DamagedTileError
        If the file is no whole tile.
    """
    try:
        data = _heights_data(read_regular(path, MOST_FILE_BYTES, ElevationError, "a tile", "it is no tile"))
    except ElevationError as error:
        raise DamagedTileError(name, path, str(error).removeprefix(f"{path}: ")) from None
    except _DECODING_FAULTS as error:
        raise DamagedTileError(name, path, str(error) or type(error).__name__) from None
    heights = np.frombuffer(data, dtype=">i2")
    return heights.reshape(math.isqrt(heights.size), -1)


def _heights_data(data: bytes) -> bytes:
    """Return the heights in a tile file's bytes, unpacked no further than a tile goes.

    Raises
    ------
    ValueError, or one of the faults of an archive
        If they are no tile.
    """
    if not zipfile.is_zipfile(io.BytesIO(data)):
        return _whole(data)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = [member for member in archive.infolist() if not member.filename.startswith(".")]
        _check_size(members[0].file_size if members else 0)
        if members[0].compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise ValueError(
                "it is packed in another way than deflate"
            )  # which could not be stopped half-way
        with archive.open(members[0]) as file:
            return _whole(file.read(members[0].file_size))


def _whole(data: bytes) -> bytes:
    """Return the bytes of a tile; an archive may hold fewer than it says."""
    _check_size(len(data))
    return data


def _check_size(size: int) -> None:
    if size not in {2 * side * side for side in SIDES}:
        raise ValueError(f"it holds {size} bytes of heights")


def as_metres(heights: NDArray[np.int16]) -> FloatArray:
    """Return heights as floats, NaN where they are void or impossible [m]."""
    metres = heights.astype(np.float64)
    metres[(metres < LOWEST_M) | (metres > HIGHEST_M)] = np.nan
    return metres
