"""One place along a column is what numpy's own interpolation gives, to the last digit."""

import numpy as np
import pytest

from terrain_fuel.frozen import value_at


@pytest.mark.parametrize("size", [1, 2, 3, 500])
def test_is_the_same_as_numpy_interp(size: int) -> None:
    """Between, before, behind and on entries, also where two entries stand at one place."""
    rng = np.random.default_rng(size)
    xs = np.cumsum(rng.random(size) * (rng.random(size) < 0.8))
    ys = rng.normal(scale=100.0, size=size)
    asked = [*rng.uniform(-1.0, xs[-1] + 1.0, 300), *xs, -1.0, xs[-1] + 1.0]
    for where in asked:
        found = value_at(float(where), xs, ys)
        assert type(found) is float
        assert found == np.interp(where, xs, ys)
