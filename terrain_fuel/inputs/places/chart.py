"""A flat chart about the middle of a road, and the cells of the globe that lie near it."""

import numpy as np

from terrain_fuel.equations.geodesy import SPHERE_DEGREE_M
from terrain_fuel.frozen import FloatArray

CELL_DEG = 0.01
"""Side of a cell [degrees]: about 1.1 km from south to north."""

UNITS_A_DEGREE = 10_000_000
"""A map's positions are whole numbers of these parts of a degree [OSM]_."""

CELL_UNITS = round(CELL_DEG * UNITS_A_DEGREE)

COARSE, COARSE_MARGIN = 20, 1
"""A way is looked at more closely if its first node lies within a coarse cell, 20 km or so, of the road:
no way between two junctions is longer there (common practice, no source)."""

COARSE_UNITS = COARSE * CELL_UNITS

CORRIDOR_M = 1000.0
"""Nothing farther off the road is looked at [m]."""

SAMPLE_M = 200.0
LEAST_COSINE = 0.01

Cell = tuple[int, int]


class Chart:
    """Positions as metres east and north, true along the parallels and on the middle meridian.

    Away from that meridian the chart shears, by 3 degrees a thousand kilometres off at most
    latitudes that are ridden: road and map alike, so that both stay side by side.
    """

    def __init__(self, lon_deg: FloatArray) -> None:
        unwrapped = np.unwrap(lon_deg, period=360.0)
        self.middle_deg = float(0.5 * (unwrapped.min() + unwrapped.max()))

    def to_m(self, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
        """Return positions on the chart, shape (n, 2) [m]; the date line is no border."""
        east_deg = (np.asarray(lon_deg) - self.middle_deg + 180.0) % 360.0 - 180.0
        across = np.maximum(np.cos(np.radians(lat_deg)), LEAST_COSINE)
        return np.column_stack([SPHERE_DEGREE_M * across * east_deg, SPHERE_DEGREE_M * np.asarray(lat_deg)])


def cells_near(lat_deg: FloatArray, lon_deg: FloatArray, distance_m: FloatArray) -> frozenset[Cell]:
    """Return the cells within `CORRIDOR_M` of a road.

    Parameters
    ----------
    lat_deg, lon_deg : the road's points, shape (n,) [degrees]
    distance_m : along the road, rising, shape (n,) [m]
    """
    even_m = np.append(np.arange(0.0, distance_m[-1], SAMPLE_M), distance_m[-1])
    lat = np.interp(even_m, distance_m, lat_deg)
    lon = np.interp(even_m, distance_m, np.unwrap(lon_deg, period=360.0))
    reach_m = CORRIDOR_M + SAMPLE_M
    up = reach_m / SPHERE_DEGREE_M
    aside = up / np.maximum(np.cos(np.radians(lat)), LEAST_COSINE)
    cells: set[Cell] = set()
    for south, north, west, east in zip(lat - up, lat + up, lon - aside, lon + aside, strict=True):
        for row in range(int(np.floor(south / CELL_DEG)), int(np.floor(north / CELL_DEG)) + 1):
            for column in range(int(np.floor(west / CELL_DEG)), int(np.floor(east / CELL_DEG)) + 1):
                cells.add((row, _round_the_globe(column)))
    return frozenset(cells)


def _round_the_globe(column: int) -> int:
    around = round(360.0 / CELL_DEG)
    return (column + around // 2) % around - around // 2


def coarse_near(cells: frozenset[Cell]) -> frozenset[Cell]:
    """Return the coarse cells that hold some cells, and those around them."""
    whole = {(row // COARSE, column // COARSE) for row, column in cells}
    around = range(-COARSE_MARGIN, COARSE_MARGIN + 1)
    return frozenset((row + up, column + aside) for row, column in whole for up in around for aside in around)
