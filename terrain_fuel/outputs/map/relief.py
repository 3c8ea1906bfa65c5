"""Relief behind the road: shading as a picture, contours and slope hachures as thin lines.

All stand on one grid, even on the page's map, so that picture and lines lie under the road exactly.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.equations.geodesy import SPHERE_DEGREE_M
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.map.mercator import mercator_lat_deg, mercator_y
from terrain_fuel.track import Relief

MOST_CELLS = 620
"""Longest side of the grid; finer is not seen behind a whole route and makes the page heavy."""

SUN_AZIMUTH_DEG = 315.0
SUN_HEIGHT_DEG = 45.0


@dataclass(frozen=True, slots=True, eq=False)
class MapGrid:
    """Heights on a grid even in map coordinates.

    ``elevation_m`` has shape (rows, columns), north first, NaN in voids. ``cell_m`` is the size
    of a cell on the ground, one a row, shape (rows,). Bounds are the outer cells' centres [degrees].
    """

    elevation_m: FloatArray
    cell_m: FloatArray
    south_deg: float
    north_deg: float
    west_deg: float
    east_deg: float


def map_grid(relief: Relief) -> MapGrid:
    """Return the heights of a relief on a grid of square map cells, bilinear between its points."""
    west, east = float(relief.lon_deg[0]), float(relief.lon_deg[-1])
    low, high = mercator_y(relief.lat_deg[[0, -1]]).tolist()
    wide, tall = np.radians(east - west), high - low
    side = max(wide, tall) / min(MOST_CELLS, max(relief.elevation_m.shape) - 1)
    lon = np.linspace(west, east, max(2, round(wide / side) + 1))
    lat = mercator_lat_deg(np.linspace(high, low, max(2, round(tall / side) + 1)))
    across = _columns(relief.elevation_m, relief.lon_deg, lon)
    heights = _columns(across.T, relief.lat_deg, np.clip(lat, relief.lat_deg[0], relief.lat_deg[-1])).T
    cell = np.degrees(side) * SPHERE_DEGREE_M * np.cos(np.radians(lat))
    return MapGrid(heights, cell, float(relief.lat_deg[0]), float(relief.lat_deg[-1]), west, east)


def _columns(values: FloatArray, axis: FloatArray, at: FloatArray) -> FloatArray:
    """Return rows of values linearly between their columns."""
    right = np.clip(np.searchsorted(axis, at), 1, axis.size - 1)
    share = (at - axis[right - 1]) / (axis[right] - axis[right - 1])
    return values[:, right - 1] * (1 - share) + values[:, right] * share


def slopes(grid: MapGrid) -> tuple[FloatArray, FloatArray]:
    """Return the rise towards east and towards north, each shape (rows, columns)."""
    down, right = np.gradient(grid.elevation_m)
    return right / grid.cell_m[:, None], -down / grid.cell_m[:, None]


def shade(grid: MapGrid, exaggeration: float = 1.6) -> FloatArray:
    """Return the light that falls on the ground less that on level ground, -1 to 1; NaN in voids.

    Notes
    -----
    Lambert's cosine law for a sun in the north-west, the convention of relief maps.
    """
    east, north = (exaggeration * slope for slope in slopes(grid))
    azimuth, height = np.radians(SUN_AZIMUTH_DEG), np.radians(SUN_HEIGHT_DEG)
    sun = np.array([np.sin(azimuth) * np.cos(height), np.cos(azimuth) * np.cos(height), np.sin(height)])
    light = (sun[2] - east * sun[0] - north * sun[1]) / np.sqrt(1 + east**2 + north**2)
    return np.asarray(np.clip(light, 0.0, 1.0) - sun[2])
