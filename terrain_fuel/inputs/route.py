"""A route file, with heights at every point."""

from pathlib import Path

import numpy as np

from terrain_fuel.equations.geodesy import geodesic_m, local_m
from terrain_fuel.inputs.gpx import RawRoute, read_gpx
from terrain_fuel.track import Relief, Track, Waypoint, WaypointKind

WORDS: tuple[tuple[str, WaypointKind], ...] = (
    ("stop", "no_stop"), ("water", "refill"), ("tap", "refill"), ("shop", "feed"), ("food", "feed"),
    ("summit", "summit"), ("pass", "summit"), ("tunnel", "tunnel"), ("danger", "caution"),
)  # fmt: skip


def read_route(path: Path, elevation: Path | None = None, online: bool = False) -> tuple[Track, Relief | None]:
    """Return the route of a GPX file with a height at every point, and the relief around it."""
    raw = read_gpx(Path(path))
    step, _ = geodesic_m(raw.lat_deg[:-1], raw.lon_deg[:-1], raw.lat_deg[1:], raw.lon_deg[1:])
    keep = np.concatenate([[True], step > 0.0])
    distance = np.concatenate([[0.0], np.cumsum(step)])[keep]
    lat, lon, height = raw.lat_deg[keep], raw.lon_deg[keep], raw.elevation_m[keep]
    relief, source = None, "file"
    if elevation is not None:
        relief = _relief(lat, lon, Path(elevation))
    if np.isnan(height).any():
        assert relief is not None
        height, source = _bilinear(relief, lat, lon), "tiles"
    track = Track(
        raw.name, raw.source, lat, lon, distance, height, np.zeros(lat.size, bool), source,
        "surface_90m" if source == "tiles" else "unknown", waypoints=_waypoints(raw, lat, lon, distance),
    )  # fmt: skip
    return track, relief


def _relief(lat: np.ndarray, lon: np.ndarray, folder: Path) -> Relief | None:  # type: ignore[type-arg]
    import zipfile

    south, west = int(np.floor(lat.min())), int(np.floor(lon.min()))
    name = f"{'S' if south < 0 else 'N'}{abs(south):02d}{'W' if west < 0 else 'E'}{abs(west):03d}.hgt"
    if not (folder / f"{name}.zip").exists():
        return None
    data = zipfile.ZipFile(folder / f"{name}.zip").read(name)
    side = round((len(data) / 2) ** 0.5)
    grid = np.frombuffer(data, ">i2").reshape(side, side)[::-1].astype(float)
    axis = np.linspace(0, 1, side)
    rows = (axis + south > lat.min() - 0.03) & (axis + south < lat.max() + 0.03)
    cols = (axis + west > lon.min() - 0.04) & (axis + west < lon.max() + 0.04)
    return Relief(axis[rows] + south, axis[cols] + west, grid[np.ix_(rows, cols)])


def _bilinear(relief: Relief, lat: np.ndarray, lon: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    from scipy.interpolate import RegularGridInterpolator

    grid = RegularGridInterpolator((relief.lat_deg, relief.lon_deg), relief.elevation_m)
    return np.asarray(grid(np.column_stack([lat, lon])))


def _waypoints(raw: RawRoute, lat: np.ndarray, lon: np.ndarray, distance: np.ndarray) -> tuple[Waypoint, ...]:  # type: ignore[type-arg]
    found = []
    for name, wlat, wlon, symbol, kind, comment in raw.waypoints:
        east, north = local_m(lat, lon, wlat, wlon)
        offset = np.hypot(east, north)
        i = int(offset.argmin())
        text = f"{kind} {symbol} {name} {comment}".lower()
        meaning: WaypointKind = next((meaning for word, meaning in WORDS if word in text), "place")
        found.append(
            Waypoint(name, meaning, wlat, wlon, float(distance[i]), float(offset[i]), symbol, kind, comment)
        )
    return tuple(sorted(found, key=lambda w: w.distance_m))
