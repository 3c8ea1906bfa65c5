"""Recordings with halts, read as a route: standing makes no distance, no bend, and no climb."""

from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.signal import lfilter

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.route import read_route
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Corner
from tests.road_building import Road, make_track, write_gpx
from tests.roads import flat_road, hill_country, mountain_pass

SPEED_M_S = 6.0


def wander(count: int, sd_m: float, lasts_s: float, rng: np.random.Generator) -> FloatArray:
    """Return errors of position, one a second, that last for some seconds [m]."""
    keep = np.exp(-1.0 / lasts_s) if lasts_s else 0.0
    return np.asarray(lfilter([np.sqrt(1.0 - keep**2)], [1.0, -keep], rng.normal(0.0, sd_m, count)))


def record(
    road: Road, folder: Path, halt_s: int, sd_m: float, lasts_s: float, timed: bool = True, seed: int = 1
) -> Path:
    """Write a recording of a road with three halts, one point a second."""
    rng = np.random.default_rng(seed)
    at_m = np.arange(0.0, road.length_m, SPEED_M_S)
    stops = np.linspace(0, at_m.size, 5).astype(int)[1:-1]
    at_m = np.insert(at_m, np.repeat(stops, halt_s), np.repeat(at_m[stops], halt_s))
    lat, lon, height = (
        np.interp(at_m, road.distance_m, column) for column in (road.lat_deg, road.lon_deg, road.elevation_m)
    )
    lat = lat + wander(at_m.size, sd_m, lasts_s, rng) / 111_200.0
    lon = lon + wander(at_m.size, sd_m, lasts_s, rng) / (111_300.0 * np.cos(np.radians(lat)))
    height = np.round((height + rng.normal(0.0, 0.2, at_m.size)) * 5.0) / 5.0
    time_s = np.arange(at_m.size, dtype=np.float64) if timed else None
    return write_gpx(make_track("halts", lat, lon, height, time_s=time_s), folder / f"{halt_s}.gpx")


def hairpins(corners: tuple[Corner, ...]) -> int:
    return sum(corner.hairpin for corner in corners)


@pytest.mark.parametrize("build", [flat_road, hill_country, mountain_pass])
@pytest.mark.parametrize(("sd_m", "lasts_s"), [(2.0, 0.0), (3.0, 10.0)])
@pytest.mark.parametrize("timed", [True, False])
def test_halts_are_no_road(build: object, sd_m: float, lasts_s: float, timed: bool, tmp_path: Path) -> None:
    # three halts of 20 minutes, of which every second moved 3 m or so: 2 to 5 km each if counted as road
    road = build()  # type: ignore[operator]
    ridden, _ = read_route(record(road, tmp_path, 0, sd_m, lasts_s, timed))
    halted, _ = read_route(record(road, tmp_path, 1200, sd_m, lasts_s, timed))
    assert_allclose(halted.length_m, ridden.length_m, rtol=0.01)
    there, here = measure_terrain(ridden), measure_terrain(halted)
    assert hairpins(here.corners) == hairpins(there.corners)
    assert_allclose(here.ascent_m, there.ascent_m, rtol=0.02, atol=3.0)


def test_a_halt_is_one_point_that_lasts(tmp_path: Path) -> None:
    track, _ = read_route(record(flat_road(3000.0), tmp_path, 600, 2.0, 0.0))
    assert track.time_s is not None
    lasted = np.diff(track.time_s)
    assert np.count_nonzero(lasted > 500.0) == 3
    assert track.time_s[-1] == 3 * 600 + 499


def test_slow_climbing_and_hairpins_are_no_halts(tmp_path: Path) -> None:
    road = mountain_pass()
    at_m = np.arange(0.0, road.length_m, 1.2)  # a point a second at 4.3 km/h
    lat, lon, height = (
        np.interp(at_m, road.distance_m, column) for column in (road.lat_deg, road.lon_deg, road.elevation_m)
    )
    time_s = np.arange(at_m.size, dtype=np.float64)
    track, _ = read_route(
        write_gpx(make_track("slow", lat, lon, height, time_s=time_s), tmp_path / "slow.gpx")
    )
    assert track.lat_deg.size == at_m.size


@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 25.0])
def test_planned_routes_stay_whole(spacing_m: float, tmp_path: Path) -> None:
    survey = mountain_pass(2).survey(spacing_m)
    track, _ = read_route(write_gpx(survey.track, tmp_path / "planned.gpx"))
    assert track.lat_deg.size == survey.track.lat_deg.size
