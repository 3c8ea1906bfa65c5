"""Why a bite stands where it stands: scores, windows, what else it could have been."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.facts import NOTHING, Fact
from terrain_fuel.food.alternatives import find_alternatives
from terrain_fuel.food.build import build_task
from terrain_fuel.food.model import Bite, FoodPlan
from terrain_fuel.food.place import bound_food, place_food
from terrain_fuel.food.problem import curve_cost
from terrain_fuel.food.solve import solve_food
from terrain_fuel.food.windows import bite_window
from terrain_fuel.pantry import Pantry
from terrain_fuel.rules.book import GAP_RULES, PLACE_RULES
from terrain_fuel.rules.road import imagine_place
from tests.food.pricing import cost_of
from tests.food.roads import HILLY_LOOP, Part, Ridden, ride
from tests.saying import say


@pytest.fixture(scope="module")
def loop() -> Ridden:
    return ride(HILLY_LOOP).drinking_g_per_h(15.0)


@pytest.fixture(scope="module")
def plan(loop: Ridden) -> FoodPlan:
    plan = place_food(loop.road, Pantry(), loop.rider, lump_g=3.0)
    return bound_food(loop.road, Pantry(), plan)


def test_no_alternative_would_have_been_cheaper(plan: FoodPlan) -> None:
    assert 0.8 * plan.objective < plan.lower_bound <= plan.objective  # as near as the whole road is proven
    for bite in plan.bites:
        changes = [other.change for other in bite.alternatives]
        assert changes.count("place") >= 1
        assert changes.count("item") >= 2
        assert changes.count("leave out") == 1
        for other in bite.alternatives:
            assert (other.extra_cost is None) == (other.forbidden_by != NOTHING)
            assert other.extra_cost is None or other.extra_cost >= -1e-9


def test_extra_cost_is_what_the_changed_plan_costs_more(loop: Ridden) -> None:
    task = build_task(loop.road, Pantry(), loop.rider, lump_g=3.0, reserve_g=0.0, reserved={})
    solution = solve_food(task.problem)
    assert solution is not None
    curve = curve_cost(task.problem)
    at, moved = next(
        (at, other)
        for at in range(1, len(solution.choices) - 1)
        for other in find_alternatives(task, curve, solution.choices, solution.cost)[at]
        if other.change == "place" and other.forbidden_by == NOTHING
    )
    option = solution.choices[at][1]
    place = int(np.argmin(np.abs(task.places.distance_m - moved.distance_m)))
    changed = [*solution.choices[:at], (place, option), *solution.choices[at + 1 :]]
    assert moved.extra_cost is not None
    assert_allclose(moved.extra_cost, cost_of(task.problem, changed) - solution.cost)
    # the cheapest place named is the cheapest of all a kilometre or more away
    chosen_m = task.places.distance_m[solution.choices[at][0]]
    others = [
        cost_of(task.problem, [*solution.choices[:at], (p, option), *solution.choices[at + 1 :]])
        for p in range(solution.choices[at - 1][0] + 1, solution.choices[at + 1][0])
        if abs(task.places.distance_m[p] - chosen_m) >= 1000.0
    ]
    assert_allclose(moved.extra_cost, min(others) - solution.cost, atol=1e-9)


def test_the_items_named_are_the_cheapest_of_all_others_at_the_place(loop: Ridden) -> None:
    task = build_task(loop.road, Pantry(), loop.rider, lump_g=3.0, reserve_g=0.0, reserved={})
    solution = solve_food(task.problem)
    assert solution is not None
    curve = curve_cost(task.problem)
    for at in (0, 3, len(solution.choices) - 1):
        found = find_alternatives(task, curve, solution.choices, solution.cost)[at]
        place, chosen = solution.choices[at]
        extra: dict[str, float] = {}
        for option, kind in enumerate(task.options):
            changed = [*solution.choices[:at], (place, option), *solution.choices[at + 1 :]]
            cost = cost_of(task.problem, changed) - solution.cost
            if kind.item != task.options[chosen].item:
                extra[kind.item.name] = min(extra.get(kind.item.name, np.inf), cost)
        named = [o.extra_cost for o in found if o.change == "item" and o.extra_cost is not None]
        possible = sorted(cost for cost in extra.values() if np.isfinite(cost))
        assert named
        assert_allclose(named, possible[:3], atol=1e-9)


def told_of_place(bite: Bite) -> Fact:
    """Return what is told of a bite's place, what is told of its item left out."""
    place = bite.reason.values["place"] if bite.reason.code == "place_and_item" else bite.reason
    assert isinstance(place, Fact)
    return place


def test_a_move_is_told_from_where_the_clock_alone_would_put_a_bite(loop: Ridden, plan: FoodPlan) -> None:
    """Half an hour in, then every 20 minutes: within 150 m of that it stands there, else on or back."""
    road, before_s, ways = loop.road, None, set()
    for bite in plan.bites:
        due_s = 1800.0 if before_s is None else before_s + 1200.0
        before_s = bite.clock_s
        due_m = float(road.distance_m[np.argmin(np.abs(road.clock_s - min(due_s, road.elapsed_s - 600.0)))])
        told = told_of_place(bite)
        if told.code != "moved":
            assert told.code in ("rule_first_food", "rule_rhythm")
            assert bite.rules[0] == told.code.removeprefix("rule_")
            continue
        where, moved_m = told.values["where"], bite.distance_m - due_m
        assert isinstance(where, Fact)
        assert where.values["moved_m"] == pytest.approx(abs(moved_m))
        way = "right" if abs(moved_m) < 150.0 else "moved_on" if moved_m > 0.0 else "moved_back"
        assert where.code.startswith(way)
        assert where.code.endswith("crest") == (road.crest[bite.place] >= 0)
        ways.add(way)
    assert {"moved_on", "moved_back"} <= ways


def test_a_bite_about_where_the_clock_puts_it_keeps_time_and_no_more(loop: Ridden, plan: FoodPlan) -> None:
    """More than two minutes off it was moved for something; a rule that leads there is told in any case."""
    before_s, kept = None, 0
    for bite in plan.bites:
        due_s = 1800.0 if before_s is None else before_s + 1200.0
        before_s = bite.clock_s
        off_s = abs(bite.clock_s - min(due_s, loop.road.elapsed_s - 600.0))
        if loop.road.crest[bite.place] >= 0:
            assert bite.rules[0] == "crest"
        elif told_of_place(bite).code != "moved":
            kept += 1
        elif off_s < 115.0:  # nodes stand up to 13 s apart
            assert bite.rules[0] == "foot_of_climb"
    assert kept >= 2


def test_a_top_up_is_named_in_the_minutes_before_a_climb_alone(loop: Ridden, plan: FoodPlan) -> None:
    """A bite that stands sooner leaves its climb to the next: it is no reason for where it stands."""
    (top_up,) = [rule for rule in GAP_RULES if rule.name == "top_up"]
    assert top_up.may_be_named(imagine_place(foot=0)).all()
    assert not top_up.may_be_named(imagine_place()).any()
    named = [bite for bite in plan.bites if "top_up" in bite.rules]
    assert named
    assert all(loop.road.foot[bite.place] >= 0 for bite in named)


def test_scores_are_what_each_rule_of_place_says_of_the_spot(loop: Ridden, plan: FoodPlan) -> None:
    for bite in plan.bites:
        here = loop.road.take(np.array([bite.place]))
        for rule in PLACE_RULES:
            if rule.name in dict(bite.scores):
                cost = float(rule.cost(plan.task.weights[rule.name], here)[0])
                assert dict(bite.scores)[rule.name] == pytest.approx(np.exp(-cost)), rule.name


def test_reason_tells_how_far_a_bite_moved_to_the_crest() -> None:
    ridden = ride([Part("flat", 13), Part("climb", 3.2), Part("descent", 6), Part("flat", 20)])
    plan = place_food(ridden.road, Pantry(), ridden.rider)
    crest = ridden.road.crests[0]
    bite = next(b for b in plan.bites if crest.start_m < b.distance_m <= crest.end_m)
    assert bite.rules[0] == "crest"
    assert "the crest: easier to digest on the way down" in say(bite.reason)
    assert say(bite.reason).startswith(("moved ", "right at the crest"))


def test_reason_tells_that_both_hands_are_needed_where_the_clock_would_put_it() -> None:
    # half an hour at 8.5 m/s is km 15.3, in the middle of a flagged tunnel
    ridden = ride([Part("flat", 14), Part("flat", 3, hands=0.1, flagged=True), Part("flat", 22)])
    plan = place_food(ridden.road, Pantry(), ridden.rider)
    first = plan.bites[0]
    assert not 13_700 <= first.distance_m <= 17_000
    assert first.rules[0] in ("hands_on", "approach")
    assert say(first.reason).startswith("moved ")
    assert "both hands" in say(first.reason)


def test_who_waits_longer_than_ten_minutes_is_told_no_kilometres() -> None:
    """Flagged from km 10 to km 24: the first bite waits far beyond the half hour at km 15.3."""
    ridden = ride([Part("flat", 10), Part("flat", 14, hands=0.1, flagged=True), Part("flat", 20)])
    plan = place_food(ridden.road, Pantry(), ridden.rider)
    moved = [b for b in plan.bites if say(b.reason).startswith("moved ")]
    told = {say(b.reason).split(":")[0] for b in moved}
    assert told & {"moved well on", "moved well back"}
    assert not any(" km" in each for each in told if "well" in each)


def test_scores_multiply_to_what_the_place_costs(plan: FoodPlan) -> None:
    for bite in plan.bites:
        scores = dict(bite.scores)
        assert all(0.0 <= score <= 1.0 for score in scores.values())
        assert scores["hands_on"] == scores["approach"] == scores["last_ten_minutes"] == 1.0


def test_window_ends_where_the_road_gets_worse() -> None:
    # flat, then a climb of 10 %: a window on the flat does not reach up it
    ridden = ride([Part("flat", 20), Part("climb", 5, 0.10), Part("flat", 20)])
    cost = np.where(ridden.road.on_climb, 2.0, 0.1)
    node = int(np.searchsorted(ridden.road.distance_m, 19_500))
    first, last = bite_window(ridden.road, cost, node, 0.0, np.inf)
    assert ridden.road.distance_m[last] < 20_000
    # 3 min at 8.5 m/s are 1530 m
    assert ridden.road.distance_m[first] == pytest.approx(19_500 - 1530, abs=51)


def test_window_keeps_to_the_clock_it_is_given() -> None:
    ridden = ride([Part("flat", 20)])
    node = 200
    clock_s = ridden.road.clock_s
    first, last = bite_window(
        ridden.road, np.zeros(ridden.road.size), node, clock_s[node] - 30.0, clock_s[node] + 60.0
    )
    assert clock_s[first] >= clock_s[node] - 30.0
    assert clock_s[last] <= clock_s[node] + 60.0
    assert clock_s[last + 1] > clock_s[node] + 60.0
