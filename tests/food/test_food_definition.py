"""What a plan of food costs and which limits it breaks, against the definition added up bite by bite."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from terrain_fuel.food.problem import Choice, FoodProblem, curve_cost, judge_each, over_gap_cost
from tests.food.made_problems import made_task

LIMITS = ("stock", "reserve", "amount", "caffeine", "carbohydrate in an hour")


def added_up(problem: FoodProblem, choices: Sequence[Choice]) -> float:
    """Return the cost of a plan, its limits not looked at."""
    cost, before, item = 0.0, -1, None
    for place, option in choices:
        cost += problem.node_cost[place, option] + problem.arc_cost[before + 1, place]
        if item is not None:
            cost += problem.pair_cost[item, problem.option_item[option], place]
        before, item = place, problem.option_item[option]
    cost += problem.arc_cost[before + 1, problem.places]
    for piece, (need_g, step_h) in enumerate(zip(problem.need_g, problem.step_h, strict=True)):
        eaten = sum(problem.option_whole[o] for place, o in choices if problem.pieces_before[place] <= piece)
        missing_g = need_g - problem.row_g * eaten
        # 3 g either way are free; being behind costs 0.25 a gram and hour, being ahead 0.06
        cost += step_h * (0.25 * max(missing_g - 3.0, 0.0) + 0.06 * max(-missing_g - 3.0, 0.0))
    return float(cost)


def limits_broken(problem: FoodProblem, choices: Sequence[Choice]) -> set[str]:
    """Return the names of all limits that a plan breaks."""
    drawn = [(place, o) for place, o in choices if problem.drawn[place, o]]
    used = np.zeros(problem.stock.size)
    for _, option in drawn:
        used[problem.option_item[option]] += problem.option_portions[option]
    # 60 g above the need, or above one large bite in each of the longest gaps
    largest = max(problem.option_whole[problem.option_portions == 1])
    ample = max(problem.need_g.max() / problem.row_g, problem.end_s / problem.longest_gap_s * largest)
    broken = {
        "stock": bool(np.any(used > problem.stock)),
        "reserve": sum(problem.option_g[o] for _, o in drawn) > problem.stock_g + 1e-9,
        "amount": sum(problem.option_whole[o] for _, o in choices) > int(ample + 60.0 / problem.row_g),
        "caffeine": sum(problem.option_caffeine_mg[o] for _, o in choices) > problem.caffeine_mg_max + 1e-9,
        "carbohydrate in an hour": any(
            sum(
                problem.option_g[o]
                for earlier, o in choices
                if earlier <= place and problem.clock_s[place] - problem.clock_s[earlier] <= 3600.0
            )
            > problem.room_g[place] + 1e-9
            for place, _ in choices
        ),
    }
    return {name for name in LIMITS if broken[name]}


def some_plans(problem: FoodProblem, rng: np.random.Generator, bites: int, count: int) -> list[list[Choice]]:
    """Return random rows of so many bites where each may be eaten at its place."""
    at = rng.random((count, problem.places)).argsort(axis=1)[:, :bites]
    return [
        [(int(p), int(rng.choice(np.flatnonzero(np.isfinite(problem.node_cost[p]))))) for p in sorted(row)]
        for row in at
    ]


@pytest.mark.parametrize(("seed", "row_g"), [(2, 1), (9, 3)])
def test_a_plan_costs_what_its_parts_add_up_to(seed: int, row_g: int) -> None:
    rng = np.random.default_rng(seed)
    made = made_task(seed, hours=2.5, foods=4).problem
    problem = replace(
        made,
        row_g=row_g,
        drawn=(rng.random(made.places) < 0.8)[:, None] & made.drawn,
        option_caffeine_mg=np.where(made.option_item == 0, 30.0 * made.option_portions, 0.0),
        caffeine_mg_max=60.0,
        stock=np.array([2, 3, 4, 3]),
        stock_g=90.0,
        room_g=0.8 * made.room_g,
    )
    seen: set[str] = set()
    kept = 0
    for bites in range(8):
        plans = some_plans(problem, rng, bites, 60)
        for plan, (cost, broken) in zip(plans, judge_each(problem, plans, curve_cost(problem)), strict=True):
            limits = limits_broken(problem, plan)
            # the first is told, in the order in which they stand
            first = next((name for name in LIMITS if name in limits), "")
            if first or not np.isfinite(added_up(problem, plan)):
                assert broken == (first or "veto or shortest gap")
                assert cost == np.inf
            else:
                assert broken == ""
                assert cost == pytest.approx(added_up(problem, plan), rel=1e-9)
                kept += 1
            seen |= limits
    assert kept > 20
    assert seen >= set(LIMITS) - {"amount"}


def test_more_than_any_plan_needs_is_told_as_too_much() -> None:
    """Sixty grams above a need that is set to 100: 160 g pass, 161 do not."""
    made = made_task(3, hours=2.0, foods=3).problem
    problem = replace(
        made,
        need_g=np.linspace(0.0, 100.0, made.need_g.size),
        option_whole=np.where(made.option_portions == 1, 1, 80),
        option_g=np.full(made.option_g.size, 1.0),
        stock=made.stock + 50,
        stock_g=1e6,
    )
    assert problem.most_whole == 160
    large = int(np.argmax(problem.option_whole))
    small = int(np.argmin(problem.option_whole))
    places = [p for p in range(problem.places) if np.isfinite(problem.node_cost[p, [small, large]]).all()]
    curve = curve_cost(problem)
    plans = [[(places[at], large), (places[at + 20], large)] for at in range(9)]
    assert "amount" not in {broken for _, broken in judge_each(problem, plans, curve)}
    more = [[(places[0], large), (places[20], large), (places[at], small)] for at in range(30, 40)]
    assert {broken for _, broken in judge_each(problem, more, curve)} == {"amount"}


def test_what_a_gap_too_long_costs_by_hand() -> None:
    """100 for one at all, 100 a minute and 5 a minute squared; none within the longest."""
    assert over_gap_cost(np.array([-60.0, 0.0])).tolist() == [0.0, 0.0]
    assert over_gap_cost(np.array([60.0, 180.0])).tolist() == [205.0, 100.0 + 300.0 + 45.0]
    # two gaps of ten minutes more are better than one of twenty
    assert 2 * over_gap_cost(np.array([600.0]))[0] < over_gap_cost(np.array([1200.0]))[0]


def test_places_rise_with_the_clock_and_gaps_are_charged_by_it() -> None:
    """Of each pair of places the gap is as long as the clock says, and too long from the longest on."""
    problem = made_task(4, hours=3.0, foods=4).problem
    for early, late in pairwise(range(0, problem.places, 9)):
        gap_s = problem.clock_s[late] - problem.clock_s[early]
        assert np.isfinite(problem.arc_cost[early + 1, late]) == (gap_s >= problem.shortest_gap_s)
        over_s = problem.clock_s[late] - problem.until_s[early + 1]
        if over_s > 0.0:
            assert problem.arc_cost[early + 1, late] >= over_gap_cost(np.array([over_s]))[0]
