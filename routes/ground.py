"""The invented mountain tile: heights that pass through every road and rise between them."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, gaussian_filter, map_coordinates

Floats = NDArray[np.float64]
SIDE = 1201  # a 3-arc-second tile


def raise_ground(rows: Floats, cols: Floats, road_m: Floats, seed: int) -> Floats:
    """Return heights that meet the roads, shape (SIDE, SIDE), north row first [m].

    Parameters
    ----------
    rows, cols : road points as fractional grid positions, shape (n,)
    road_m : their heights [m]

    Notes
    -----
    Successive corrections: the misfit at the roads is spread with ever narrower bell curves
    until the ground meets them. Mountains and the fall to the sea come first.
    """
    cells = np.round(rows).astype(int), np.round(cols).astype(int)
    count = np.zeros((SIDE, SIDE))
    np.add.at(count, cells, 1.0)
    away_m = distance_transform_edt(count == 0) * 75.0  # mean cell size at this latitude [m]
    rng = np.random.default_rng(seed)
    ridges = sum(
        height * np.abs(_noise(rng, cells_wide)) for cells_wide, height in ((60.0, 420.0), (22.0, 120.0))
    )
    ground = np.full((SIDE, SIDE), float(np.median(road_m))) + ridges * (
        1 - np.exp(-((away_m / 2200.0) ** 2))
    )
    for width in (90.0, 45.0, 22.0, 11.0, 5.0, 2.5, 1.5, 1.0, 0.8, 0.7, 0.6, 0.6, 0.6):
        misfit = road_m - map_coordinates(ground, [rows, cols], order=1)
        total = np.zeros((SIDE, SIDE))
        np.add.at(total, cells, misfit)
        weight = gaussian_filter(count, width, mode="constant")
        ground += gaussian_filter(total, width, mode="constant") / (weight + 0.02 / width**2)
    shore = np.clip(1.0 - (away_m - 6000.0) / 6000.0, 0.0, 1.0)
    fall = shore**2 * (3.0 - 2.0 * shore)
    return np.asarray(np.clip(ground, 1.0, None) * fall)


def _noise(rng: np.random.Generator, cells_wide: float) -> Floats:
    field = gaussian_filter(rng.normal(size=(SIDE, SIDE)), cells_wide, mode="reflect")
    return np.asarray(field / field.std())
