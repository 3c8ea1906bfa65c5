"""Longitudes as route files hold them: -180 is one, 180 is none."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray

HALF_OF_LAST_DEG = 0.5e-6
"""Half a unit of the last place that is written, about 0.05 m."""


def east_deg(lon_deg: ArrayLike) -> FloatArray:
    """Return longitudes as they are written, same shape, -180 <= lon < 180 [degrees].

    Notes
    -----
    ``longitudeType`` of [GPX11]_ and ``DegreesLongitude_t`` of [TCX2]_ leave 180 out; [FIT]_ counts 2^31 to
    half a turn in 32 bits, so that 180 is one too many.
    """
    east = (np.asarray(lon_deg, dtype=np.float64) + 180.0) % 360.0 - 180.0
    return np.where(east > 180.0 - HALF_OF_LAST_DEG, -180.0, east)
