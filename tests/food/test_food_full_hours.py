"""What gaps that are too long must cost where hours are full, beside the optimum that HiGHS proves."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.food.full_hours import least_by_hours, tell_sizes
from terrain_fuel.food.problem import FoodProblem
from terrain_fuel.food.unavoidable import Moments, least_by_bites
from tests.food.full_hour_problems import made_problem, problem_of, scarce_problem
from tests.food.milp_reference import solve_with_highs

QUICK = (3, 13, 25, 30, 46, 72, 79, 88)
EXACT = (1, 4, 6, 9, 12, 19, 33, 36, 39, 45, 51, 54, 60, 61, 64, 65, 69, 71, 81)
LOOSE = (7, 24, 50, 62, 85)


def least(problem: FoodProblem, below: float = np.inf) -> float:
    """Return the bound by hours, in whichever way of telling bites apart it is highest."""
    moments = Moments(problem.clock_s, problem.until_s[1:])
    return max((least_by_hours(problem, moments, sizes, below) for sizes in tell_sizes(problem)), default=0.0)


def by_bites(problem: FoodProblem) -> float:
    """Return the bound by how many bites there can be."""
    return least_by_bites(problem, Moments(problem.clock_s, problem.until_s[1:]), np.inf)


def proven(problem: FoodProblem) -> float:
    proof = solve_with_highs(problem, 60.0, over_gap=True)
    assert proof.optimal
    return proof.cost


@pytest.mark.parametrize("seed", [*QUICK, *(pytest.param(s, marks=pytest.mark.slow) for s in EXACT)])
def test_is_what_highs_proves(seed: int) -> None:
    problem = made_problem(seed)
    cost = proven(problem)
    assert cost > 100.0  # a longest gap breaks
    assert_allclose(least(problem), cost, rtol=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("seed", LOOSE)
def test_is_no_more_than_highs_proves(seed: int) -> None:
    problem = made_problem(seed)
    assert max(least(problem), by_bites(problem)) <= proven(problem) * (1 + 1e-6)


@pytest.mark.parametrize("seed", [14, 16, 23, 27])
def test_few_light_bites_fill_hours_sooner(seed: int) -> None:
    problem = scarce_problem(seed)
    assert_allclose(least(problem), proven(problem), rtol=1e-6)
    many = replace(problem, stock=np.array([30, 30]))
    assert least(many) < 0.9 * least(problem)


@pytest.mark.parametrize("seed", [16, 25, 27])
def test_what_a_stop_hands_over_is_not_scarce(seed: int) -> None:
    problem = scarce_problem(seed, handed_over_from=4)
    assert least(problem) <= proven(problem) < least(scarce_problem(seed))


@pytest.mark.slow
def test_no_optimum_that_highs_proves_beats_the_bound_where_light_bites_are_few() -> None:
    problems = [scarce_problem(seed) for seed in range(10)]
    exact = 0
    for problem in problems:
        cost, bound = proven(problem), least(problem)
        assert bound <= cost * (1 + 1e-6)
        exact += bound > cost * (1 - 1e-6)
    assert exact >= 8


def test_is_far_above_what_the_number_of_bites_shows() -> None:
    # before hours were looked at one by one these stood at 37 % of the optimum on average
    pairs = [(least(problem), by_bites(problem)) for problem in map(made_problem, EXACT)]
    assert np.mean([few / full for full, few in pairs]) < 0.4
    assert all(full >= few * (1 - 1e-9) for full, few in pairs)


def test_few_bites_share_what_is_too_long() -> None:
    # 160 min with two bites and gaps of 40: three gaps are 40 too long together, 13 1/3 each at the best
    clock_s, two = np.arange(600.0, 9600.0, 200.0), np.array([2])
    grams, room_g = np.array([20.0]), np.full(clock_s.size, 90.0)
    places = problem_of(clock_s, 9600.0, grams, room_g, 2400.0, stock=two)
    # in slots of 200 s a gap may seem so much shorter
    until_s = np.append(0.0, clock_s + 200.0) + 2400.0
    slots = problem_of(clock_s, 9600.0, grams, room_g, 2400.0, stock=two, until_s=until_s)
    bound = least_by_bites(slots, Moments(clock_s, clock_s + 2400.0), np.inf)
    assert_allclose(bound, 300.0 + 4000.0 + 5.0 * 40.0**2 / 3)
    assert 0.999 * proven(places) < bound <= proven(places)


def three_bites(third_s: float) -> FoodProblem:
    """Return three places, the first at 20 and the second at 50 min; an hour has room for two bites."""
    clock_s = np.array([1200.0, 3000.0, third_s])
    return problem_of(clock_s, 6000.0, np.array([12.0]), np.full(3, 25.0), 1800.0)


def test_bites_just_an_hour_apart_are_in_one_hour() -> None:
    # one of the three is left out
    problem = three_bites(4800.0)
    assert_allclose(least(problem), proven(problem), rtol=1e-9)
    assert least(problem) > 1000.0


def test_a_gap_too_long_by_rounding_alone_is_not_charged() -> None:
    problem = three_bites(float(np.nextafter(4800.0, 5000.0)))
    assert problem.clock_s[0] < problem.hour_from_s[2]
    assert least(problem) == 0.0


def test_nothing_dearer_than_what_is_known_is_told_apart() -> None:
    problem = made_problem(79)
    cost = least(problem)
    assert_allclose(least(problem, below=cost + 1.0), cost)
    assert least(problem, below=cost - 1.0) > cost - 1.0


def test_what_is_to_come_is_asked_for_once() -> None:
    # four places 40 min apart, ten more than the longest gap: all are eaten at, and each gap costs 1600
    clock_s = np.arange(2400.0, 9601.0, 2400.0)
    problem = problem_of(clock_s, 12_000.0, np.array([20.0]), np.full(4, 50.0), 1800.0)
    assert_allclose(least(problem, below=8001.0), 8000.0)
