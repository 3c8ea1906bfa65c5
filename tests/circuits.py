"""Circuits and other roads through places in the plane: the same road ridden again, or not."""

from collections.abc import Sequence

import numpy as np

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

METRES_A_DEGREE = 111_195.0

Path = Sequence[complex]
"""Places in the plane, east and north [m]."""


def track_through(path: Path, noise_m: float = 0.0, hill_m: float = 0.0) -> Track:
    """Return a road through places in the plane, its points 15 m apart and astray.

    ``hill_m`` is how high the road rises to the east of where it begins and falls to its west.
    """
    corners = np.asarray(path, dtype=complex)
    along = np.concatenate(([0.0], np.cumsum(np.abs(np.diff(corners)))))
    at_m = np.arange(0.0, along[-1], 15.0)
    places = np.interp(at_m, along, corners.real) + 1j * np.interp(at_m, along, corners.imag)
    rng = np.random.default_rng(5)
    places = places + noise_m * (rng.normal(size=places.size) + 1j * rng.normal(size=places.size))
    lat = 46.0 + places.imag / METRES_A_DEGREE
    lon = 8.0 + places.real / METRES_A_DEGREE / np.cos(np.radians(46.0))
    spans, _ = geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    road_m = np.concatenate(([0.0], np.cumsum(spans)))
    elevation_m = 300.0 + hill_m * (places.real - places.real[0]) / max(float(np.ptp(places.real)), 1.0)
    never = np.zeros(road_m.size, dtype=np.bool_)
    return Track("Circuit of Orrin", "made.gpx", lat, lon, road_m, elevation_m, never)


def ring(laps: float, round_m: float = 6000.0, begin_deg: float = 0.0) -> FloatArray:
    """Return a wavy circuit of some length, ridden so many times, as places in the plane."""
    turn = np.radians(begin_deg) + np.linspace(0.0, 2.0 * np.pi * laps, round(720 * laps))
    whole = np.linspace(0.0, 2.0 * np.pi, 721)
    shape, once = ((1.0 + 0.2 * np.sin(3.0 * t)) * np.exp(-1j * t) for t in (turn, whole))
    return np.asarray(shape * round_m / np.abs(np.diff(once)).sum())
