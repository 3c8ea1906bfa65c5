"""Choose what to eat and where, all bites together."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import NOTHING, fact
from terrain_fuel.food.bound import keeps_gaps
from terrain_fuel.food.build import FoodTask, build_task, foods_on_the_way, last_shop, place_every_s
from terrain_fuel.food.model import Bite, Care, FoodPlan
from terrain_fuel.food.options import food_options
from terrain_fuel.food.pinned import bend_to_pins, pin_bites
from terrain_fuel.food.pins import EatHere, Pin
from terrain_fuel.food.problem import curve_cost, judge
from terrain_fuel.food.refine import edge_nodes, refine
from terrain_fuel.food.sizes import MOST_PLACES, takes_long, trials_within
from terrain_fuel.food.solve import BEAM, FirstPlan, Solution, better_plan, first_plan, improve
from terrain_fuel.food.told import tell_food
from terrain_fuel.food.whole import whole_bound
from terrain_fuel.limits import OVER_GAP_MIN
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import forbidding_gap_rules
from terrain_fuel.rules.gaps import FED_EARLY_S
from terrain_fuel.rules.road import IntArray, Road
from terrain_fuel.work import FOR_BITES, Work

PINNED_BEAM = 10 * BEAM
"""A pin that fills an hour leaves few ways past it: more labels find them."""


def place_food(
    road: Road,
    pantry: Pantry,
    rider: Rider,
    pins: Sequence[Pin] = (),
    *,
    lump_g: float = 0.0,
    reserve_g: float = 0.0,
    reserved: Mapping[str, int] | None = None,
    previous: FoodPlan | None = None,
    begun: FoodPlan | None = None,
    care: Care = "whole",
    work: Work | None = None,
) -> FoodPlan:
    """Return the bites of the ride, all chosen together.

    Parameters
    ----------
    road : one place a node of the profile, from `survey_road`
    pantry, rider : what there is to eat, and who eats
    pins : the rider's own wishes, kept; swaps resolved by `resolve_swaps`
    lump_g : the most carbohydrate that one sip brings [g]
    reserve_g : carbohydrate in food that must be left over at the finish [g]
    reserved : portions never to be planned, by item name
    previous : an earlier plan to stay close to
    begun : the draft of this very plan, to go on from
    care : how much of the plan is asked for
    work : where it is counted, and what there is of it for better bites than the first

    Returns
    -------
    FoodPlan, its lower bound left to `bound_food`

    Raises
    ------
    SettingsError
        For a pin or a rule's weight that cannot be.
    """
    road = within_reach(road, pantry)
    pinned = pin_bites(pins, road, pantry)
    work = work or Work()

    def task_of(nodes: IntArray | None = None, near: FoodPlan | None = previous) -> FoodTask:
        task = build_task(
            road,
            pantry,
            rider,
            lump_g=lump_g,
            reserve_g=reserve_g,
            reserved=reserved or {},
            always=[bite.node for bite in pinned],
            wanted={p.item: p.portions for p in pins if isinstance(p, EatHere) and p.portions},
            nodes=nodes,
            shared=care != "draft",
            work=work,
        )
        return bend_to_pins(task, pins, pinned, near)

    beam = PINNED_BEAM if pinned or previous is not None else BEAM
    task = task_of() if begun is None else begun.task
    first = first_plan(task.problem, beam) if begun is None else begun.first
    if first is None:
        raise SettingsError(
            f"pins: the {len(pins)} pins cannot all be kept within the stock, the hourly limit and the"
            " caffeine cap; take one out, or move it",
            fact("refused_together", count=len(pins)),
        )
    if care == "draft":
        return _planned(road, task, first.solution, first)
    solution = first.solution
    with work.up_to(FOR_BITES, "bites"):
        solution = better_plan(first, beam)
        if solution.over_gap:
            nodes = np.union1d(task.places.node, edge_nodes(road, task))
            closer = task_of(nodes) if nodes.size <= MOST_PLACES else task
            found = improve(closer.problem, solution, beam)
            if found is not None:
                task, solution = closer, found
    food = _planned(road, *refine(road, task, solution, task_of, BEAM))
    if care != "bites":
        food = tell_food(road, food, [bite.node for bite in pinned])
    if previous is None or not pins:
        return food
    problem = task_of(food.task.places.node, near=None).problem  # staying near the other plan costs nothing
    cost, _ = judge(problem, food.choices, curve_cost(problem))
    return replace(food, objective=cost, without_pins=previous.objective)


def _planned(road: Road, task: FoodTask, solution: Solution, first: FirstPlan | None = None) -> FoodPlan:
    """Return the plan of a solution, nothing said of its bites."""
    bites = tuple(_bite(road, task, place, option) for place, option in solution.choices)
    return FoodPlan(bites, solution.cost, 0.0, task, solution.choices, first)


def bound_food(road: Road, pantry: Pantry, food: FoodPlan) -> FoodPlan:
    """Return a plan made without pins with what no plan on any nodes of the road can beat."""
    return replace(food, lower_bound=whole_bound(within_reach(road, pantry), food.task, food.objective))


def may_keep_gaps(
    road: Road,
    pantry: Pantry,
    rider: Rider,
    *,
    lump_g: float,
    reserved: Mapping[str, int],
    work: Work | None = None,
) -> bool:
    """Return whether places and stock leave any plan a way to keep the longest gap, as it is judged."""
    task = build_task(
        road,
        pantry,
        rider,
        lump_g=lump_g,
        reserve_g=0.0,
        reserved=reserved,
        gap_rules=forbidding_gap_rules(),
        shared=False,
        work=work,
    )
    return task_may_keep_gaps(task)


def task_may_keep_gaps(task: FoodTask) -> bool:
    """Return whether the places and stock of a task do so."""
    grace_s = 60.0 * OVER_GAP_MIN.value + FED_EARLY_S
    return keeps_gaps(replace(task.problem, until_s=task.problem.until_s + grace_s))


def within_reach(road: Road, pantry: Pantry) -> Road:
    """Return the road with how many items the containers hold that a riding hand can reach."""
    slots = sum(box.holds_items for box in pantry.containers if box.reach == "riding")
    return road if road.slots_in_reach == slots else replace(road, slots_in_reach=slots)


def most_trials(road: Road, pantry: Pantry) -> int:
    """Return how many changes of a day of this size may be planned to see what they bring."""
    return trials_within(*_size(road, pantry))


def is_long_in_coming(road: Road, pantry: Pantry) -> bool:
    """Return whether the best plan of a day takes so long that a first one is worth a look."""
    return takes_long(*_size(road, pantry))


def _size(road: Road, pantry: Pantry) -> tuple[float, int]:
    """Return about how many places a day has, and how many options."""
    return road.elapsed_s / place_every_s(road), len(food_options(foods_on_the_way(road, pantry)))


def _bite(road: Road, task: FoodTask, place: int, option: int) -> Bite:
    node, chosen = int(task.places.node[place]), task.options[option]
    distance_m = float(road.distance_m[node])
    shop = last_shop(road, distance_m)
    return Bite(
        place=node,
        distance_m=distance_m,
        clock_s=float(road.clock_s[node]),
        item=chosen.item.name,
        portions=chosen.portions,
        carbohydrate_g=chosen.carbohydrate_g,
        caffeine_mg=chosen.caffeine_mg,
        window_start_m=distance_m,
        window_end_m=distance_m,
        rules=(),
        reason=NOTHING,
        handed_over="" if shop is None or task.problem.drawn[place, option] else shop.name,
    )
