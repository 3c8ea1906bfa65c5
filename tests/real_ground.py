"""Roads laid over real ground: matplotlib's sample of the Jacksboro fault, in cells of three arc seconds.

A road takes the way that costs least between places when slopes cost, as a surveyor would look for it, and
is built smoother than the ground: through small rises, over small hollows.
"""

from dataclasses import dataclass
from functools import cache

import matplotlib.cbook
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d, map_coordinates
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import dijkstra

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.frozen import FloatArray
from tests.road_building import Road

EASY_GRADE, SLOPE_COST = 0.05, 3.0
PLAN_SMOOTHING_M, PROFILE_SMOOTHING_M = 60.0, 120.0
STEPS = ((0, 1), (1, 0), (1, 1), (1, -1), (1, 2), (2, 1), (1, -2), (2, -1))


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """Heights of cells [m] from south and west, their latitudes and longitudes [degrees]."""

    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray

    def spacing_m(self) -> tuple[float, float]:
        """Return how far apart rows and columns of cells are [m]."""
        lat, lon = float(self.lat_deg.mean()), float(self.lon_deg.mean())
        places = (self.lat_deg[:2].tolist(), [lat, lat]), ([lon, lon], self.lon_deg[:2].tolist())
        (row, column) = (
            geodesic_m(np.array(la[:1]), np.array(lo[:1]), np.array(la[1:]), np.array(lo[1:]))[0][0]
            for la, lo in ((places[0][0], places[1][0]), (places[0][1], places[1][1]))
        )
        return float(row), float(column)


@cache
def jacksboro() -> Ground:
    """Return the sample."""
    sample = np.load(str(matplotlib.cbook.get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)))
    heights = sample["elevation"].astype(float)
    lat, lon = (
        np.linspace(float(sample[low]), float(sample[high]), size + 1)
        for low, high, size in zip(("ymin", "xmin"), ("ymax", "xmax"), heights.shape, strict=True)
    )
    return Ground((lat[1:] + lat[:-1]) / 2, (lon[1:] + lon[:-1]) / 2, heights[::-1])


@cache
def costs() -> "csr_array[np.float64, tuple[int, int]]":
    """Return what it costs to go from cell to cell: the way, dearer where it is steep."""
    ground = jacksboro()
    height, (row_m, column_m) = ground.elevation_m, ground.spacing_m()
    cell = np.arange(height.size).reshape(height.shape)
    rows, columns = height.shape
    froms, tos, prices = [], [], []
    for up, right in STEPS:
        here = cell[: rows - up, max(-right, 0) : columns - max(right, 0)].ravel()
        there = cell[up:, max(right, 0) : columns - max(-right, 0)].ravel()
        way_m = float(np.hypot(up * row_m, right * column_m))
        grade = np.abs(height.ravel()[here] - height.ravel()[there]) / way_m
        froms.append(here)
        tos.append(there)
        prices.append(way_m * (1.0 + SLOPE_COST * (grade / EASY_GRADE) ** 2))
    where = (np.concatenate(froms), np.concatenate(tos))
    return coo_array((np.concatenate(prices), where), shape=(height.size, height.size)).tocsr()


def _cheapest(start: int, end: int) -> list[int]:
    _, before = dijkstra(costs(), directed=False, indices=np.array(start), return_predecessors=True)
    way = [end]
    while way[-1] != start:
        way.append(int(before[way[-1]]))
    return way[::-1]


def real_road(seed: int, longest_m: float = 40_000.0) -> tuple[Road, FloatArray]:
    """Return a road over real ground, and the height of the ground under every metre of it [m]."""
    ground, rng = jacksboro(), np.random.default_rng(seed)
    rows, columns = ground.elevation_m.shape
    places = [int(rng.integers(20, rows - 20) * columns + rng.integers(20, columns - 20)) for _ in range(3)]
    cells: NDArray[np.int64] = np.array(_cheapest(*places[:2]) + _cheapest(*places[1:])[1:])
    row_m, column_m = ground.spacing_m()
    row, column = (part.astype(float) for part in np.divmod(cells, columns))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(row) * row_m, np.diff(column) * column_m))))
    even = np.arange(0.0, along[-1], 5.0)
    row, column = (
        gaussian_filter1d(np.interp(even, along, c), PLAN_SMOOTHING_M / 5.0) for c in (row, column)
    )
    lat = np.interp(row, np.arange(rows), ground.lat_deg)
    lon = np.interp(column, np.arange(columns), ground.lon_deg)
    legs, _ = geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    far = np.concatenate(([0.0], np.cumsum(legs)))
    road_m = np.arange(0.0, min(far[-1], longest_m))
    lat, lon, row, column = (np.interp(road_m, far, c) for c in (lat, lon, row, column))
    under = map_coordinates(ground.elevation_m, [row, column], order=1, mode="nearest")
    built = gaussian_filter1d(under, PROFILE_SMOOTHING_M, mode="nearest")
    return Road(f"real-{seed}", road_m, lat, lon, built, (), ()), np.asarray(under)
