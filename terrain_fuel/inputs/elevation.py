"""Heights from tiles: at points between the grid's heights, and as a patch of relief."""

import math
from collections.abc import Callable

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.tiles import Tile, as_metres, tile_corners
from terrain_fuel.track import Relief

ReadTile = Callable[[int, int], Tile | None]
"""Gives the tile with a south-west corner [degrees], None where there is none."""

METRES_A_DEGREE = 111_320.0
RELIEF_MARGIN_M = 3000.0
RELIEF_CELLS = 400
RELIEF_MAX_LAT_DEG = 85.0

WIDE, TALL = 2.8, 1.8
"""The land around is so many times as wide as it is tall, and at least so many times as tall as the patch is
wide: a wide screen's map and an upright phone's are filled."""

AROUND_CELLS = 260


def heights_at(lat_deg: FloatArray, lon_deg: FloatArray, read_tile: ReadTile) -> tuple[FloatArray, int]:
    """Return tile heights at points, bilinear between the four around each.

    Parameters
    ----------
    lat_deg, lon_deg : shape (n,) [degrees]
    read_tile : where tiles come from

    Returns
    -------
    heights_m : shape (n,) [m]
        NaN where no tile is, or one of the four heights that count is void.
    side : int
        Heights along a side of the coarsest tile used, 0 without any.
    """
    heights = np.full(lat_deg.size, np.nan)
    corners = tile_corners(lat_deg, lon_deg)
    coarsest = 0
    _, first, which = np.unique(corners @ (1000, 1), return_index=True, return_inverse=True)
    for i, (south, west) in enumerate(corners[first].tolist()):
        tile = read_tile(south, west)
        if tile is None:
            continue
        coarsest = min(coarsest or tile.side, tile.side)
        here = np.flatnonzero(which == i)
        heights[here] = _bilinear(tile, lat_deg[here], lon_deg[here])
    return heights, coarsest


def _bilinear(tile: Tile, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    last = tile.side - 1
    # rounded to a ten-thousandth of a millimetre, so that a place on a grid line is on it
    down = np.round((tile.south_deg + 1 - lat_deg) * last, 9)
    right = np.round(((lon_deg - tile.west_deg) % 360.0) * last, 9)
    row = np.minimum(down.astype(np.intp), last - 1)
    column = np.minimum(right.astype(np.intp), last - 1)
    down -= row
    right -= column
    corner = row * tile.side + column
    around = np.stack([corner, corner + 1, corner + tile.side, corner + tile.side + 1])
    heights = as_metres(tile.heights_m.ravel()[around])
    up, left = 1.0 - down, 1.0 - right
    shares = np.stack([up * left, up * right, down * left, down * right])
    heights[shares == 0.0] = 0.0  # a void that does not count does no harm
    return np.asarray((shares * heights).sum(axis=0))


def relief_around(
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    read_tile: ReadTile,
    margin_m: float = RELIEF_MARGIN_M,
    most_cells: int = RELIEF_CELLS,
) -> Relief | None:
    """Return the heights around a route, None if no tile covers any of it.

    Parameters
    ----------
    lat_deg, lon_deg : the route, shape (n,) [degrees]
    read_tile : where tiles come from
    margin_m : how far the patch reaches beyond the route [m]
    most_cells : most rows, and most columns; a larger patch keeps every second, third ... height

    Notes
    -----
    A route across the date line gives longitudes that go on past 180. Beyond 85 degrees of
    latitude a patch in degrees is no picture of the ground any more: None.
    """
    if np.abs(lat_deg).max() > RELIEF_MAX_LAT_DEG:
        return None
    corners = np.unique(tile_corners(lat_deg, lon_deg), axis=0)
    tiles = (read_tile(int(south), int(west)) for south, west in corners)
    finest = max((tile.side for tile in tiles if tile is not None), default=0)
    if finest == 0:
        return None
    lon = np.unwrap(lon_deg, period=360.0)
    lon -= 360.0 * math.floor((float(lon.min()) + 180.0) / 360.0)
    margin_lat = margin_m / METRES_A_DEGREE
    margin_lon = margin_lat / math.cos(math.radians(float(np.abs(lat_deg).max())))
    rows = _grid_lines(lat_deg, margin_lat, finest - 1, most_cells)
    columns = _grid_lines(lon, margin_lon, finest - 1, most_cells)
    around = _land_around(rows[[0, -1]], columns[[0, -1]], finest - 1, read_tile)
    return Relief(rows, columns, _patch(rows, columns, read_tile), around)


def _patch(rows: FloatArray, columns: FloatArray, read_tile: ReadTile) -> FloatArray:
    """Return the heights on a grid, shape (rows, columns) [m]."""
    mesh_lat, mesh_lon = (mesh.ravel() for mesh in np.meshgrid(rows, columns, indexing="ij"))
    heights, _ = heights_at(mesh_lat, (mesh_lon + 180.0) % 360.0 - 180.0, read_tile)
    return heights.reshape(rows.size, columns.size)


def _land_around(
    lat_deg: FloatArray, lon_deg: FloatArray, lines_a_degree: int, read_tile: ReadTile
) -> Relief | None:
    """Return the land around a patch as far as tiles reach, None where they end with it."""
    shrink = math.cos(math.radians(float(np.abs(lat_deg).max())))
    tall, wide = float(np.ptp(lat_deg)), float(np.ptp(lon_deg)) * shrink
    beside_deg = max(0.0, 0.5 * (WIDE * tall - wide)) / shrink
    above_deg = max(0.0, 0.5 * (TALL * wide - tall))
    if np.abs(lat_deg).max() + above_deg > RELIEF_MAX_LAT_DEG or np.ptp(lon_deg) + 2 * beside_deg >= 360.0:
        return None
    rows = _grid_lines(lat_deg, above_deg, lines_a_degree, AROUND_CELLS)
    columns = _grid_lines(lon_deg, beside_deg, lines_a_degree, AROUND_CELLS)
    heights = _patch(rows, columns, read_tile)
    known_rows, known_columns = (np.flatnonzero((~np.isnan(heights)).any(axis=axis)) for axis in (1, 0))
    if known_rows.size < 2 or known_columns.size < 2:
        return None
    inside = (slice(known_rows[0], known_rows[-1] + 1), slice(known_columns[0], known_columns[-1] + 1))
    return Relief(rows[inside[0]], columns[inside[1]], heights[inside])


def _grid_lines(degrees: FloatArray, margin_deg: float, lines_a_degree: int, most: int) -> FloatArray:
    """Return the tiles' own grid lines around a range, thinned to at most ``most``, shape (k,) [degrees]."""
    first = math.floor((float(degrees.min()) - margin_deg) * lines_a_degree)
    last = math.ceil((float(degrees.max()) + margin_deg) * lines_a_degree)
    stride = math.ceil((last - first + 1) / most)
    return np.arange(first, last + 1, stride) / lines_a_degree
