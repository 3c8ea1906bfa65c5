"""Noise estimated and let through, and the smoother against its own definition."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.linalg import solveh_banded
from scipy.signal import lfilter

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.noise import HeightNoise, estimate_noise, recognised
from terrain_fuel.terrain.roughness import Roughness, explain_roughness
from terrain_fuel.terrain.smoothing import (
    choose_wavelength,
    passed_noise,
    smooth_heights,
    stiffness,
    whittaker,
)
from terrain_fuel.terrain.steps import cell_length, without_steps
from tests.road_building import Heights
from tests.roads import hill_country, mountain_pass, rollers


@pytest.mark.parametrize("penalty", [0.3, 1650.0])
def test_whittaker_is_the_least_squares_solution(penalty: float) -> None:
    """The definition, the least of fidelity and roughness, is [Wh23]'s; solved by NumPy's own solver."""
    rng = np.random.default_rng(1)
    height = rng.normal(500.0, 20.0, 60)
    bend = np.diff(np.eye(60), n=2, axis=0)
    rows = np.vstack((np.eye(60), np.sqrt(penalty) * bend))
    right = np.concatenate((height, np.zeros(58)))
    assert_allclose(whittaker(height, penalty), np.linalg.lstsq(rows, right, rcond=None)[0], rtol=1e-7)


@pytest.mark.parametrize("count", [3, 4, 7, 60, 1023, 5000])
@pytest.mark.parametrize("wavelength_m", [20.0, 150.0, 1200.0])
def test_whittaker_solves_its_equations_as_lapack_does(count: int, wavelength_m: float) -> None:
    """The normal equations of [Wh23] as bands, which SciPy hands to LAPACK; heights every 10 m.

    Their condition is 16 lambda, 2e6 at the most: both lose so many of the 16 figures of 1500 m.
    """
    penalty = stiffness(wavelength_m, 10.0)
    height = 1500.0 + np.random.default_rng(count).normal(0.0, 3.0, count).cumsum()
    bend = np.array([1.0, -2.0, 1.0])
    bands = np.zeros((3, count))
    bands[2] = 1.0
    for row in range(count - 2):
        for later in range(3):
            bands[2 - later, row + later : row + 3] += penalty * bend[later:] * bend[: 3 - later]
    assert_allclose(whittaker(height, penalty), solveh_banded(bands, height), rtol=0.0, atol=1e-6)


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


def test_smoothing_follows_the_noise_and_the_road() -> None:
    chosen = [choose_wavelength(HeightNoise(sd, 60.0, 2e-6)) for sd in (0.01, 0.3, 1.0, 3.0)]
    assert chosen == sorted(chosen)
    assert chosen[0] == 100.0
    # 0.6 * 2 pi (2 * 3^2 * 60 / 2e-6)^(1/4) = 575 m
    assert_allclose(chosen[-1], 575.0, rtol=0.005)
    assert choose_wavelength(HeightNoise(3.0, 60.0, 0.0)) == 1200.0


def kinked(grades: list[float], length_m: float, repeats: int) -> FloatArray:
    """Return heights every 10 m of straight grades, one after the other."""
    steps = np.repeat(np.tile(grades, repeats), int(length_m / 10.0)) * 10.0
    return np.concatenate(([0.0], np.cumsum(steps)))


def explained(height_m: FloatArray) -> Roughness | None:
    """Return what explains the roughness of heights every 10 m."""
    return explain_roughness(10.0 * np.arange(height_m.size, dtype=np.float64), height_m, 0.0, 180.0)


def test_kinks_are_road_and_no_errors() -> None:
    # 6 % up and 6 % down by turns: a change of 0.12 every 1000 m, 0.12^2 / 1000 = 1.44e-5 a metre
    found = explained(kinked([0.06, -0.06], 1000.0, 20))
    assert found is not None
    assert found.sd_m < 0.1
    assert_allclose(found.kinks_per_m, 1.44e-5, rtol=0.6)  # the fit takes kinks to be rounded off


@pytest.mark.parametrize("spacing_m", [30.0, 90.0])
@pytest.mark.parametrize("sd_m", [1.0, 3.0])
def test_errors_between_knots_are_found_beside_kinks(spacing_m: float, sd_m: float) -> None:
    rng = np.random.default_rng(3)
    height = kinked([0.05, 0.0, -0.05, 0.0], 800.0, 12)
    at_m = 10.0 * np.arange(height.size)
    knots = np.arange(0.0, at_m[-1] + spacing_m, spacing_m)
    found = explained(height + np.interp(at_m, knots, rng.normal(0.0, sd_m, knots.size)))
    assert found is not None
    # straight lines between independent knots: two thirds of their variance on average
    assert_allclose(found.sd_m, np.sqrt(2.0 / 3.0) * sd_m, rtol=0.25)
    # over long distances they are as strong as one knot every spacing
    assert_allclose(2.0 * found.sd_m**2 * found.reach_m, sd_m**2 * spacing_m, rtol=0.6)


@pytest.mark.parametrize("reach_m", [30.0, 130.0])
def test_fading_errors_are_found_beside_kinks(reach_m: float) -> None:
    height = kinked([0.05, 0.0, -0.05, 0.0], 800.0, 20)
    keep = np.exp(-10.0 / reach_m)
    error = lfilter(
        [3.0 * np.sqrt(1.0 - keep**2)], [1.0, -keep], np.random.default_rng(5).normal(size=height.size)
    )
    found = explained(height + error)
    assert found is not None
    assert_allclose(found.sd_m, 3.0, rtol=0.25)


def test_a_short_road_shows_no_errors() -> None:
    assert explained(np.zeros(20)) is None


@pytest.mark.parametrize("build", [mountain_pass, hill_country, rollers])
@pytest.mark.parametrize("spacing_m", [5.0, 10.0, 25.0])
@pytest.mark.parametrize(
    ("heights", "low_m", "high_m"), [("clean", 0.0, 0.15), ("barometer", 0.2, 0.6), ("surface", 2.0, 4.5)]
)
def test_unknown_noise_is_estimated(
    build: object, spacing_m: float, heights: Heights, low_m: float, high_m: float
) -> None:
    track = build(3).survey(spacing_m, heights, seed=5).track  # type: ignore[operator]
    assert low_m <= estimate_noise(replace(track, height_kind="unknown")).sd_m <= high_m


@pytest.mark.parametrize(
    ("kind", "least_m", "most_m"),
    [("barometer", 0.2, 1.2), ("lidar", 0.1, 0.6), ("surface_30m", 0.6, 3.0), ("surface_90m", 0.8, 4.0)],
)
def test_kind_bounds_the_noise(kind: str, least_m: float, most_m: float) -> None:
    clean = hill_country(0).survey(10.0).track
    assert_allclose(estimate_noise(replace(clean, height_kind=kind)).sd_m, least_m)
    rough = replace(
        clean,
        elevation_m=clean.elevation_m
        + np.random.default_rng(1).normal(0.0, 9.0, 5000)[: clean.elevation_m.size],
        height_kind=kind,
    )
    assert_allclose(estimate_noise(rough).sd_m, most_m)


@pytest.mark.parametrize(
    ("seconds_a_point", "step_m", "error_m", "kind"),
    [
        (2.0, 0.2, 0.3, "barometer"),
        (2.0, 0.1, 0.3, "barometer"),
        (0.0, 0.2, 0.3, "unknown"),
        (2.0, 1.0, 0.3, "unknown"),
        (2.0, 0.1, 4.0, "unknown"),
    ],
)
def test_a_barometer_is_known_by_its_steps_and_times(
    seconds_a_point: float, step_m: float, error_m: float, kind: str
) -> None:
    track = hill_country(0).survey(10.0).track
    count = track.elevation_m.size
    error = np.random.default_rng(2).normal(0.0, error_m, count)
    time_s = seconds_a_point * np.arange(count, dtype=np.float64) if seconds_a_point else None
    height = np.round((track.elevation_m + error) / step_m) * step_m
    recorded = replace(track, elevation_m=height, time_s=time_s, height_kind="unknown")
    assert recognised(recorded).height_kind == kind


def test_stairs_become_ramps() -> None:
    at_m = np.arange(0.0, 901.0, 10.0)
    cells = 6.0 * np.rint(at_m / 90.0)  # the nearest of cells every 90 m on a grade of 6 in 90
    ramp = without_steps(at_m, cells)
    assert_allclose(ramp[10:-10], at_m[10:-10] / 15.0, atol=0.4)
    whole = np.round(at_m / 15.0)
    assert_allclose(without_steps(at_m, whole)[1:-1], at_m[1:-1] / 15.0, atol=0.35)


def test_whole_metres_take_nothing_off_a_crest() -> None:
    # up and down at 1 in 30, rounded over 70 m at the top, wherever that lies between two metres; ramps
    # from the middle of each tread to the middle of the next are 0.2 m too low there
    at_m = np.arange(0.0, 1201.0, 5.0)
    off_m = np.abs(at_m - 600.0)
    shape_m = np.where(off_m < 35.0, off_m**2 / 70.0 + 17.5, off_m) / 30.0
    heights = [top_m - shape_m for top_m in np.arange(12.05, 13.0, 0.1)]
    off = [(without_steps(at_m, np.round(height)) - height)[off_m < 40.0].mean() for height in heights]
    assert abs(np.mean(off)) < 0.05


@pytest.mark.parametrize(
    ("cells_m", "rounded_m", "found_m"),
    [(90.0, 1.0, 90.0), (90.0, 0.0, 90.0), (0.0, 1.0, 0.0), (0.0, 0.0, 0.0)],
)
def test_cells_show_in_the_treads_of_stairs(cells_m: float, rounded_m: float, found_m: float) -> None:
    at_m = np.arange(0.0, 6001.0, 10.0)
    height = 60.0 * np.sin(at_m / 500.0)
    if cells_m:
        height = 60.0 * np.sin(cells_m * np.rint(at_m / cells_m) / 500.0)
    if rounded_m:
        height = np.round(height / rounded_m) * rounded_m
    assert cell_length(at_m, height, rounded_m) == found_m


def test_a_level_road_stays_level() -> None:
    at_m = np.arange(0.0, 3001.0, 10.0)
    height = np.where(at_m < 1500.0, 20.0, 20.0 + 0.05 * (at_m - 1490.0))
    eased = without_steps(at_m, height)
    assert_allclose(eased[at_m < 1430.0], 20.0)
    assert_allclose(eased, height, atol=0.5)
    assert_allclose(without_steps(at_m, np.full(at_m.size, 7.0)), 7.0)
