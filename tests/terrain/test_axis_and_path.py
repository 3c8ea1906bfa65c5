"""The even axis and the smoothed line: against a reference for geodesy, at poles and at the date line."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Geod, Transformer

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import cell_means, geographic, lay_axis
from terrain_fuel.terrain.path import draw_path, position_jitter
from tests.road_building import make_track
from tests.roads import flat_road, hill_country, mountain_pass

GEOD = Geod(ellps="WGS84")
PLACES = [(0.0, 0.0), (46.3, 8.4), (-33.9, 179.9), (89.9, 12.0), (-89.99, -140.0)]


def test_earth_centred_as_pyproj() -> None:
    rng = np.random.default_rng(0)
    lat, lon = rng.uniform(-90.0, 90.0, 500), rng.uniform(-180.0, 180.0, 500)
    theirs = Transformer.from_crs("EPSG:4979", "EPSG:4978").transform(lat, lon, np.zeros(500))
    assert_allclose(earth_centred_m(lat, lon), np.column_stack(theirs), atol=1e-6)
    back_lat, back_lon = geographic(earth_centred_m(lat, lon))
    assert_allclose(back_lat, lat, atol=1e-9)
    assert_allclose(back_lon, lon, atol=1e-9)


def straight_track(lat: float, lon: float, azimuth: float, count: int = 400) -> tuple[FloatArray, FloatArray]:
    lons, lats, _ = GEOD.fwd(
        np.full(count, lon), np.full(count, lat), np.full(count, azimuth), 12.0 * np.arange(count)
    )
    return np.asarray(lats), np.asarray(lons)


@pytest.mark.parametrize(("lat", "lon"), PLACES)
@pytest.mark.parametrize("azimuth", [0.0, 77.0, 200.0])
def test_a_straight_road_is_straight_anywhere(lat: float, lon: float, azimuth: float) -> None:
    lats, lons = straight_track(lat, lon, azimuth)
    track = make_track("straight", lats, lons, np.zeros(lats.size))
    axis = lay_axis(track)
    path = draw_path(track, axis)
    assert np.ptp(path.turned_rad) < 1e-6
    assert_allclose(path.along_m[-1], track.length_m, rtol=1e-6)
    node_lat, node_lon = geographic(axis.fine_position_m)
    ahead, _, _ = GEOD.inv(node_lon[:-1], node_lat[:-1], node_lon[1:], node_lat[1:])
    away_from_pole = np.abs(node_lat[:-1]) < 89.99  # within 1 km of a pole a heading changes by the metre
    off = (path.heading_deg()[:-1] - ahead + 180.0) % 360.0 - 180.0
    assert np.abs(off[away_from_pole]).max(initial=0.0) < 0.05


def test_steps_are_equal_and_reach_the_end() -> None:
    track = hill_country(0).survey(25.0).track
    axis = lay_axis(track)
    assert axis.distance_m[0] == 0.0
    assert axis.distance_m[-1] == track.length_m
    assert_allclose(np.diff(axis.distance_m), axis.step_m, rtol=1e-9)
    assert 9.9 < axis.step_m <= 10.0
    assert axis.fine_position_m.shape[0] == 2 * axis.distance_m.size - 1


def test_cell_means_are_exact() -> None:
    # a height of 8 m between zeros 12 m to either side: 96 m2, wherever the cells' edges fall
    lats, lons = straight_track(46.0, 8.0, 90.0, 3)
    track = make_track("spike", lats, lons, np.array([0.0, 8.0, 0.0]))
    axis = lay_axis(track)
    widths = np.full(axis.distance_m.size, axis.step_m)
    widths[[0, -1]] /= 2
    assert_allclose(np.sum(cell_means(track, axis) * widths), 12.0 * 8.0, rtol=1e-6)


@pytest.mark.parametrize("noise_m", [0.5, 1.0, 3.0])
def test_jitter_is_known(noise_m: float) -> None:
    for road in (flat_road(), mountain_pass(1)):
        track = road.survey(10.0, position_noise_m=noise_m, seed=3).track
        assert_allclose(position_jitter(track), noise_m, rtol=0.12)


def test_jitter_is_taken_off_the_length() -> None:
    survey = flat_road().survey(5.0, position_noise_m=3.0, seed=1)
    assert survey.track.length_m > 1.3 * survey.road.length_m
    path = draw_path(survey.track, lay_axis(survey.track))
    assert_allclose(path.along_m[-1], survey.road.length_m, rtol=0.02)


@pytest.mark.parametrize(("noise_m", "spacing_m"), [(1.0, 5.0), (2.0, 10.0), (3.0, 15.0)])
def test_noise_of_headings_as_simulated(noise_m: float, spacing_m: float) -> None:
    track = flat_road(50_000.0).survey(spacing_m, position_noise_m=noise_m, seed=6).track
    path = draw_path(track, lay_axis(track))
    heading = path.heading_deg()[100:-100]
    # where points are far apart the straight lines between them smooth too: the estimate is then too high
    assert_allclose(np.radians(heading.std()), path.heading_sd_rad, rtol=0.25)


def test_a_spot_is_no_road_but_does_no_harm() -> None:
    rng = np.random.default_rng(1)
    track = make_track(
        "spot", 46.0 + rng.normal(0.0, 2e-5, 500), 8.0 + rng.normal(0.0, 2e-5, 500), np.zeros(500)
    )
    path = draw_path(track, lay_axis(track))
    assert 0.2 <= path.kept_share < 0.6
    assert np.isfinite(path.turned_rad).all()
