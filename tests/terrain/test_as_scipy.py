"""What scipy gives after half a second of loading, from a few lines: windows, solver, pairs, shares."""

import numpy as np
import pytest
from scipy.linalg import solveh_banded
from scipy.ndimage import (
    gaussian_filter1d,
    map_coordinates,
    maximum_filter1d,
    median_filter,
    uniform_filter1d,
)
from scipy.optimize import nnls
from scipy.spatial import KDTree

from terrain_fuel.terrain.banded import solve_banded
from terrain_fuel.terrain.between import between_points
from terrain_fuel.terrain.near import near_again
from terrain_fuel.terrain.roughness import nearest_shares
from terrain_fuel.terrain.windows import (
    gaussian_mean,
    gaussian_reach,
    moving_largest,
    moving_mean,
    moving_median,
)

RNG = np.random.default_rng(18)


@pytest.mark.source("SCIPY", "ndimage: median_filter, maximum_filter1d, mode nearest")
@pytest.mark.parametrize("size", [1, 3, 7, 13])
def test_medians_and_largest_values(size: int) -> None:
    values = RNG.normal(size=400)
    assert np.array_equal(moving_median(values, size), median_filter(values, size=size, mode="nearest"))
    assert np.array_equal(moving_largest(values, size), maximum_filter1d(values, size, mode="nearest"))


@pytest.mark.source("SCIPY", "ndimage: uniform_filter1d, mode nearest")
@pytest.mark.parametrize("size", [1, 7, 10, 20])
@pytest.mark.parametrize("shape", [(300,), (300, 3)])
def test_means(size: int, shape: tuple[int, ...]) -> None:
    values = 4e6 + 1e5 * RNG.normal(size=shape)
    expected = uniform_filter1d(values, size, axis=0, mode="nearest")
    assert np.array_equal(moving_mean(values, size), expected)


@pytest.mark.source("SCIPY", "ndimage: gaussian_filter1d")
@pytest.mark.parametrize("sd", [0.4, 0.8, 1.7, 2.4])
def test_gaussian_means(sd: float) -> None:
    values, reach = 1e4 * RNG.normal(size=(300, 3)), gaussian_reach(sd)
    assert np.array_equal(gaussian_mean(values, sd), gaussian_filter1d(values, sd, axis=0)[reach:-reach])


@pytest.mark.source("SCIPY", "ndimage: map_coordinates, order 1")
def test_between_points_of_a_grid() -> None:
    grid = RNG.normal(size=(40, 50))
    row = np.concatenate((RNG.uniform(0, 39, 500), [0.0, 39.0, 39.0, 7.0]))
    column = np.concatenate((RNG.uniform(0, 49, 500), [0.0, 49.0, 3.0, 49.0]))
    assert np.array_equal(between_points(grid, row, column), map_coordinates(grid, [row, column], order=1))


@pytest.mark.source("SCIPY", "linalg: solveh_banded")
@pytest.mark.parametrize("count", [3, 4, 5, 800])
@pytest.mark.parametrize("beyond", [0.0, 0.3, 2e5])
def test_banded_equations(count: int, beyond: float) -> None:
    diagonal, beside = RNG.uniform(1, 2, count) + 6 * beyond, RNG.uniform(-0.4, 0.4, count - 1) - 4 * beyond
    right = 500 * RNG.normal(size=count)
    bands = np.zeros((3, count))
    bands[2], bands[1, 1:], bands[0, 2:] = diagonal, beside, beyond
    found = solve_banded(diagonal, beside, right, beyond)
    # 2e5 makes the equations hard: they keep nine digits of sixteen
    assert found == pytest.approx(solveh_banded(bands, right), rel=1e-7, abs=1e-7)


@pytest.mark.source("SCIPY", "spatial: KDTree.query_pairs")
@pytest.mark.parametrize("count", [1, 2, 2000])
@pytest.mark.parametrize("spread_m", [60.0, 400.0])
def test_places_near_each_other(count: int, spread_m: float) -> None:
    places = 6e6 + RNG.uniform(-spread_m, spread_m, (count, 3))
    one, later = near_again(places, 25.0, after=7, most=10_000)
    expected = [(i, j) for i, j in KDTree(places).query_pairs(25.0) if j - i >= 7]
    assert sorted(zip(one.tolist(), later.tolist(), strict=True)) == sorted(expected)


def test_round_and_round_is_bounded() -> None:
    turn = np.linspace(0.0, 2 * np.pi * 5000, 40_000)  # 1600 km of 320 m, 20 m apart: 100 million pairs
    places = np.column_stack((51.0 * np.cos(turn), 51.0 * np.sin(turn), np.zeros(turn.size)))
    one, later = near_again(places, 25.0, after=35, most=24)
    assert later.size < 27 * 24 * 40_000 / 3
    assert np.all(later - one >= 35)
    again = np.isin(np.arange(39_000), one)
    assert again.all()


@pytest.mark.source("SCIPY", "optimize: nnls")
def test_shares_of_two_columns() -> None:
    for _ in range(300):
        columns, shown = RNG.uniform(0, 1, (10, 2)), RNG.normal(size=10)
        assert nearest_shares(columns, shown) == pytest.approx(nnls(columns, shown)[0], abs=1e-12)
    twice = np.ones((10, 2))
    assert twice @ nearest_shares(twice, np.full(10, 3.0)) == pytest.approx(3.0)
