"""Elevation tiles: which one holds a place, where it lies on disk, what heights it has.

A tile is a square of one degree named after its south-west corner, 1201 (3 arc-seconds) or
3601 (1 arc-second) heights a side, north row first. SRTM.py finds and decodes it; its
heights are read as one array.
"""

import re
import warnings
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.errors import ElevationError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.gpx_points import HIGHEST_M, LOWEST_M

SIDES = (1201, 3601)
KEPT_TILES = 4  # of 26 MB at most
_DECODING_FAULTS = (
    OSError, EOFError, RuntimeError, AssertionError, zipfile.BadZipFile, zlib.error
)  # fmt: skip
"""What SRTM.py and the archive under it raise over a damaged file."""

_FILE = re.compile(r"([NS]\d{2}[EW]\d{3})(?:\.SRTMGL[13])?\.hgt(\.zip)?", re.IGNORECASE)


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


def tile_fault(path: Path) -> str:
    """Return what keeps a file from being a whole tile, nothing if its size is right."""
    try:
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as archive:
                members = [member for member in archive.infolist() if not member.filename.startswith(".")]
                size = members[0].file_size if members else 0
        else:
            size = path.stat().st_size
    except (OSError, zipfile.BadZipFile) as error:
        return str(error)
    return "" if size in {2 * side * side for side in SIDES} else f"it holds {size} bytes of heights"


def _tile_files(folder: Path) -> dict[str, Path]:
    if not folder.is_dir():
        raise ElevationError(
            f"{folder}: there is no such elevation folder; it must hold tiles such as N46E009.hgt"
            " or N46E009.hgt.zip; check its name"
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
    """Return the heights of a tile file, through SRTM.py, shape (side, side).

    Raises
    ------
    ElevationError
        If the file is damaged.
    """
    fault = tile_fault(path)  # before anything is unpacked: an archive may claim to hold anything
    if fault:
        raise _damaged(name, path, fault)
    try:
        file = _srtm_data({name: path}).get_file(*_middle(name))
    except _DECODING_FAULTS as error:
        raise _damaged(name, path, str(error)) from None
    heights = np.frombuffer(file.data, dtype=">i2")
    return heights.reshape(file.square_side, file.square_side)


def srtm_package() -> Any:
    """Return SRTM.py; its patterns are no raw strings, which warns when they are first compiled."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import srtm.data
        import srtm.main
        import srtm.utils
    return srtm


def _middle(name: str) -> tuple[float, float]:
    lat, lon = int(name[1:3]), int(name[4:7])
    return (-lat if name[0] == "S" else lat) + 0.5, (-lon if name[3] == "W" else lon) + 0.5


def _srtm_data(files: dict[str, Path]) -> Any:
    """Return SRTM.py's reader over given files; with empty addresses it never asks the network."""
    srtm = srtm_package()

    class Files(srtm.utils.FileHandler):  # type: ignore[misc, name-defined]
        """Reads the given files only; the stock handler makes folders and prints."""

        def __init__(self) -> None:
            pass

        def exists(self, file_name: str) -> bool:
            return self._path(file_name) is not None

        def read(self, file_name: str) -> bytes:
            path = self._path(file_name)
            return b"" if path is None else path.read_bytes()

        def _path(self, file_name: str) -> Path | None:
            path = files.get(file_name.removesuffix(".zip"))
            zipped = path is not None and zipfile.is_zipfile(path)
            return path if file_name.endswith(".zip") == zipped else None

    return srtm.data.GeoElevationData(dict.fromkeys(files, ""), {}, file_handler=Files(), batch_mode=True)


def _damaged(name: str, path: Path, detail: str) -> ElevationError:
    sizes = " or ".join(f"{2 * side * side}" for side in SIDES)
    return ElevationError(
        f"{path.name}: the tile {name} is damaged ({detail}); a tile holds {sizes} bytes of heights,"
        " zipped or not; delete the file and get it again"
    )


def as_metres(heights: NDArray[np.int16]) -> FloatArray:
    """Return heights as floats, NaN where they are void or impossible [m]."""
    metres = heights.astype(np.float64)
    metres[(metres < LOWEST_M) | (metres > HIGHEST_M)] = np.nan
    return metres
