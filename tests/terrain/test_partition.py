"""The optimal partition against a reference library, against all partitions, and where lines meet."""

from itertools import combinations, pairwise

import numpy as np
import pytest
import ruptures
from numpy.testing import assert_allclose, assert_array_equal

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.axis import cell_means, lay_axis
from terrain_fuel.terrain.partition import best_cuts, knot_heights, meeting_points, straight_pieces
from tests.roads import hill_country, mountain_pass, rollers


def line_cost(height: FloatArray) -> float:
    x = np.arange(height.size)
    return float(np.sum((height - np.polyval(np.polyfit(x, height, 1), x)) ** 2))


def total_cost(height: FloatArray, cuts: list[int], price: float) -> float:
    return sum(line_cost(height[a:b]) + price for a, b in pairwise(cuts))


@pytest.mark.parametrize("seed", range(6))
def test_no_partition_is_better(seed: int) -> None:
    """By trying them all; what is least is defined in [Ki12], section 2.2."""
    rng = np.random.default_rng(seed)
    height = np.cumsum(rng.normal(0.0, 3.0, 22))
    price = float(rng.uniform(1.0, 60.0))
    cuts = best_cuts(height, 3, 22, price).tolist()
    every = [
        [0, *inner, 22]
        for pieces in range(7)
        for inner in combinations(range(3, 20), pieces)
        if all(b - a >= 3 for a, b in zip([0, *inner], [*inner, 22], strict=True))
    ]
    best = min(total_cost(height, partition, price) for partition in every)
    assert_allclose(total_cost(height, cuts, price), best, rtol=1e-9)


@pytest.mark.source("Ki12", "PELT as implemented in ruptures, linear cost")
@pytest.mark.parametrize("build", [mountain_pass, hill_country, rollers])
def test_same_cuts_as_ruptures(build: object) -> None:
    track = build(4).survey(10.0, "surface", seed=4).track  # type: ignore[operator]
    raw = cell_means(track, lay_axis(track))
    height = raw[: raw.size // 10 * 10].reshape(-1, 10).mean(axis=1)
    price = 6.0 * 9.0 * float(np.log(height.size))
    signal = np.column_stack((height, np.arange(height.size), np.ones(height.size)))
    theirs = ruptures.Pelt(model="linear", min_size=3, jump=1).fit(signal).predict(pen=price)
    ours = best_cuts(height, 3, height.size, price).tolist()
    # both are exact: the same cost; the cuts agree except where two partitions cost the same
    assert_allclose(total_cost(height, ours, price), total_cost(height, [0, *theirs], price), rtol=1e-9)
    assert_array_equal(ours, [0, *theirs])


def test_longest_piece_is_kept() -> None:
    height = np.random.default_rng(0).normal(0.0, 1.0, 400)
    cuts = best_cuts(height, 6, 50, 1000.0)
    assert np.diff(cuts).max() <= 50
    assert np.diff(cuts).min() >= 6


def test_lines_meet_between_the_heights() -> None:
    # 0 to 1003.7 m at +5 %, then -4 %: heights every 10 m never show the crest itself
    distance = np.arange(0.0, 2500.0, 10.0)
    height = np.where(distance < 1003.7, 0.05 * distance, 0.05 * 1003.7 - 0.04 * (distance - 1003.7))
    knots = meeting_points(distance, height, np.array([0.0, 955.0, 2490.0]))
    assert_allclose(knots, [0.0, 1003.7, 2490.0], atol=1e-6)
    assert_allclose(knot_heights(distance, height, knots), [0.0, 50.185, 50.185 - 0.04 * 1486.3], atol=1e-6)


def test_knot_heights_are_the_least_squares_fit() -> None:
    """Hats over the knots, fitted by NumPy's own least squares."""
    rng = np.random.default_rng(4)
    distance = np.arange(0.0, 9000.0, 10.0)
    knots = np.array([0.0, 640.0, 1003.7, 3500.0, 3820.0, 7777.0, 8990.0])
    height = 800.0 + rng.normal(0.0, 2.0, distance.size).cumsum()
    hats = np.stack([np.interp(distance, knots, hat) for hat in np.eye(knots.size)], axis=1)
    best = np.linalg.lstsq(hats, height, rcond=None)[0]
    assert_allclose(knot_heights(distance, height, knots), best, rtol=1e-10)


@pytest.mark.parametrize("count", [2, 3, 5, 8, 40, 61])
def test_short_roads_are_one_piece_or_more(count: int) -> None:
    height = np.linspace(0.0, 30.0, count)
    knots, heights = straight_pieces(height, 10.0, 0.5)
    assert knots[0] == 0.0
    assert_allclose(knots[-1], 10.0 * (count - 1))
    assert np.all(np.diff(knots) > 0.0)
    assert_allclose(heights, np.interp(knots, 10.0 * np.arange(count), height), atol=1e-6)


def test_pieces_never_vanish() -> None:
    rng = np.random.default_rng(3)
    for _ in range(20):
        knots, heights = straight_pieces(np.cumsum(rng.normal(0.0, 2.0, 3000)), 10.0, 0.3)
        assert np.diff(knots).min() > 0.0
        assert np.isfinite(heights).all()
