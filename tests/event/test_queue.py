"""The queue before the taps against the formulas of queueing theory, and by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from terrain_fuel.event.crowd import bin_edges_s, counts_in, most_at_once, sums_in
from terrain_fuel.event.queue import serve_in_turn

ARRIVALS = 400_000


def poisson(rate_per_s: float, seed: int) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    return np.cumsum(np.random.default_rng(seed).exponential(1.0 / rate_per_s, ARRIVALS))


@pytest.mark.source("Er17", "waiting time with Poisson arrivals, exponential service and c servers")
def test_the_mean_wait_is_that_of_erlang() -> None:
    # load a = 2 on c = 3: C = (a^c/c! c/(c-a)) / (1 + a + a^2/2 + a^c/c! c/(c-a)) = 4 / 9, from which the
    # mean wait is C / (c mu - lambda) = (4/9) / (1/60) = 26.67 s; 3 %: four standard errors of so many
    arrival_s = poisson(2.0 / 60.0, 1)
    service_s = np.random.default_rng(2).exponential(60.0, ARRIVALS)
    waited = serve_in_turn(arrival_s, service_s, 3) - arrival_s
    assert_allclose(waited.mean(), 26.67, rtol=0.03)
    assert_allclose(np.mean(waited > 0.0), 4.0 / 9.0, rtol=0.02)


@pytest.mark.source("PK30", "mean wait with Poisson arrivals and any service: lambda E(S^2) / 2 (1 - rho)")
def test_the_mean_wait_for_even_service_is_half_as_long() -> None:
    # rho = 0.8, D = 10 s: 0.08 * 100 / (2 * 0.2) = 20 s
    arrival_s = poisson(0.08, 3)
    waited = serve_in_turn(arrival_s, np.full(ARRIVALS, 10.0), 1) - arrival_s
    assert_allclose(waited.mean(), 20.0, rtol=0.03)


def test_who_comes_first_is_served_first_by_whoever_is_free_first() -> None:
    # two taps: the third waits for the second, the fourth for the first; given out of order
    arrival_s = np.array([3.0, 0.0, 1.0, 2.0])
    service_s = np.array([5.0, 9.0, 4.0, 6.0])
    assert_array_equal(serve_in_turn(arrival_s, service_s, 2), [9.0, 0.0, 1.0, 5.0])


def test_the_most_at_once_within_each_step() -> None:
    come, go = np.array([10.0, 20.0, 290.0, 310.0]), np.array([30.0, 25.0, 700.0, 320.0])
    edges = bin_edges_s(0.0, 899.0)
    assert_array_equal(edges, [0.0, 300.0, 600.0, 900.0])
    assert_array_equal(most_at_once(come, go, edges), [2, 2, 1])
    assert_array_equal(counts_in(come, edges), [3, 1, 0])
    assert_allclose(sums_in(come, np.array([1.0, 2.0, 4.0, 8.0]), edges), [7.0, 8.0, 0.0])


def test_who_leaves_as_another_comes_is_gone() -> None:
    assert_array_equal(most_at_once(np.array([0.0, 5.0]), np.array([5.0, 9.0]), np.array([0.0, 300.0])), [1])
