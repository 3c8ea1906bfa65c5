"""Noise estimated and let through, and the smoother against its own definition."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.signal import lfilter

from terrain_fuel.terrain.noise import EXPECTED_BY_KIND, HeightNoise, estimate_noise, height_noise
from terrain_fuel.terrain.smoothing import (
    WAVELENGTHS_M,
    choose_wavelength,
    passed_noise,
    smooth_heights,
    stiffness,
    whittaker,
)
from tests.road_building import Heights
from tests.roads import hill_country, mountain_pass, rollers


@pytest.mark.source("Wh23", "the minimum of fidelity and roughness")
@pytest.mark.parametrize("penalty", [0.3, 1650.0])
def test_whittaker_is_the_least_squares_solution(penalty: float) -> None:
    rng = np.random.default_rng(1)
    height = rng.normal(500.0, 20.0, 60)
    bend = np.diff(np.eye(60), n=2, axis=0)
    rows = np.vstack((np.eye(60), np.sqrt(penalty) * bend))
    right = np.concatenate((height, np.zeros(58)))
    assert_allclose(whittaker(height, penalty), np.linalg.lstsq(rows, right, rcond=None)[0], rtol=1e-7)


def test_half_of_a_wave_passes() -> None:
    assert_allclose(stiffness(400.0, 10.0), 1650.0, rtol=0.01)
    x = np.arange(0.0, 8000.0, 10.0)
    wave = np.sin(2.0 * np.pi * x / 400.0)
    passed = whittaker(wave, stiffness(400.0, 10.0))
    assert_allclose(passed[200:-200], 0.5 * wave[200:-200], atol=1e-6)


def test_straight_roads_pass_unchanged() -> None:
    distance = np.arange(0.0, 3000.0, 10.0)
    height = 100.0 + 0.06 * distance
    knots = (np.array([0.0, 2990.0]), np.array([100.0, 279.4]))
    assert_allclose(smooth_heights(distance, height, knots, 500.0), height, atol=1e-6)


@pytest.mark.parametrize("noise", [HeightNoise(3.0, 60.0), HeightNoise(0.4, 10.0), HeightNoise(4.0, 120.0)])
@pytest.mark.parametrize("wavelength_m", [100.0, 500.0])
def test_passed_noise_as_simulated(noise: HeightNoise, wavelength_m: float) -> None:
    rng = np.random.default_rng(7)
    keep = np.exp(-10.0 / noise.reach_m)
    sample = lfilter([noise.sd_m * np.sqrt(1.0 - keep**2)], [1.0, -keep], rng.normal(size=200_000))
    passed = whittaker(sample, stiffness(wavelength_m, 10.0))[500:-500]
    assert_allclose(
        (passed.std(), np.gradient(passed, 10.0).std()), passed_noise(noise, wavelength_m, 10.0), rtol=0.04
    )


def test_smoothing_follows_the_noise() -> None:
    chosen = [choose_wavelength(HeightNoise(sd, 60.0), 10.0) for sd in (0.05, 0.3, 1.0, 3.0)]
    assert chosen == sorted(chosen)
    assert chosen[0] == WAVELENGTHS_M[0]
    assert chosen[-1] == WAVELENGTHS_M[-1]


@pytest.mark.parametrize("build", [mountain_pass, hill_country, rollers])
@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 25.0])
@pytest.mark.parametrize(
    ("heights", "low_m", "high_m"), [("clean", 0.0, 0.15), ("barometer", 0.2, 0.6), ("surface", 2.0, 4.5)]
)
def test_unknown_noise_is_estimated(
    build: object, spacing_m: float, heights: Heights, low_m: float, high_m: float
) -> None:
    track = build(3).survey(spacing_m, heights, seed=5).track  # type: ignore[operator]
    assert low_m <= estimate_noise(track).sd_m <= high_m


def test_kind_bounds_the_noise() -> None:
    clean = hill_country(0).survey(10.0).track
    for kind, expected in EXPECTED_BY_KIND.items():
        assert_allclose(
            height_noise(replace(clean, height_kind=kind)).sd_m, expected.least_share * expected.noise.sd_m
        )
    noisy = hill_country(0).survey(10.0, "surface").track
    assert 2.0 <= height_noise(noisy).sd_m <= 3.0
