"""Distances on the ground between places of latitude and longitude."""

import numpy as np
from numpy.typing import NDArray

# World ellipsoid WGS 84, in its definition
EQUATOR_M, FLATTENING = 6_378_137.0, 1.0 / 298.257223563
ECCENTRICITY_2 = FLATTENING * (2.0 - FLATTENING)

Columns = NDArray[np.float64]


def along_m_of(road: Columns) -> Columns:
    """Return the distance of places along the road [m]."""
    return np.concatenate([[0.0], np.cumsum(np.linalg.norm(steps_m_of(road), axis=1))])


def from_m(place: Columns, others: Columns) -> Columns:
    """Return the way from one place to others, north and east [m]."""
    pairs = np.stack([np.broadcast_to(place, others.shape), others], axis=1).reshape(-1, 2)
    return steps_m_of(pairs)[::2]


def steps_m_of(positions: Columns) -> Columns:
    """Return the steps between positions, north and east [m], on the ellipsoid's radii half-way."""
    lat = np.radians(positions[:, 0])
    half = 0.5 * (lat[1:] + lat[:-1])
    turn = (np.diff(positions[:, 1]) + 180.0) % 360.0 - 180.0
    bulge = 1.0 - ECCENTRICITY_2 * np.sin(half) ** 2
    north = EQUATOR_M * (1.0 - ECCENTRICITY_2) / bulge**1.5 * np.diff(lat)
    east = EQUATOR_M / np.sqrt(bulge) * np.cos(half) * np.radians(turn)
    return np.column_stack([north, east])


def aside_m_of(
    road: Columns, along_m: Columns, at_m: float, place: tuple[float, float], slack_m: float
) -> float:
    """Return how far a place lies from the road between a little before and after a distance [m]."""
    first = max(0, int(np.searchsorted(along_m, at_m - slack_m)) - 1)
    last = min(len(road), int(np.searchsorted(along_m, at_m + slack_m)) + 2)
    piece = road[first:last]
    corner = from_m(np.array(place), piece)
    start, step = corner[:-1], np.diff(corner, axis=0)
    length2 = np.maximum((step**2).sum(axis=1), 1e-12)
    share = np.clip(-(start * step).sum(axis=1) / length2, 0.0, 1.0)
    return float(np.linalg.norm(start + share[:, None] * step, axis=1).min())
