"""The web page's map projection: spherical Mercator on the unit square, north up."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray

HIGHEST_LAT_DEG = 85.0511287798
"""Where the square ends."""


def mercator_y(lat_deg: ArrayLike) -> FloatArray:
    """Return how far north latitudes lie on the map, in units of the equator's radius."""
    lat = np.clip(np.asarray(lat_deg, dtype=np.float64), -HIGHEST_LAT_DEG, HIGHEST_LAT_DEG)
    return np.asarray(np.arcsinh(np.tan(np.radians(lat))))


def mercator_lat_deg(y: ArrayLike) -> FloatArray:
    """Return the latitudes [degrees] of map heights made by `mercator_y`."""
    return np.asarray(np.degrees(np.arctan(np.sinh(np.asarray(y, dtype=np.float64)))))
