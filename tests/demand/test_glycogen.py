"""Stores: never below empty, never fuller than at the start."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from numpy.testing import assert_allclose

from terrain_fuel.demand.glycogen import deplete
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider


def test_by_hand() -> None:
    net = np.array([[30.0], [30.0], [30.0], [-10.0], [-500.0]])
    assert_allclose(deplete(np.array([70.0]), net)[:, 0], [70.0, 40.0, 10.0, 0.0, 10.0, 70.0])


def test_many_rides_at_once_are_each_their_own() -> None:
    start, net = np.array([400.0, 100.0]), np.array([[50.0, 50.0], [90.0, 90.0]])
    assert_allclose(deplete(start, net), [[400.0, 100.0], [350.0, 50.0], [260.0, 0.0]])


@settings(deadline=None, derandomize=True, max_examples=60)
@given(start=st.floats(50.0, 900.0), net=arrays(np.float64, (40, 1), elements=st.floats(-80.0, 80.0)))
def test_stores_stay_between_empty_and_full(start: float, net: FloatArray) -> None:
    left = deplete(np.array([start]), net)
    assert np.all((left >= 0.0) & (left <= start))


@pytest.mark.source("Jn11", "muscle about 500 g, liver about 100 g")
def test_the_default_store_is_within_what_is_published() -> None:
    assert 0.6 * 600.0 <= Rider().glycogen_start_g <= 600.0


def test_one_ride_is_reckoned_as_one_of_many() -> None:
    net = np.array([40.0, -60.0, 25.5, 90.0, -30.25])
    assert deplete(70.0, net).tolist() == deplete(np.array([70.0]), net[:, None])[:, 0].tolist()
