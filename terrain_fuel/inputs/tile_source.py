"""The tiles a run may use: folders on disk and, only when allowed, a mirror."""

from contextlib import suppress
from pathlib import Path

import numpy as np

from terrain_fuel.errors import ElevationError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.download import SILENCE_S, Progress, cache_folder, fetch_tile, tile_address
from terrain_fuel.inputs.tiles import Tile, TileFolders, tile_corners, tile_name


class TileSource:
    """Tiles from a folder; with ``online``, from the cache and the mirror too.

    Parameters
    ----------
    folder : the rider's own tiles, or None
    online : True lets missing tiles be fetched; without it the network is never touched
    cache : where fetched tiles are kept; None is the user's cache folder
    mirror : address of the mirror, see `tile_address`
    silence_s : longest wait for an answer [s]
    progress : told of every piece that arrives
    """

    def __init__(
        self,
        folder: Path | None = None,
        online: bool = False,
        cache: Path | None = None,
        mirror: str | None = None,
        silence_s: float = SILENCE_S,
        progress: Progress | None = None,
    ) -> None:
        self._online, self._mirror = online, mirror
        self._silence_s, self._progress = silence_s, progress
        self._cache = cache or (_own_cache() if online else None)
        folders = [folder] if folder is not None else []
        if online and self._cache is not None and self._cache.is_dir():
            folders.append(self._cache)
        self._folders = TileFolders(*folders)
        self._absent: set[str] = set()

    @property
    def is_empty(self) -> bool:
        """True if there is no tile at hand and none may be fetched."""
        return not self._online and not self._folders.files

    def tile(self, south_deg: int, west_deg: int) -> Tile | None:
        """Return a tile, fetched if need be and allowed; None where there is none.

        Raises
        ------
        TileFetchError
            If it cannot be fetched: at most one attempt for each tile.
        ElevationError
            If its file is damaged.
        """
        tile = self._folders.read(south_deg, west_deg)
        name = tile_name(south_deg, west_deg)
        if tile is not None or not self._online or self._cache is None or name in self._absent:
            return tile
        self._absent.add(name)
        address = tile_address(name, self._mirror)
        if address is None:
            return None
        path = fetch_tile(name, address, self._cache, self._silence_s, progress=self._progress)
        self._folders.add(name, path)
        return self._folders.read(south_deg, west_deg)

    def gather(self, lat_deg: FloatArray, lon_deg: FloatArray) -> None:
        """Fetch the tiles under points where they are only welcome, not needed [degrees]."""
        for south, west in np.unique(tile_corners(lat_deg, lon_deg), axis=0).tolist():
            with suppress(ElevationError):
                self.tile(south, west)

    def tile_at_hand(self, south_deg: int, west_deg: int) -> Tile | None:
        """Return a tile that is on disk and sound, else None."""
        with suppress(ElevationError):
            return self._folders.read(south_deg, west_deg)
        return None


def _own_cache() -> Path:
    """Return the user's cache folder.

    Raises
    ------
    ElevationError
        If there is none.
    """
    try:
        return cache_folder()
    except RuntimeError:
        raise ElevationError(
            "fetched tiles: there is no home folder to keep them in; name a folder with --tile-cache"
        ) from None
