"""Columns that nobody can write to: copied once, then handed on."""

import numpy as np
import pytest

from terrain_fuel.frozen import frozen_array, value_at


def test_what_may_be_written_to_is_copied() -> None:
    given = np.arange(3.0)
    held = frozen_array(given)
    given[0] = 9.0
    assert held.tolist() == [0.0, 1.0, 2.0]
    with pytest.raises(ValueError, match="read-only"):
        held[0] = 9.0
    view = given.view()
    view.flags.writeable = False
    held = frozen_array(view)
    given[1] = 9.0
    assert held.tolist() == [9.0, 1.0, 2.0]


def test_what_is_frozen_is_handed_on_without_a_copy() -> None:
    held = frozen_array(np.arange(3.0))
    assert frozen_array(held) is held
    assert frozen_array(held, np.int64).dtype == np.int64


def test_one_place_along_a_column_reads_as_numpy_reads_it() -> None:
    """To the last digit: before and behind the ends, at entries, and where the clock stands still."""
    rng = np.random.default_rng(20270611)
    for size in (1, 2, 3, 50):
        clock_s = np.sort(rng.integers(0, 20, size) * 1.1)  # many are equal
        column = rng.normal(size=size)
        for where in (*clock_s.tolist(), *rng.uniform(-5.0, 30.0, 200).tolist()):
            assert value_at(where, clock_s, column) == np.interp(where, clock_s, column)
