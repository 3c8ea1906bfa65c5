"""What is eaten uphill and on what drink brings: chewing, and bites that drink makes needless."""

from dataclasses import replace

import numpy as np
import pytest

from terrain_fuel.food.build import build_task
from terrain_fuel.food.place import place_food
from terrain_fuel.food.solve import solve_food
from terrain_fuel.pantry import DEFAULT_ITEMS, Item, Pantry
from terrain_fuel.rules.road import survey_road
from tests.food.pricing import cost_of
from tests.food.roads import Part, Ridden, ride
from tests.food.test_food_search import every_plan

BAR = Item("oat square", "solid", 30.0, portions=2, count=12)
GEL = Item("plain gel", "gel", 25.0, count=12, soft=True)


def steep_ride() -> Ridden:
    """Return two hours of which the middle is a ramp of 9 % at 11 km/h, 55 minutes long."""
    ridden = ride([Part("flat", 18), Part("climb", 10, 0.09), Part("flat", 20)])
    clock_s = ridden.road.clock_s
    speed = np.where(ridden.road.on_climb, 3.0, ridden.road.speed_m_s)
    return replace(ridden, road=replace(ridden.road, speed_m_s=speed, clock_s=clock_s))


def on_ramp(ridden: Ridden, *items: Item) -> list[str]:
    plan = place_food(ridden.road, Pantry(items), ridden.rider)
    return [bite.item for bite in plan.bites if ridden.road.on_climb[bite.place]]


def test_nothing_is_chewed_on_a_steep_slow_ramp() -> None:
    assert on_ramp(steep_ride(), BAR) == []
    eaten = on_ramp(steep_ride(), BAR, GEL)
    assert eaten
    assert set(eaten) == {"plain gel"}


def test_nothing_solid_while_breath_is_short() -> None:
    ridden = ride([Part("flat", 50)])
    hard = replace(ridden, road=replace(ridden.road, hard=np.ones(ridden.road.size, dtype=bool)))
    plan = place_food(hard.road, Pantry((BAR, GEL)), hard.rider)
    assert {bite.item for bite in plan.bites} == {"plain gel"}
    assert place_food(hard.road, Pantry((BAR,)), hard.rider).bites == ()


def test_breath_is_short_above_85_percent_of_ftp_and_half_a_minute_after() -> None:
    ridden = ride([Part("flat", 20)])
    pace = ridden.demand.pace
    effort = np.where((pace.distance_m >= 6000.0) & (pace.distance_m <= 8000.0), 0.9, 0.7)
    demand = replace(ridden.demand, pace=replace(pace, effort=effort))
    hard = survey_road(demand, ridden.hands, np.zeros(effort.size), ridden.rider, ridden.day).hard
    first_s, last_s = pace.clock_s[effort > 0.85][[0, -1]]
    assert np.array_equal(hard, (pace.clock_s >= first_s) & (pace.clock_s <= last_s + 30.0))
    assert hard.sum() > (effort > 0.85).sum()


@pytest.mark.slow
def test_a_bite_falls_due_when_drink_no_longer_feeds_and_the_search_finds_the_best_row() -> None:
    """All rows of up to two bites are counted out on a ride that mix feeds as long as it flows."""
    ridden = ride([Part("flat", 25), Part("climb", 1.2), Part("flat", 10)])
    drink_g = np.minimum(24.0 * ridden.road.clock_s / 3600.0, 18.0)
    pantry = Pantry(items=(DEFAULT_ITEMS[1], DEFAULT_ITEMS[5]))
    problems = [
        build_task(each.road, pantry, each.rider, lump_g=3.0, reserve_g=0.0, reserved={}).problem
        for each in (ridden, ridden.drinking(drink_g))
    ]
    dry, fed = problems
    assert np.all(fed.until_s >= dry.until_s - 1e-9)
    assert fed.until_s[0] > dry.until_s[0] + 1200.0
    for problem in problems:
        solution = solve_food(problem)
        assert solution is not None
        assert abs(solution.cost - every_plan(problem, 2)) < 1e-9 or len(solution.choices) > 2
        assert abs(cost_of(problem, solution.choices) - solution.cost) < 1e-9
