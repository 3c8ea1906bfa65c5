"""The planned road as a line thinned for plan.json, so that a recording can be laid along it."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.data.thinned import needed_on_ground
from terrain_fuel.track import Track

WITHIN_M = 2.0
"""No left-out point lies farther from the line [m]."""

DECIMALS = 6
"""A ninth of a metre."""


def road_line(track: Track) -> dict[str, list[float]]:
    """Return the line's points as equal-length columns: distance along the road [m] and position [degrees].

    Notes
    -----
    Points are left out as long as the line stays within 2 m (Douglas and Peucker's way); those that stay
    keep their own distance along the road.
    """
    kept = needed_on_ground(track, WITHIN_M)
    return {
        "distance_m": _rounded(track.distance_m[kept], 1),
        "lat": _rounded(track.lat_deg[kept], DECIMALS),
        "lon": _rounded(track.lon_deg[kept], DECIMALS),
    }


def _rounded(values: FloatArray, decimals: int) -> list[float]:
    return [float(value) for value in np.round(values, decimals).tolist()]
