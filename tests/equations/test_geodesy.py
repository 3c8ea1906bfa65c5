"""Distances on the ellipsoid against published lines and a reference library."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Geod, Transformer

from terrain_fuel.equations.geodesy import earth_centred_m, geodesic_m
from terrain_fuel.errors import ModelRangeError

WGS84 = Geod(ellps="WGS84")
# Vincenty's series are cut off at the third power of the flattening: 0.1 mm, as he states
SERIES_M = 1e-4


def pairs(count: int, spread_deg: float, seed: int = 7) -> tuple[np.ndarray, ...]:
    rng = np.random.default_rng(seed)
    lat1, lon1 = rng.uniform(-90, 90, count), rng.uniform(-180, 180, count)
    lat2 = np.clip(lat1 + rng.normal(0, spread_deg, count), -90, 90)
    return lat1, lon1, lat2, lon1 + rng.normal(0, spread_deg, count)


@pytest.mark.source("GDA", "worked example, inverse: Flinders Peak to Buninyong")
def test_the_line_of_the_geodetic_manual() -> None:
    def dms(degrees: float, minutes: float, seconds: float) -> float:
        return degrees + minutes / 60 + seconds / 3600

    # printed on GRS 80, whose flattening differs from WGS 84 in the ninth figure: below 0.1 mm here
    distance, azimuth = geodesic_m(
        -dms(37, 57, 3.72030), dms(144, 25, 29.52440), -dms(37, 39, 10.15610), dms(143, 55, 35.38390)
    )
    assert_allclose(distance, 54972.271, rtol=0, atol=1e-3)  # printed to a millimetre
    assert_allclose(azimuth, dms(306, 52, 5.37), rtol=0, atol=0.01 / 3600)  # printed to 0.01 seconds


@pytest.mark.source("Ka13", "geodesics accurate to nanometres, as PROJ computes them")
@pytest.mark.parametrize("spread_deg", [1e-5, 2e-4, 0.05, 5.0, 30.0])
def test_lengths_and_directions_agree_with_proj(spread_deg: float) -> None:
    lat1, lon1, lat2, lon2 = pairs(20_000, spread_deg)
    forward, _, expected = WGS84.inv(lon1, lat1, lon2, lat2)
    distance, azimuth = geodesic_m(lat1, lon1, lat2, lon2)
    assert_allclose(distance, expected, rtol=0, atol=SERIES_M)
    away = (azimuth - forward + 180.0) % 360.0 - 180.0
    assert (
        np.max(np.abs(away) * np.minimum(expected, 1e6)) < 0.01
    )  # degrees times metres: the end moves < 0.2 mm


@pytest.mark.source("Ka13", "lines over the date line and the poles, as PROJ computes them")
@pytest.mark.parametrize(
    "line",
    [
        (52.0, 179.9999, 52.0001, -179.9999),
        (-17.0, -180.0, -17.0, 180.0),
        (89.9999, 0.0, 89.9999, 180.0),
        (90.0, 12.0, 89.9, -70.0),
        (-90.0, 0.0, -89.99, 45.0),
        (0.0, 10.0, 0.0, 10.001),
        (0.0, 179.99, 0.0, -179.98),
        (10.0, 20.0, 80.0, 20.0),
    ],
)
def test_no_border_at_the_date_line_or_the_poles(line: tuple[float, float, float, float]) -> None:
    lat1, lon1, lat2, lon2 = line
    _, _, expected = WGS84.inv(lon1, lat1, lon2, lat2)
    distance, _ = geodesic_m(*line)
    assert_allclose(distance, expected, rtol=0, atol=SERIES_M)


def test_a_point_has_no_distance_to_itself() -> None:
    distance, azimuth = geodesic_m([45.0, 90.0, 0.0], [7.0, 10.0, 0.0], [45.0, 90.0, 0.0], [7.0, -60.0, 0.0])
    assert_allclose(distance, 0.0, atol=1e-8)
    assert np.all((azimuth >= 0) & (azimuth < 360))


def test_shapes_broadcast() -> None:
    distance, azimuth = geodesic_m(45.0, 7.0, [[45.1, 45.2], [45.3, 45.4]], 7.0)
    assert distance.shape == azimuth.shape == (2, 2)
    assert_allclose(azimuth, 0.0, atol=1e-9)


def test_opposite_points_are_refused() -> None:
    with pytest.raises(ModelRangeError, match=r"0\.0000, 0\.0000 and 0\.3000, 179\.7000 lie opposite"):
        geodesic_m(0.0, 0.0, 0.3, 179.7)


@pytest.mark.source("Ka13", "geographic to geocentric, as PROJ computes it")
def test_earth_centred_positions_agree_with_proj() -> None:
    lat, lon, _, _ = pairs(1000, 1.0)
    expected = Transformer.from_crs("EPSG:4979", "EPSG:4978", always_xy=True).transform(
        lon, lat, np.zeros(lat.size)
    )
    assert_allclose(earth_centred_m(lat, lon), np.column_stack(expected), rtol=0, atol=1e-6)


def test_chords_are_as_long_as_short_geodesics() -> None:
    lat1, lon1, lat2, lon2 = pairs(2000, 0.01)
    distance, _ = geodesic_m(lat1, lon1, lat2, lon2)
    chord = np.linalg.norm(earth_centred_m(lat1, lon1) - earth_centred_m(lat2, lon2), axis=1)
    # an arc of length s is longer than its chord by s^3 / (24 R^2)
    assert_allclose(distance - chord, distance**3 / (24 * 6.37e6**2), rtol=0.02, atol=SERIES_M)
