"""Where gaps must be too long: what costs more than a known plan is not looked at, and nothing is lost."""

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from terrain_fuel.food.bands import cheapest_of_each_size
from terrain_fuel.food.bound import bound_below
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.problem import OVER_GAP_COST
from terrain_fuel.food.solve import solve_food
from terrain_fuel.rider import Habits
from tests.food.made_problems import made_task

OFTEN = Habits(eat_every_min=8.0, longest_gap_min=10.0)


@pytest.mark.parametrize("seed", range(6))
def test_a_search_below_a_known_plan_finds_the_same(seed: int) -> None:
    """The bound is looked at for gaps of plans no dearer than that: the others are many on a long day."""
    problem = made_task(seed, hours=3.0, foods=3, habits=OFTEN).problem
    known = solve_food(problem, beam=20)
    assert known is not None
    assert known.cost > OVER_GAP_COST, "no gap is too long: nothing is tried here"
    free = np.zeros(problem.stock.size)
    whole = bound_below(problem, free, over_gap=True)
    below = bound_below(problem, free, over_gap=True, below=known.cost)
    told = whole.over < known.cost
    assert_array_equal(below.over[told], whole.over[told])
    assert below.over[~told].min() >= known.cost
    assert np.any(below.over > whole.over), "all was looked at"
    found = [LabelSearch(problem, to_go, 100, known.cost).run() for to_go in (whole, below)]
    assert found[0] == found[1]


def test_of_options_of_one_size_the_cheapest_counts() -> None:
    whole = np.array([20, 5, 20, 5, 5])
    charged = np.array([[1.0, 4.0, 0.5, 3.0, 9.0], [2.0, np.inf, 7.0, np.inf, np.inf]])
    sizes, least = cheapest_of_each_size(whole, charged)
    assert_array_equal(sizes, [5, 20])
    assert_array_equal(least, [[3.0, 0.5], [np.inf, 2.0]])
    none, nothing = cheapest_of_each_size(whole[:0], charged[:, :0])
    assert (none.size, nothing.shape) == (0, (2, 0))
