"""What is left out of the bound below a limit changes nothing of any plan that costs less."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from terrain_fuel.food.bound import NearBound, ToGo, bound_below, keeps_gaps
from terrain_fuel.food.build import build_task
from terrain_fuel.food.counting import Table
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.problem import FoodProblem
from terrain_fuel.food.solve import solve_food
from terrain_fuel.food.ways import Ways
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from tests.food.made_problems import made_task
from tests.food.roads import HILLY_LOOP, ride

SEEDS = (0, 3, 7, 12)


def whole_and_below(problem: FoodProblem, price: float = 0.0, above: float = 0.0) -> tuple[ToGo, ToGo, float]:
    """Return the bound everywhere, that below a limit, and the limit: the best plan known and a little."""
    solution = solve_food(problem)
    assert solution is not None
    limit = solution.cost + above
    prices = np.full(problem.stock.size, price)
    whole = bound_below(problem, prices, over_gap=False)
    return whole, bound_below(problem, prices, over_gap=False, below=limit), limit


def every_cost(table: Table, problem: FoodProblem) -> FloatArray:
    """Return a table's costs at every row, food and gram, shape (rows, foods, grams)."""
    rows, foods, grams = np.ogrid[: table.start.size, : problem.stock.size + 1, : problem.most_whole + 1]
    return table.at(rows, foods, grams)


@pytest.mark.parametrize("price", [0.0, 0.3])
@pytest.mark.parametrize("seed", SEEDS)
def test_below_the_limit_the_bound_is_the_same_to_the_bit(seed: int, price: float) -> None:
    problem = made_task(seed, hours=2.0, foods=4).problem
    whole, below, _ = whole_and_below(problem, price)
    root = whole.root(problem)
    assert below.root(problem) == root
    prices = np.full(problem.stock.size, price)
    assert bound_below(problem, prices, over_gap=False, below=root).root(problem) == root
    for table, other in ((below.after, whole.after), (below.eating, whole.eating)):
        costs, others = every_cost(table, problem), every_cost(other, problem)
        assert np.all(costs >= others)
        looked = np.isfinite(costs) & (costs == others)
        # half of what could be eaten is left out, and what is looked at holds the way to every cheap plan
        assert looked.sum() < 0.6 * np.isfinite(others).sum()
        assert looked.sum() > 100


@pytest.mark.parametrize("seed", SEEDS)
def test_a_search_finds_the_same_with_what_is_left_out(seed: int) -> None:
    problem = made_task(seed, hours=3.0, foods=5).problem
    whole, below, limit = whole_and_below(problem, above=0.5)
    found = [LabelSearch(problem, to_go, beam, limit).run() for to_go in (whole, below) for beam in (5, 200)]
    assert found[:2] == found[2:]
    assert min(each.lost_bound for each in found) < np.inf


def test_a_limit_that_no_plan_keeps_is_told_from_the_start() -> None:
    problem = made_task(1, hours=2.0, foods=4).problem
    whole, _, _ = whole_and_below(problem)
    root = whole.root(problem)
    below = bound_below(problem, np.zeros(problem.stock.size), over_gap=False, below=0.9 * root)
    assert below.root(problem) >= root


def test_places_of_a_round_are_never_followed_by_each_other() -> None:
    # drink that feeds all the way: from one cluster of places a gap of hours leads to the next
    ridden = ride(HILLY_LOOP * 2).drinking_g_per_h(40.0)
    clock_s = ridden.road.clock_s
    nodes = np.flatnonzero((np.abs(clock_s - 3600.0) < 150.0) | (np.abs(clock_s - 18_000.0) < 150.0))
    task = build_task(
        ridden.road, Pantry(), ridden.rider, lump_g=3.0, reserve_g=0.0, reserved={}, nodes=nodes
    )
    ways = Ways.of(task.problem, over_gap=False)
    rounds = ways.rounds(100)
    assert len(rounds) == 2
    assert [first for first, _ in rounds[1:]] == [end for _, end in rounds[:-1]]
    assert (rounds[0][0], rounds[-1][1]) == (0, task.problem.places)
    for first, end in rounds:
        assert not np.isfinite(ways.arcs[first + 1 : end + 1, first:end]).any()
    # the gap between them is not told apart, yet it is a way
    assert not np.isfinite(ways.near_arcs[1 : rounds[0][1] + 1, rounds[1][0] : -1]).any()
    assert np.isfinite(ways.far_cost[1 : rounds[0][1] + 1]).all()


def test_a_row_of_a_table_knows_its_own_grams_only() -> None:
    table = Table.empty(2, [(0, 2, slice(5, 8)), (2, 3, slice(0, 0))])
    table.block(0, 2, slice(5, 8))[...] = np.arange(12.0).reshape(2, 2, 3)
    grams = np.arange(10)
    inf = np.inf
    assert_array_equal(table.at(1, 1, grams), [inf] * 5 + [9.0, 10.0, 11.0] + [inf] * 2)
    assert_array_equal(table.at(2, 0, grams), [inf] * 10)


@pytest.mark.parametrize("bites", [0, 1, 2, 3, 4])
def test_fewer_bites_than_the_gaps_ask_for_cannot_last(bites: int) -> None:
    # no gap over 30 min, the last ends after 110: three bites last (90 + 30 > 110), two do not
    problem = made_task(2, hours=2.0, foods=3).problem
    problem = replace(
        problem, end_s=6600.0, longest_gap_s=1800.0, until_s=np.append(0.0, problem.clock_s) + 1800.0
    )
    over = bound_below(problem, np.zeros(problem.stock.size), over_gap=False).over
    assert over[0, bites] == (0.0 if bites >= 3 else np.inf)


@pytest.mark.parametrize("share", [0.05, 0.5])
@pytest.mark.parametrize("seed", SEEDS)
def test_near_the_bound_a_search_finds_the_same_as_with_all_counted(seed: int, share: float) -> None:
    problem = made_task(seed, hours=3.0, foods=5).problem
    near = NearBound(problem).up_to(share)
    whole = bound_below(problem, np.zeros(problem.stock.size), over_gap=False)
    limit = whole.root(problem) + share * whole.root(problem)
    assert near.root(problem) == whole.root(problem)
    assert near.below >= limit
    assert np.array_equal(near.over, whole.over)
    assert near.eating.values.size < whole.eating.values.size
    assert LabelSearch(problem, near, 50, limit).run() == LabelSearch(problem, whole, 50, limit).run()


@pytest.mark.parametrize("seed", SEEDS)
def test_places_and_stock_that_leave_a_gap_too_long_are_told_without_a_search(seed: int) -> None:
    made = made_task(seed, hours=3.0, foods=5).problem
    until_s = np.append(0.0, made.clock_s) + made.longest_gap_s  # no drink ends a gap
    problem = replace(made, until_s=until_s)
    assert keeps_gaps(problem)
    none_left = replace(problem, stock=np.zeros_like(problem.stock), drawn=np.ones_like(problem.drawn))
    assert not keeps_gaps(none_left)
    shut = problem.node_cost.copy()
    middle_s = problem.end_s / 2
    shut[np.abs(problem.clock_s - middle_s) < 0.6 * problem.longest_gap_s] = np.inf
    assert not keeps_gaps(replace(problem, node_cost=shut))
