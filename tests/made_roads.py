"""Roads made for the tests of whole plans: from pancake-flat to all-hairpin, 2 km to 400 km."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track, Waypoint


@dataclass(frozen=True, slots=True)
class Road:
    """What a road is made of.

    ``hilliness`` is the greatest grade, ``bends`` from 0 (straight) to 1 (a hairpin every 150 m),
    ``taps`` the kilometres at which there is water.
    """

    length_km: float
    hilliness: float = 0.05
    bends: float = 0.2
    hill_km: float = 6.0
    taps: tuple[float, ...] = ()
    seed: int = 0
    south_deg: float = 46.0
    west_deg: float = -5.0


def make_track(road: Road, step_m: float = 25.0) -> Track:
    """Return a track of that road: heights and headings are smooth and depend on the seed alone."""
    rng = np.random.default_rng(road.seed)
    count = max(3, int(road.length_km * 1000.0 / step_m) + 1)
    along_m = np.linspace(0.0, (count - 1) * step_m, count)
    grade = road.hilliness * _wave(rng, along_m, road.hill_km * 1000.0)
    elevation_m = 800.0 + np.concatenate(([0.0], np.cumsum(grade[:-1] * step_m)))
    elevation_m -= min(0.0, float(elevation_m.min()) - 5.0)
    heading = 1.5 * _wave(rng, along_m, 12_000.0)
    heading += 2.6 * road.bends * _wave(rng, along_m, 300.0 + 3000.0 * (1.0 - road.bends))
    north_m = np.concatenate(([0.0], np.cumsum(np.cos(heading[:-1]) * step_m)))
    east_m = np.concatenate(([0.0], np.cumsum(np.sin(heading[:-1]) * step_m)))
    lat_deg = road.south_deg + north_m / 111_150.0
    # Length of a degree of longitude on the ellipsoid: the usual series, from memory.
    middle = np.radians(0.5 * (lat_deg[1:] + lat_deg[:-1]))
    lon_step_m = 111_412.84 * np.cos(middle) - 93.5 * np.cos(3 * middle)
    lon_deg = road.west_deg + np.concatenate(([0.0], np.cumsum(np.diff(east_m) / lon_step_m)))
    spans_m, _ = geodesic_m(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])
    distance_m = np.concatenate(([0.0], np.cumsum(spans_m)))
    return Track(
        name=f"made road {road.seed}",
        source="made",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        distance_m=distance_m,
        elevation_m=elevation_m,
        interpolated=np.zeros(count, dtype=np.bool_),
        waypoints=_taps(road, lat_deg, lon_deg, distance_m),
    )


def _wave(rng: np.random.Generator, along_m: FloatArray, length_m: float) -> FloatArray:
    """Return a smooth curve between -1 and 1 whose swings are about ``length_m`` long."""
    knots = max(4, int(along_m[-1] / (length_m / 2)) + 2)
    heights = rng.uniform(-1.0, 1.0, knots)
    heights[::2] = np.abs(heights[::2])
    heights[1::2] = -np.abs(heights[1::2])
    at = along_m / (along_m[-1] + 1.0) * (knots - 1)
    low = at.astype(int)
    turn = 0.5 - 0.5 * np.cos(np.pi * (at - low))
    curve: FloatArray = heights[low] * (1 - turn) + heights[low + 1] * turn
    return curve


def _taps(
    road: Road, lat_deg: FloatArray, lon_deg: FloatArray, distance_m: FloatArray
) -> tuple[Waypoint, ...]:
    found = []
    for at_km in sorted(road.taps):
        node = int(np.searchsorted(distance_m, at_km * 1000.0))
        if 0 < node < distance_m.size:
            where = float(lat_deg[node]), float(lon_deg[node]), float(distance_m[node])
            found.append(Waypoint(f"tap {at_km:g}", "refill", *where))
    return tuple(found)
