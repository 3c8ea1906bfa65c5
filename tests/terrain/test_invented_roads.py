"""The invented roads are what they say: lengths, radii, gains and errors, measured by other means."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Geod

from tests.road_building import Section, build_road
from tests.roads import flat_road, hill_country, mountain_pass, rollers, sweeping_descent, valley_road

GEOD = Geod(ellps="WGS84")


@pytest.mark.parametrize("build", [mountain_pass, hill_country, rollers, sweeping_descent, valley_road])
def test_lengths_and_gains(build: object) -> None:
    road = build(6)  # type: ignore[operator]
    assert_allclose(GEOD.line_length(road.lon_deg, road.lat_deg), road.length_m, rtol=1e-5)
    assert road.stretches[0].start_m == 0.0
    assert road.stretches[-1].end_m == road.length_m
    for before, after in zip(road.stretches, road.stretches[1:], strict=False):
        assert before.end_m == after.start_m
    assert_allclose(sum(s.gain_m for s in road.stretches), road.elevation_m[-1] - road.elevation_m[0])


@pytest.mark.parametrize("radius_m", [8.0, 40.0, 200.0])
def test_arcs_have_their_radius(radius_m: float) -> None:
    road = build_road("arc", [Section(2000.0, 0.0, "flat", radius_m, 120.0, 1000.0)])
    arc = road.bends[0]
    assert_allclose(arc.end_m - arc.start_m, radius_m * np.radians(120.0))
    at = [int(arc.start_m) + 1, round((arc.start_m + arc.end_m) / 2), int(arc.end_m)]
    lat, lon = road.lat_deg[at], road.lon_deg[at]
    a, b, c = (GEOD.inv(lon[i], lat[i], lon[j], lat[j])[2] for i, j in ((0, 1), (1, 2), (0, 2)))
    half = (a + b + c) / 2
    area = np.sqrt(half * (half - a) * (half - b) * (half - c))
    assert_allclose(a * b * c / (4.0 * area), radius_m, rtol=0.02)  # R = abc / 4A


def test_vertical_curves_keep_the_grades() -> None:
    road = build_road("two grades", [Section(1000.0, 0.06, "climb"), Section(1000.0, -0.04, "descent")])
    assert_allclose(road.elevation_m[500] - road.elevation_m[0], 30.0, atol=1e-6)
    assert_allclose(road.elevation_m[-1] - road.elevation_m[0], 20.0, atol=1e-6)
    # a parabola of 61 m under the meeting point of +6 % and -4 %: 0.10 * 61 / 8 lower
    assert_allclose(road.elevation_m[1000] - road.elevation_m[0], 60.0 - 0.10 * 61.0 / 8.0, atol=0.02)


def test_errors_of_a_surface_model() -> None:
    survey = flat_road(200_000.0).survey(10.0, "surface", seed=1)
    error = survey.track.elevation_m
    assert_allclose(error, np.round(error))
    assert_allclose(error.std(), 3.0, rtol=0.05)
    correlation = np.corrcoef(error[:-6], error[6:])[0, 1]
    assert_allclose(correlation, np.exp(-1.0), atol=0.06)


def test_errors_of_a_barometer_and_of_positions() -> None:
    survey = flat_road(20_000.0).survey(10.0, "barometer", position_noise_m=2.0, seed=2)
    height = survey.track.elevation_m
    assert_allclose(height * 5.0, np.round(height * 5.0), atol=1e-9)
    assert np.std(np.diff(height)) < 0.6
    assert 3.0 < np.ptp(height) < 14.0
    clean = flat_road(20_000.0).survey(10.0).track
    _, _, off = GEOD.inv(clean.lon_deg, clean.lat_deg, survey.track.lon_deg, survey.track.lat_deg)
    assert_allclose(np.sqrt(np.mean(np.square(off)) / 2.0), 2.0, rtol=0.05)
