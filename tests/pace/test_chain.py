"""The chain without a loop against the loop."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.pace.chain import clipped_chain


@settings(deadline=None, derandomize=True, max_examples=100)
@given(count=st.integers(1, 300), seed=st.integers(0, 10_000))
def test_halving_the_chain_changes_nothing(count: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    slope, offset = rng.uniform(0.0, 1.5, count), rng.normal(0.0, 3.0, count)
    low = rng.normal(-2.0, 1.0, count)
    high = low + rng.exponential(2.0, count)
    one_by_one, last = [], 1.5
    for link in zip(slope, offset, low, high, strict=True):
        last = float(np.clip(link[0] * last + link[1], link[2], link[3]))
        one_by_one.append(last)
    assert_allclose(clipped_chain(slope, offset, low, high, 1.5), one_by_one, rtol=1e-10, atol=1e-10)
