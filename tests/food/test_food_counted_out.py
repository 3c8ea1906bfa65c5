"""Small placements against every plan there is; what is told of a plan against every bite it could have."""

from dataclasses import replace
from itertools import combinations, pairwise, product

import numpy as np
import pytest

from terrain_fuel.facts import Fact
from terrain_fuel.food.build import build_task, place_every_s
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.place import place_food
from terrain_fuel.food.prices import place_cost, prices_at, with_ties
from terrain_fuel.food.problem import Choice, FoodProblem, curve_cost, judge_each
from terrain_fuel.food.solve import solve_food
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import WATER, Item, Pantry
from terrain_fuel.rider import Habits, Rider
from tests.food.made_problems import made_case
from tests.food.roads import HILLY_LOOP, Part, Ridden, ride

MOST_BITES = 4


def counted_out(problem: FoodProblem, most: int = MOST_BITES) -> tuple[float, tuple[Choice, ...]]:
    """Return the cheapest of all plans of so many bites at the most, by what a plan costs."""
    curve, options = curve_cost(problem), range(problem.option_item.size)
    best: tuple[float, tuple[Choice, ...]] = judge_each(problem, [()], curve)[0][0], ()
    for count in range(1, most + 1):
        plans = [
            tuple(zip(places, chosen, strict=True))
            for places in combinations(range(problem.places), count)
            if all(np.isfinite(problem.arc_cost[a + 1, b]) for a, b in pairwise(places))
            for chosen in product(options, repeat=count)
        ]
        if not plans:
            continue
        costs = [cost for cost, _ in judge_each(problem, plans, curve)]
        at = int(np.argmin(costs))
        if costs[at] < best[0]:
            best = costs[at], plans[at]
    return best


MORE = [(4, None), (7, 3), (6, None), (10, 3), (18, None), (19, None), (24, 5), (20, None)]
OFTEN = Habits(first_food_min=12.0, eat_every_min=12.0, longest_gap_min=24.0)


def few_places(seed: int) -> FoodProblem:
    """Return an hour with eight places, much wanted of two foods, and every limit close."""
    rng = np.random.default_rng(seed)
    road, task_of = made_case(seed, 1.0, 2, OFTEN)
    open_nodes = np.flatnonzero(np.isfinite(place_cost(road, task_of(None).weights)))
    problem = task_of(open_nodes[(np.linspace(0.15, 0.95, 8) * open_nodes.size).astype(int)]).problem
    return replace(
        problem,
        stock=rng.integers(1, 4, problem.stock.size),
        stock_g=float(rng.uniform(30.0, 90.0)),
        room_g=np.full(problem.places, float(rng.uniform(30.0, 100.0))),
        need_g=3.0 * problem.need_g,
        option_caffeine_mg=np.where(problem.option_item == 0, 40.0 * problem.option_portions, 0.0),
        caffeine_mg_max=float(rng.choice([40.0, 80.0, 120.0])),
        drawn=(rng.random(problem.places) < 0.8)[:, None] & problem.drawn,
    )


def with_pin(problem: FoodProblem, place: int) -> FoodProblem:
    """Return the same with a place where something is eaten in any case."""
    arc_cost = problem.arc_cost.copy()
    arc_cost[: place + 1, place + 1 :] = np.inf
    return replace(problem, arc_cost=arc_cost, forced=(place,))


@pytest.mark.parametrize(
    ("seed", "pinned"),
    [
        (14, None),
        (15, 2),
        (17, None),
        (25, None),
        *(pytest.param(*each, marks=pytest.mark.slow) for each in MORE),
    ],
)
def test_no_plan_of_all_there_are_is_cheaper(seed: int, pinned: int | None) -> None:
    problem = few_places(seed) if pinned is None else with_pin(few_places(seed), pinned)
    best, choices = counted_out(problem)
    found = solve_food(problem)
    assert found is not None
    assert len(found.choices) < MOST_BITES
    assert found.cost == pytest.approx(best, abs=1e-9), choices
    assert found.lower_bound <= best + 1e-9


@pytest.mark.parametrize(("seed", "stock_g"), [(5, 60.0), (18, 60.0), (18, 20.0)])
def test_a_limit_may_be_used_up_to_the_last_gram(seed: int, stock_g: float) -> None:
    """Ten grams and 40 mg of caffeine a portion: hour, stock and caffeine have room for whole portions."""
    problem = few_places(seed)
    portions: FloatArray = problem.option_portions.astype(np.float64)
    exact = replace(
        problem,
        option_g=10.0 * portions,
        option_whole=10 * problem.option_portions,
        option_caffeine_mg=40.0 * portions,
        room_g=np.full(problem.places, 30.0),
        stock_g=stock_g,
        caffeine_mg_max=(120.0, 200.0)[seed % 2],
        stock=np.full(problem.stock.size, 4),
    )
    found = solve_food(exact)
    assert found is not None
    assert found.cost == pytest.approx(counted_out(exact, 3)[0], abs=1e-9)
    assert 10.0 * sum(portions[option] for _, option in found.choices) == min(30.0, stock_g)


def test_where_eating_is_all_gain_sixty_grams_above_the_need_are_the_end() -> None:
    """Every bite is worth 20 whatever it is, and brings 18 g a portion: three fit, a fourth does not."""
    made = few_places(14)
    portions: FloatArray = made.option_portions.astype(np.float64)
    problem = replace(
        made,
        node_cost=made.node_cost - 20.0,
        option_g=18.0 * portions,
        option_whole=18 * made.option_portions,
        option_caffeine_mg=0.0 * portions,
        room_g=np.full(made.places, 1000.0),
        stock_g=1000.0,
        stock=np.full(made.stock.size, 9),
        need_g=np.zeros(made.need_g.size),
        longest_gap_s=100.0 * made.end_s,
    )
    assert problem.most_whole == 60
    found = solve_food(problem)
    assert found is not None
    assert sum(problem.option_whole[option] for _, option in found.choices) == 54
    assert found.cost == pytest.approx(counted_out(problem)[0], abs=1e-9)


def test_equal_choices_are_told_apart_by_the_earlier_place_then_the_earlier_food() -> None:
    costs = with_ties(np.zeros((50, 3)))
    assert np.all(np.diff(costs, axis=0) > 0.0)
    assert np.all(np.diff(costs, axis=1) > 0.0)
    assert costs.max() < 1e-6  # less than anything that a rule would charge


@pytest.mark.parametrize(("every_min", "apart_s"), [(10.0, 60.0), (15.0, 90.0), (60.0, 120.0)])
def test_places_stand_ten_to_a_rhythm_and_no_farther_apart_than_two_minutes(
    every_min: float, apart_s: float
) -> None:
    habits = Habits(first_food_min=10.0, eat_every_min=every_min, longest_gap_min=every_min)
    road = ride([Part("flat", 30)], Rider(habits=habits)).road
    assert place_every_s(road) == pytest.approx(apart_s)


@pytest.fixture(scope="module")
def loop() -> Ridden:
    return ride(HILLY_LOOP[:7]).drinking_g_per_h(15.0)


@pytest.fixture(scope="module")
def plan(loop: Ridden) -> FoodPlan:
    return place_food(loop.road, Pantry(), loop.rider, lump_g=3.0)


def test_what_a_kitchen_has_best_costs_nothing_for_being_what_it_is(loop: Ridden, plan: FoodPlan) -> None:
    """Some food is charged at every place for the place alone, and after every food some for nothing."""
    road, task = loop.road, plan.task
    nodes = task.places.node
    prices = prices_at(road, nodes, task.menu, shared=False)
    assert prices.node_cost.min(axis=1) == pytest.approx(place_cost(road, task.weights)[nodes])
    assert prices.pair_cost.min(axis=1) == pytest.approx(0.0)
    assert prices.pair_cost.max() > 0.5
    again = prices_at(road, nodes, task.menu, shared=True)
    assert np.array_equal(again.node_cost, prices.node_cost)
    assert np.array_equal(again.pair_cost, prices.pair_cost)


def test_gels_alone_are_no_reason_to_eat_less_often(loop: Ridden, plan: FoodPlan) -> None:
    """One after another each is charged for, but nothing else is there: the cheaper pair costs nothing."""
    gels = tuple(Item(f"{name} gel", "gel", 22.0, count=9) for name in ("plain", "plum"))
    menu = build_task(
        loop.road, Pantry((*gels, WATER)), loop.rider, lump_g=0.0, reserve_g=0.0, reserved={}, shared=False
    ).menu
    pairs = prices_at(loop.road, plan.task.places.node, menu, shared=False).pair_cost
    assert pairs[0, 1] == pytest.approx(0.0)
    assert pairs[1, 0] == pytest.approx(0.0)
    assert pairs[0, 0].min() > 0.3


def test_what_else_a_bite_could_be_is_the_best_of_all_places_and_foods(plan: FoodPlan) -> None:
    """Every place and every food is tried in place of every bite, the others staying."""
    for at, bite in enumerate(plan.bites):
        (left_out,) = [other for other in bite.alternatives if other.change == "leave out"]
        assert left_out.extra_cost == pytest.approx(extra(plan, at, None))
        moved = [other.distance_m for other in bite.alternatives if other.change == "place"]
        assert moved == best_places_m(plan, at)
        items = [other for other in bite.alternatives if other.change == "item"]
        allowed = [other.extra_cost for other in items if other.extra_cost is not None]
        by_item = other_foods(plan, at, limits=True)
        assert allowed == pytest.approx(sorted(cost for cost in by_item.values() if np.isfinite(cost))[:3])
        for other in items:
            assert other.item != bite.item
            if other.extra_cost is None:
                # some portions of it would have been cheaper than what is told, but for a limit
                assert other_foods(plan, at, limits=False)[other.item] <= max(allowed, default=np.inf) + 1e-9
        assert len(items) - len(allowed) <= 1


def without_limits(problem: FoodProblem) -> FoodProblem:
    endless = np.full(problem.places, np.inf)
    return replace(
        problem, stock=problem.stock + 1000, stock_g=np.inf, room_g=endless, caffeine_mg_max=np.inf
    )


def extra(plan: FoodPlan, at: int, choice: Choice | None, *, limits: bool = True) -> float:
    """Return what a plan costs more with another choice for a bite, or without it."""
    problem = plan.task.problem if limits else without_limits(plan.task.problem)
    instead = [] if choice is None else [choice]
    changed = [*plan.choices[:at], *instead, *plan.choices[at + 1 :]]
    return judge_each(problem, [changed], curve_cost(plan.task.problem))[0][0] - plan.objective


def best_places_m(plan: FoodPlan, at: int) -> list[float]:
    """Return the three best places between the neighbours, each a kilometre from the bite and the others."""
    at_m, (place, option) = plan.task.places.distance_m, plan.choices[at]
    first = plan.choices[at - 1][0] + 1 if at else 0
    end = plan.choices[at + 1][0] if at + 1 < len(plan.choices) else plan.task.problem.places
    costs = [(extra(plan, at, (other, option), limits=False), other) for other in range(first, end)]
    picked = [place]
    for cost, other in sorted(costs):
        if np.isfinite(cost) and len(picked) < 4 and np.abs(at_m[picked] - at_m[other]).min() >= 1000.0:
            picked.append(other)
    return [float(at_m[other]) for other in picked[1:]]


def other_foods(plan: FoodPlan, at: int, *, limits: bool) -> dict[str, float]:
    """Return the least that each other food costs more at the place of a bite."""
    place, bite = plan.choices[at][0], plan.bites[at]
    costs: dict[str, float] = {}
    for option, kind in enumerate(plan.task.options):
        if kind.item.name != bite.item:
            cost = extra(plan, at, (place, option), limits=limits)
            costs[kind.item.name] = min(cost, costs.get(kind.item.name, np.inf))
    return costs


@pytest.mark.parametrize("longest_gap_min", [30.0, 21.0])
def test_a_window_is_all_the_road_that_is_as_good_and_keeps_the_gaps(
    loop: Ridden, plan: FoodPlan, longest_gap_min: float
) -> None:
    """Node by node: 0.35 dearer than the bite's own at most, three minutes away, in time for both gaps."""
    road = replace(loop.road, longest_gap_s=60.0 * longest_gap_min)
    plan = plan if longest_gap_min == 30.0 else place_food(road, Pantry(), loop.rider, lump_g=3.0)
    cost, clock_s = place_cost(road, plan.task.weights), road.clock_s
    times_s = [0.0, *(bite.clock_s for bite in plan.bites), road.last_bite_s]
    for number, bite in enumerate(plan.bites, start=1):
        good = (cost <= cost[bite.place] + 0.35) & (np.abs(clock_s - bite.clock_s) <= 180.0)
        good &= (clock_s >= times_s[number + 1] - road.longest_gap_s) & (clock_s <= road.last_bite_s)
        good &= clock_s <= times_s[number - 1] + road.longest_gap_s
        if bite.caffeine_mg > 0.0:
            good &= np.any([(a <= clock_s) & (clock_s <= b) for a, b in road.caffeine_spans_s], axis=0)
        first = last = bite.place
        while first > 0 and good[first - 1]:
            first -= 1
        while last < road.size - 1 and good[last + 1]:
            last += 1
        assert (bite.window_start_m, bite.window_end_m) == (road.distance_m[first], road.distance_m[last])


def test_where_all_food_is_alike_only_change_speaks_for_any(loop: Ridden) -> None:
    """Sweets for the end of a ride, eaten from the start on: that they come too soon is no reason for one."""
    sweet = Item("oat sweet", "chew", 22.0, count=9, timing="late")
    alike = Pantry((sweet, replace(sweet, name="rice sweet"), replace(sweet, name="rye sweet"), WATER))
    plan = place_food(loop.road, alike, loop.rider)
    told = [bite.reason.values["item"] for bite in plan.bites if bite.reason.code == "place_and_item"]
    assert told
    assert all(isinstance(item, Fact) and item.code == "rule_variety" for item in told)


def test_the_only_food_there_is_is_no_reason_either(loop: Ridden) -> None:
    alone = Pantry((Item("oat slab", "solid", 22.0, count=9), WATER))
    told = {bite.reason.code for bite in place_food(loop.road, alone, loop.rider).bites}
    assert told
    assert "place_and_item" not in told
