"""Which elevation tiles lie under a road and beside it."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.elevation import METRES_A_DEGREE, RELIEF_MARGIN_M
from terrain_fuel.inputs.tiles import TileFolders, tile_corners, tile_name


def tiles_under(lat_deg: FloatArray, lon_deg: FloatArray, folders: Sequence[Path]) -> tuple[Path, ...]:
    """Return the tile files of folders that a road's heights and relief are taken from.

    Parameters
    ----------
    lat_deg, lon_deg : the road, shape (n,) [degrees]
    folders : of ``.hgt`` or ``.hgt.zip`` tiles, looked through in order

    Raises
    ------
    ElevationError
        If there is no such folder.
    """
    up = RELIEF_MARGIN_M / METRES_A_DEGREE
    aside = up / np.maximum(np.cos(np.radians(lat_deg)), 0.01)
    shifts = [(north, east) for north in (-1, 0, 1) for east in (-1, 0, 1)]
    corners = [tile_corners(lat_deg + north * up, lon_deg + east * aside) for north, east in shifts]
    files = TileFolders(*folders).files
    names = {tile_name(south, west) for south, west in np.unique(np.concatenate(corners), axis=0).tolist()}
    return tuple(files[name] for name in sorted(names) if name in files)
