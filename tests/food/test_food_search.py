"""The label search against HiGHS on the same model, against every plan there is, and against itself."""

from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.food.bound import bound_below, relaxed_plan
from terrain_fuel.food.build import build_task
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.problem import FoodProblem, curve_cost, judge
from terrain_fuel.food.solve import Solution, better_plan, first_plan, solve_food
from terrain_fuel.pantry import DEFAULT_ITEMS, Pantry
from tests.food.greedy_reference import place_greedily
from tests.food.made_problems import made_task
from tests.food.milp_reference import solve_with_highs
from tests.food.pricing import cost_of
from tests.food.roads import HILLY_LOOP, Part, ride

SMALL_CASES = (0, 1, 4, 8, 12, 16, 24, 32)


def solved(problem: FoodProblem, beam: int = 200) -> Solution:
    solution = solve_food(problem, beam)
    assert solution is not None
    return solution


def small_problem(seed: int) -> FoodProblem:
    return made_task(seed, hours=1.0 + 0.15 * (seed % 8), foods=3 + seed % 4).problem


def loop_problem(**changes: object) -> FoodProblem:
    ridden = ride(HILLY_LOOP).drinking_g_per_h(22.0)
    task = build_task(ridden.road, Pantry(), ridden.rider, lump_g=3.0, reserve_g=45.0, reserved={})
    return replace(task.problem, **changes)  # type: ignore[arg-type]


@pytest.mark.slow
@pytest.mark.parametrize("seed", SMALL_CASES)
def test_equals_the_optimum_that_highs_proves(seed: int) -> None:
    problem = small_problem(seed)
    solution = solved(problem)
    proof = solve_with_highs(problem, 300.0, over_gap=solution.over_gap)
    assert proof.optimal
    # HiGHS keeps its constraints and its gap to 1e-7 of the objective
    assert_allclose(solution.cost, proof.cost, rtol=1e-6)
    assert_allclose(solution.lower_bound, solution.cost, rtol=1e-3)


def every_plan(problem: FoodProblem, most_bites: int) -> float:
    """Return the cost of the best of all plans with so many bites at the most."""
    best = cost_of(problem, ())
    for count in range(1, most_bites + 1):
        for places in combinations(range(problem.places), count):
            for options in product(range(problem.option_item.size), repeat=count):
                best = min(best, cost_of(problem, tuple(zip(places, options, strict=True))))
    return best


def test_equals_the_best_of_all_plans_counted_out() -> None:
    ridden = ride([Part("flat", 14), Part("climb", 2), Part("descent", 4, hands=0.5, flagged=True)])
    pantry = Pantry(items=(DEFAULT_ITEMS[1], DEFAULT_ITEMS[5]))
    ridden = ridden.drinking_g_per_h(15.0)
    task = build_task(ridden.road, pantry, ridden.rider, lump_g=3.0, reserve_g=0.0, reserved={})
    problem = task.problem
    assert problem.places <= 40
    assert_allclose(solved(problem).cost, every_plan(problem, 2), rtol=1e-12)


@pytest.mark.parametrize("seed", range(20, 26))
def test_states_the_cost_that_the_definition_gives(seed: int) -> None:
    problem = made_task(seed, hours=3.0, foods=6).problem
    solution = solved(problem, beam=60)
    cost, broken = judge(problem, solution.choices, curve_cost(problem))
    assert broken == ""
    assert_allclose(solution.cost, cost, rtol=1e-9)
    assert solution.lower_bound <= solution.cost + 1e-9


def test_a_wider_beam_never_finds_worse_and_never_beats_the_bound() -> None:
    problem = made_task(1003, hours=4.0, foods=8).problem
    costs = [solved(problem, beam) for beam in (30, 300)]
    assert costs[1].cost <= costs[0].cost + 1e-9
    assert costs[0].lower_bound <= costs[1].cost + 1e-9


def test_window_by_window_scores_worse_on_most_cases() -> None:
    worse = 0
    for seed in range(30, 42):
        problem = small_problem(seed)
        best, greedy = solved(problem).cost, cost_of(problem, place_greedily(problem))
        assert greedy >= best - 1e-9
        worse += greedy > 1.01 * best
    assert worse > 6


def test_twice_the_same_choices() -> None:
    assert solved(loop_problem()) == solved(loop_problem())


def test_equal_plans_are_told_apart_by_the_earlier_place() -> None:
    # a flat uniform road with one food: many rows of bites cost the same but for the tie step
    ridden = ride([Part("flat", 30)])
    pantry = Pantry(items=(DEFAULT_ITEMS[1],))
    task = build_task(ridden.road, pantry, ridden.rider, lump_g=0.0, reserve_g=0.0, reserved={})
    first = solved(task.problem)
    again = solved(task.problem, beam=500)
    assert first.choices == again.choices


def test_bound_without_scarcity_is_the_optimum() -> None:
    plenty = loop_problem()
    plenty = replace(plenty, room_g=plenty.room_g + 1000.0, stock=plenty.stock + 100, stock_g=1e6)
    to_go = bound_below(plenty, np.zeros(plenty.stock.size), over_gap=False)
    choices = relaxed_plan(plenty, to_go)
    assert_allclose(to_go.root(plenty), cost_of(plenty, choices), rtol=1e-9)
    assert_allclose(solved(plenty).cost, to_go.root(plenty), rtol=1e-9)


def test_price_on_scarce_stock_keeps_it_a_bound() -> None:
    scarce = loop_problem()
    scarce = replace(scarce, stock=np.minimum(scarce.stock, 2))
    cost = solved(scarce).cost
    for price in (0.0, 0.2, 1.0, 5.0):
        to_go = bound_below(scarce, np.full(scarce.stock.size, price), over_gap=False)
        assert to_go.root(scarce) <= cost + 1e-9


@pytest.mark.slow
def test_dominated_labels_never_hold_the_best_plan() -> None:
    # nothing that could be cheaper is lost for want of room, so dominance alone is on trial
    problem = small_problem(5)
    to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=False)
    found = LabelSearch(problem, to_go, 1000, np.inf).run()
    assert found.lost_bound > found.cost
    assert_allclose(found.cost, solve_with_highs(problem, 300.0).cost, rtol=1e-6)


def test_gaps_shorter_than_a_third_of_the_rhythm_are_no_choice() -> None:
    problem = loop_problem()
    gap_min = (problem.clock_s[None, :] - problem.clock_s[:, None]) / 60.0
    allowed = np.isfinite(problem.arc_cost[1:, :-1])
    assert not allowed[gap_min < 6.99].any()  # 0.35 * 20 min
    assert allowed[gap_min > 7.01].all()


def test_curve_adds_up_place_by_place() -> None:
    # two checkpoints an hour apart, 30 g wanted at each: with 10 g eaten 20 g are missing, 3 of
    # them free: 17 g * 0.25 a gram and hour = 4.25 an hour; the finish is charged on top
    problem = loop_problem()
    flat = replace(
        problem,
        need_g=np.full(problem.places + 1, 30.0),
        step_h=np.full(problem.places + 1, 1.0),
        pieces_before=np.arange(1, problem.places + 2),
    )
    assert_allclose(np.diff(curve_cost(flat)[:, 10]), 4.25, rtol=1e-12)
    # 60 g eaten are 30 above, 27 of them charged at 0.06
    assert_allclose(np.diff(curve_cost(flat)[:, 60]), 1.62, rtol=1e-12)


def test_a_first_plan_near_the_bound_is_gone_on_from_as_it_is() -> None:
    """Looked for a second time, wherever it lies, it would be taken for one that lies far above."""
    first = first_plan(small_problem(8))
    assert first is not None
    assert first.near
    assert first.solution.lower_bound <= first.solution.cost <= 1.12 * first.solution.lower_bound


def test_where_no_plan_lies_below_what_is_counted_first_the_longest_gap_is_still_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    usual = solved(small_problem(12))
    monkeypatch.setattr("terrain_fuel.food.sizes.MOST_COUNTED", 0)
    monkeypatch.setattr("terrain_fuel.food.solve.FAR_SHARE", 0.0)
    found = solved(small_problem(12))
    assert (found.over_gap, found.choices) == (False, usual.choices)


@pytest.mark.parametrize("gaps_can_be_kept", [True, False])
def test_a_bound_that_was_let_go_of_is_counted_again_and_finds_the_same(gaps_can_be_kept: bool) -> None:
    problem = small_problem(4)
    if not gaps_can_be_kept:
        long = made_task(3, hours=4.0, foods=3).problem
        problem = replace(long, stock=np.where(np.arange(long.stock.size) == 0, 2, 0))
    kept, let_go = first_plan(problem), first_plan(problem)
    assert kept is not None
    assert let_go is not None
    assert kept.solution.over_gap is not gaps_can_be_kept
    let_go.let_go()
    whole = better_plan(kept)
    assert better_plan(let_go) == whole
    assert better_plan(kept) == whole  # its bound is given away by now
