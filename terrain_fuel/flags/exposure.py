"""High, open ground, where gusts are likely: from the relief, and from the wind if it is known."""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.equations.around import between
from terrain_fuel.equations.geodesy import ECCENTRICITY_SQUARED, SEMI_MAJOR_M
from terrain_fuel.facts import fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Profile, Terrain
from terrain_fuel.terrain.runs import joined, runs
from terrain_fuel.track import Relief

EVERY_M = 100.0
"""Exposure is measured this often along the road [m]."""

AZIMUTHS_DEG = np.arange(0.0, 360.0, 45.0)
"""Eight directions, as in [Yo02]_."""

RING_M = np.arange(300.0, 2001.0, 100.0)
"""The ring of topographic position [m]."""

OPENNESS_M = np.arange(100.0, 1501.0, 100.0)
"""How far openness looks, between 1 and 2 km."""

SHELTER_M = np.arange(30.0, 301.0, 30.0)
SHELTER_AZIMUTHS_DEG = np.arange(-15.0, 16.0, 5.0)
"""Shelter looks 300 m upwind in a sector of 30 degrees [Wi02]_."""

OPEN_SHARE = 0.15
"""The most open part of the route is exposed, if it is also high; from memory."""

HIGH_SPREADS = 1.0
LEAST_POSITION_M = 20.0
"""High is one standard deviation of the route's topographic position, and at least this [m]."""

WINDY_M_S = 3.0
"""From this wind on its direction counts [m/s]."""

SHELTERED_DEG = 5.0
"""Ground that rises this steeply upwind gives shelter; from memory."""

COMPASS_CODES = (
    "north", "north_east", "east", "south_east", "south", "south_west", "west", "north_west",
)  # fmt: skip

SHORTEST_M = 200.0
JOIN_M = 400.0


@dataclass(frozen=True, slots=True, eq=False)
class Exposure:
    """Exposure every 100 m of road; columns have shape (n,).

    Parameters
    ----------
    distance_m : along the road [m]
    position_m : height less the mean height of a ring of 300 m to 2 km [m], NaN where unknown
    openness_deg : positive openness, 90 on a plain, more on a ridge [degrees], NaN where unknown
    shelter_deg : the steepest upwind horizon within 300 m [degrees], None without wind
    """

    distance_m: FloatArray
    position_m: FloatArray
    openness_deg: FloatArray
    shelter_deg: FloatArray | None


def measure_exposure(profile: Profile, relief: Relief, day: Day) -> Exposure:
    """Return the exposure of a road in its relief.

    Notes
    -----
    Openness is the mean over eight azimuths of the smallest zenith angle to the ground,
    90 - max atan(dz / d) [Yo02]_. Shelter is Sx = max atan(dz / d) upwind [Wi02]_. A surface model
    sees no wall and no single tree.
    """
    calm = _calm_exposure(profile, relief)
    if day.wind_m_s < WINDY_M_S:
        return calm
    return replace(calm, shelter_deg=_shelter_deg(profile, relief, day.wind_from_deg))


@lru_cache(maxsize=1)
def _shelter_deg(profile: Profile, relief: Relief, wind_from_deg: float) -> FloatArray:
    """Return the steepest upwind horizon; a day's halts and kitchen change nothing of it."""
    lat, lon = _positions(profile, _calm_exposure(profile, relief).distance_m)
    here = _around(relief, lat, lon, np.zeros(1), np.zeros(1))[:, 0, 0]
    upwind = _around(relief, lat, lon, wind_from_deg + SHELTER_AZIMUTHS_DEG, SHELTER_M)
    return np.asarray(_horizon(upwind, here, SHELTER_M).max(axis=1))


@lru_cache(maxsize=1)
def _calm_exposure(profile: Profile, relief: Relief) -> Exposure:
    """Return what holds on any day: a road is planned many times with other settings."""
    at_m = np.linspace(
        0.0, profile.distance_m[-1], max(round(float(profile.distance_m[-1]) / EVERY_M), 1) + 1
    )
    lat, lon = _positions(profile, at_m)
    here = _around(relief, lat, lon, np.zeros(1), np.zeros(1))[:, 0, 0]
    away_m = np.union1d(RING_M, OPENNESS_M)
    around = _around(relief, lat, lon, AZIMUTHS_DEG, away_m)
    ring = np.ascontiguousarray(around[..., np.isin(away_m, RING_M)])
    horizon = _horizon(around[..., np.isin(away_m, OPENNESS_M)], here, OPENNESS_M)
    return Exposure(at_m, here - ring.mean(axis=(1, 2)), 90.0 - horizon.mean(axis=1), None)


def _positions(profile: Profile, at_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    node = np.minimum(np.searchsorted(profile.distance_m, at_m), profile.distance_m.size - 1)
    return profile.lat_deg[node], profile.lon_deg[node]


def exposed_places(terrain: Terrain, day: Day) -> tuple[Caution, ...]:
    """Return cautions where the road may be exposed to gusts; none without relief."""
    relief = terrain.relief
    if relief is None or relief.lat_deg.size < 2 or relief.lon_deg.size < 2:
        return ()
    exposure = measure_exposure(terrain.profile, relief, day)
    known = np.isfinite(exposure.position_m) & np.isfinite(exposure.openness_deg)
    if not known.any():
        return ()
    position, openness = exposure.position_m, exposure.openness_deg
    high = position >= max(
        LEAST_POSITION_M, float(position[known].mean() + HIGH_SPREADS * position[known].std())
    )
    exposed = known & high & (openness >= np.quantile(openness[known], 1.0 - OPEN_SHARE))
    note = fact("exposed")
    if exposure.shelter_deg is not None:
        exposed &= ~(exposure.shelter_deg > SHELTERED_DEG)
        eighth = round(day.wind_from_deg / 45.0) % 8
        note = fact("exposed_to_wind", wind=fact(COMPASS_CODES[eighth]))
    edges = np.concatenate(
        ([0.0], (exposure.distance_m[1:] + exposure.distance_m[:-1]) / 2, exposure.distance_m[-1:])
    )
    spans = [(float(edges[first]), float(edges[last + 1])) for first, last in runs(exposed)]
    return tuple(
        Caution("exposed", start, end, False, note)
        for start, end in joined(spans, JOIN_M)
        if end - start >= SHORTEST_M
    )


def _around(
    relief: Relief, lat_deg: FloatArray, lon_deg: FloatArray, azimuth_deg: FloatArray, distance_m: FloatArray
) -> FloatArray:
    """Return heights at distances in directions from places, shape (places, directions, distances) [m]."""
    lat = np.radians(lat_deg)[:, None, None]
    azimuth, away = np.radians(azimuth_deg)[None, :, None], distance_m[None, None, :]
    curve = 1.0 - ECCENTRICITY_SQUARED * np.sin(lat) ** 2
    meridian_m = SEMI_MAJOR_M * (1.0 - ECCENTRICITY_SQUARED) / curve**1.5
    parallel_m = np.maximum(SEMI_MAJOR_M / np.sqrt(curve) * np.cos(lat), 1.0)
    to_lat = lat_deg[:, None, None] + np.degrees(away * np.cos(azimuth) / meridian_m)
    shift = np.degrees(away * np.sin(azimuth) / parallel_m)
    west = float(relief.lon_deg[0])
    to_lon = west + (lon_deg[:, None, None] - west + 180.0) % 360.0 - 180.0 + shift
    rows = np.interp(to_lat, relief.lat_deg, np.arange(relief.lat_deg.size), left=-9.0, right=np.inf)
    columns = np.interp(to_lon, relief.lon_deg, np.arange(relief.lon_deg.size), left=-9.0, right=np.inf)
    outside = ~np.isfinite(rows + columns) | (rows < 0.0) | (columns < 0.0)
    rows, columns = np.where(outside, 0.0, rows), np.where(outside, 0.0, columns)
    heights = between(relief.elevation_m, rows, columns)
    return np.asarray(np.where(outside, np.nan, heights))


def _horizon(around_m: FloatArray, here_m: FloatArray, distance_m: FloatArray) -> FloatArray:
    """Return the steepest angle up to the ground in each direction [degrees], shape (places, directions)."""
    rise = around_m - here_m[:, None, None]
    return np.asarray(np.degrees(np.arctan(rise / distance_m)).max(axis=2))
