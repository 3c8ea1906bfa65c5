"""Any plan is looked for near the bound before it is looked for everywhere: work is counted, not timed."""

import numpy as np

from terrain_fuel.food.bound import above, bound_below
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.solve import ANY_SHARE, NARROW_BEAM, NEAR_SHARES, first_plan
from tests.food.made_problems import made_task

SEEDS = range(24)


def test_a_first_plan_that_is_not_near_is_found_with_fewer_labels() -> None:
    fewer = []
    for seed in SEEDS:
        problem = made_task(seed, hours=3.0, foods=4).problem
        first = first_plan(problem)
        assert first is not None
        to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=first.solution.over_gap)
        root = to_go.root(problem)
        if not above(root, NEAR_SHARES[-1]) < first.solution.cost < above(root, ANY_SHARE):
            continue
        everywhere = LabelSearch(problem, to_go, NARROW_BEAM, np.inf, patience=5)
        within = LabelSearch(problem, to_go, NARROW_BEAM, above(root, ANY_SHARE), patience=5)
        assert within.run().choices == first.solution.choices
        everywhere.run()
        fewer.append(within.labels.count / everywhere.labels.count)
    assert fewer, "all first plans lie near: nothing is tried here"
    assert max(fewer) <= 1.0
    assert min(fewer) < 0.9
