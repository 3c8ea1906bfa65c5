"""What lies around each value, beside SciPy's image filters (the reference library); no doubt at the ends."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from scipy.ndimage import (
    gaussian_filter1d,
    map_coordinates,
    maximum_filter1d,
    median_filter,
    uniform_filter1d,
)

from terrain_fuel.equations.around import between, running_maximum, running_mean, running_median
from terrain_fuel.terrain.path import smoothed

VALUES = np.random.default_rng(3).normal(size=80)


@pytest.mark.parametrize("count", [1, 2, 5, 20, 121])
def test_running_mean_and_maximum_are_those_of_the_reference(count: int) -> None:
    assert_allclose(running_mean(VALUES, count), uniform_filter1d(VALUES, count, mode="nearest"), atol=1e-13)
    assert_array_equal(running_maximum(VALUES, count), maximum_filter1d(VALUES, count, mode="nearest"))


def test_running_mean_of_places_is_taken_by_column() -> None:
    places = VALUES.reshape(40, 2)
    assert_allclose(
        running_mean(places, 20), uniform_filter1d(places, 20, axis=0, mode="nearest"), atol=1e-13
    )


@pytest.mark.parametrize("count", [1, 7, 31])
def test_running_median_is_that_of_the_reference(count: int) -> None:
    assert_array_equal(running_median(VALUES, count), median_filter(VALUES, count, mode="nearest"))


def test_between_a_grids_points_is_what_the_reference_finds_there() -> None:
    grid = VALUES.reshape(8, 10)
    row, column = np.random.default_rng(4).uniform((0.0, 0.0), (7.0, 9.0), (200, 2)).T
    row[:3], column[2:5] = 7.0, 9.0  # the last row and column, and the corner where they meet
    assert_array_equal(between(grid, row, column), map_coordinates(grid, [row, column], order=1))


@pytest.mark.parametrize("nodes", [1.6, 4.8])
def test_the_road_is_smoothed_by_the_gaussian_of_the_reference(nodes: float) -> None:
    line = np.cumsum(VALUES.reshape(40, 2), axis=0)
    wide = np.pad(line, ((30, 30), (0, 0)), mode="reflect", reflect_type="odd")
    assert_array_equal(smoothed(line, nodes), gaussian_filter1d(wide, nodes, axis=0)[30:-30])
