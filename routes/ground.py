"""The invented mountain tile: heights that pass through every road and rise between them."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, gaussian_filter, map_coordinates

Floats = NDArray[np.float64]
SIDE = 1201  # a 3-arc-second tile
CELL_M = 78.0  # mean of a cell's sides at this latitude


def raise_ground(rows: Floats, cols: Floats, road_m: Floats, seed: int) -> Floats:
    """Return heights that meet the roads, shape (SIDE, SIDE), north row first [m].

    Parameters
    ----------
    rows, cols : road points as fractional grid positions, shape (n,)
    road_m : their heights [m]

    Notes
    -----
    Successive corrections: the misfit at the roads is spread with ever narrower bell curves
    until the ground meets them. Ridges stand away from the roads; beyond them it falls to the sea.
    """
    cells = np.round(rows).astype(int), np.round(cols).astype(int)
    count = np.zeros((SIDE, SIDE))
    np.add.at(count, cells, 1.0)
    away_m = distance_transform_edt(count == 0) * CELL_M

    def meet_roads(ground: Floats, width: float) -> Floats:
        total = np.zeros((SIDE, SIDE))
        np.add.at(total, cells, road_m - map_coordinates(ground, [rows, cols], order=1))
        weight = gaussian_filter(count, width, mode="constant") + 0.02 / width**2
        return np.asarray(ground + gaussian_filter(total, width, mode="constant") / weight)

    ground = np.full((SIDE, SIDE), float(np.median(road_m)))
    for width in (90.0, 45.0, 22.0, 11.0, 5.0):
        ground = meet_roads(ground, width)
    beside = np.exp(-((away_m / 900.0) ** 2))
    ground = beside * ground + (1.0 - beside) * gaussian_filter(ground, 9.0)
    ground += _ridges(np.random.default_rng(seed)) * (1.0 - np.exp(-((away_m / 2000.0) ** 2)))
    for width in (5.0, 2.5, 1.5, 1.0, 0.8, 0.7, 0.6, 0.6, 0.6):
        ground = meet_roads(ground, width)
    shore = np.clip(1.0 - (away_m - 4500.0) / 5500.0, 0.0, 1.0)
    return np.asarray(np.clip(ground, 1.0, None) * shore**2 * (3.0 - 2.0 * shore))


def _ridges(rng: np.random.Generator) -> Floats:
    """Return sharp crests of several sizes, the small ones on the large, shape (SIDE, SIDE) [m]."""
    height = np.zeros((SIDE, SIDE))
    share = np.ones((SIDE, SIDE))
    for cells_wide, crest_m in ((42.0, 520.0), (19.0, 240.0), (9.0, 110.0), (4.5, 45.0)):
        crest = np.clip(1.0 - np.abs(_noise(rng, cells_wide)), 0.0, None) ** 2
        height += crest_m * crest * share
        share = 0.3 + 0.7 * crest * share
    return height


def _noise(rng: np.random.Generator, cells_wide: float) -> Floats:
    field = gaussian_filter(rng.normal(size=(SIDE, SIDE)), cells_wide, mode="reflect")
    return np.asarray(field / field.std())
