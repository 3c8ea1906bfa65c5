"""Ascent by persistence, against a slow count that follows the definition."""

import itertools

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.crests import blunted, cut_off


def climbed_by_definition(height: FloatArray, reversal_m: float) -> tuple[float, float]:
    """Take away the least reversal until none is below the limit; the ends of the road stay."""
    turns = [float(height[0])]
    for before, here, after in zip(height, height[1:], height[2:], strict=False):
        if (here - before) * (after - here) < 0 or (here != before and after == here):
            turns.append(float(here))
    turns.append(float(height[-1]))
    while len(turns) > 2:
        jumps = [abs(b - a) for a, b in itertools.pairwise(turns)]
        least = int(np.argmin(jumps))
        if jumps[least] >= reversal_m:
            break
        drop = {least, least + 1} - {0, len(turns) - 1}
        turns = [turn for index, turn in enumerate(turns) if index not in drop]
        turns = merged(turns)
    change = np.diff(turns)
    return float(change[change > 0].sum()), float(-change[change < 0].sum())


def merged(turns: list[float]) -> list[float]:
    """Drop points that are no longer turning points."""
    kept = turns[:1]
    for here, after in itertools.pairwise(turns):
        if (here - kept[-1]) * (after - here) < 0:
            kept.append(here)
    return [*kept, turns[-1]]


def test_small_reversals_do_not_count() -> None:
    # 0 up to 20, back 3, up to 40, down 10, up 4, down to 20: only the 3 and the 4 are below 5
    height = np.array([0.0, 20.0, 17.0, 40.0, 30.0, 34.0, 20.0])
    assert climbed(height, 5.0) == (40.0, 20.0)
    assert climbed(height, 3.5) == (44.0, 24.0)
    assert climbed(height, 0.1) == (47.0, 27.0)


def test_flat_and_monotone() -> None:
    assert climbed(np.zeros(50), 1.0) == (0.0, 0.0)
    assert climbed(np.array([5.0, 5.0]), 1.0) == (0.0, 0.0)
    assert climbed(np.linspace(0.0, 3.0, 9), 5.0) == (3.0, 0.0)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(
    st.lists(st.integers(0, 60), min_size=2, max_size=60),
    st.sampled_from([0.5, 2.5, 5.5, 12.5]),
)
def test_as_the_definition(heights: list[int], reversal_m: float) -> None:
    # a tiny slope keeps heights apart, so that the order of removal is not a matter of ties
    height = np.array(heights, dtype=float) + 1e-6 * np.random.default_rng(0).permutation(len(heights))
    ascent, descent = climbed(height, reversal_m)
    expected = climbed_by_definition(height, reversal_m)
    assert_allclose(ascent - descent, height[-1] - height[0], atol=1e-9)
    assert_allclose((ascent, descent), expected, atol=1e-3)


def test_what_points_cut_off_of_crests_and_hollows() -> None:
    # up and down at 5 % for 500 m each: nine turns; points every 100 m lower a crest that is rounded
    # over 70 m by 0.05 * (100 - 70) / 4 + 0.05 * 70^2 / 1200 = 0.579 m, and points every 35 m by
    # 0.05 * 35^2 / 840 = 0.073 m
    road = np.arange(0.0, 5001.0, 10.0)
    height = 25.0 - np.abs((road % 1000.0) - 500.0) * 0.05
    for gap_m, lower_m in ((100.0, 0.5792), (35.0, 0.0729), (0.1, 0.0)):
        found = cut_off(road, height, np.ones(road.size), np.full(road.size, gap_m))
        assert_allclose(found, 9 * lower_m, atol=0.002)
    assert cut_off(road, 0.05 * road, np.ones(road.size), np.full(road.size, 150.0)) == 0.0


def test_unlike_grades_cut_off_what_the_gentler_lets_them() -> None:
    # up at 6 % and down at 3 %: the two lines between the nearest points meet as two of 4 % would
    road = np.arange(0.0, 2001.0, 10.0)
    height = np.minimum(0.06 * road, 60.0 - 0.03 * (road - 1000.0))
    found = cut_off(road, height, np.ones(road.size), np.full(road.size, 100.0))
    assert_allclose(found, 0.04 * (30.0 / 4.0 + 70.0**2 / 1200.0), atol=0.002)


def crests_of(round_m: float) -> tuple[FloatArray, FloatArray]:
    """Return up and down at 5 % for 500 m each, nine turns rounded over so many metres."""
    road = np.arange(0.0, 5000.1, 10.0)
    fine = np.arange(-500.0, 5500.1, 1.0)
    height = 25.0 - np.abs((fine % 1000.0) - 500.0) * 0.05
    if round_m:
        height = np.convolve(height, np.ones(int(round_m) + 1) / (int(round_m) + 1), mode="same")
    return road, np.interp(road, fine, height)


def test_crests_as_sharp_as_built_ones_miss_nothing() -> None:
    for round_m in (0.0, 30.0, 70.0):
        road, height = crests_of(round_m)
        assert blunted(road, height, np.ones(road.size), np.full(road.size, 10.0)) < 0.1


def test_blunter_crests_may_miss_what_they_are_lower_by() -> None:
    # rounded over 100 m instead of 70: each of nine turns lower by 0.05 * 30 / 4 = 0.375 m
    road, height = crests_of(100.0)
    assert_allclose(blunted(road, height, np.ones(road.size), np.full(road.size, 10.0)), 9 * 0.375, atol=0.15)


def test_crests_miss_no_more_than_the_coarsest_cells_cut_off() -> None:
    # cells of 90 m: 0.05 * (90 - 70) / 4 + 0.05 * 70^2 / 1080 = 0.477 m a turn, and points every 50 m
    # are known to cut 0.05 * 50^2 / 840 = 0.149 m of it
    road, height = crests_of(140.0)
    assert_allclose(blunted(road, height, np.ones(road.size), np.full(road.size, 0.1)), 9 * 0.477, atol=0.3)
    assert_allclose(
        blunted(road, height, np.ones(road.size), np.full(road.size, 50.0)), 9 * (0.477 - 0.149), atol=0.3
    )
    assert blunted(road, height, np.ones(road.size), np.full(road.size, 150.0)) == 0.0
