"""Choose what to eat and where, all bites together."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import NOTHING
from terrain_fuel.food.alternatives import find_alternatives
from terrain_fuel.food.build import FoodTask, build_task, foods_on_the_way, last_shop, place_every_s
from terrain_fuel.food.model import Bite, Care, FoodPlan
from terrain_fuel.food.options import food_options
from terrain_fuel.food.pinned import PinnedBite, bend_to_pins, pin_bites
from terrain_fuel.food.pins import EatHere, Pin
from terrain_fuel.food.prices import road_cost
from terrain_fuel.food.problem import curve_cost
from terrain_fuel.food.reasons import Chosen, explain_choice
from terrain_fuel.food.refine import edge_nodes, refine
from terrain_fuel.food.sizes import MOST_COMPARED, MOST_PLACES, trials_within
from terrain_fuel.food.solve import BEAM, Solution, solve_food
from terrain_fuel.food.whole import whole_bound
from terrain_fuel.food.windows import bite_window
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.road import IntArray, Road

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
    care: Care = "whole",
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
    care : how much of the plan is asked for

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

    def task_of(nodes: IntArray | None = None) -> FoodTask:
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
        )
        return bend_to_pins(task, pins, pinned, previous)

    task = task_of()
    beam = PINNED_BEAM if pinned or previous is not None else BEAM
    solution = solve_food(task.problem, beam, quick=care == "draft")
    if solution is None:
        raise SettingsError(
            f"pins: the {len(pins)} pins cannot all be kept within the stock, the hourly limit and the"
            " caffeine cap; take one out, or move it"
        )
    if solution.over_gap and care != "draft":
        nodes = np.union1d(task.places.node, edge_nodes(road, task))
        closer = task_of(nodes) if nodes.size <= MOST_PLACES else task
        found = solve_food(closer.problem, beam)
        if found is not None and found.cost < solution.cost:
            task, solution = closer, found
    if care != "draft":
        task, solution = refine(road, task, solution, task_of, BEAM)
    return FoodPlan(
        bites=_describe(road, task, solution, pinned) if care == "whole" else _plain(road, task, solution),
        objective=solution.cost,
        lower_bound=0.0,
        task=task,
    )


def bound_food(road: Road, pantry: Pantry, food: FoodPlan) -> FoodPlan:
    """Return a plan made without pins with what no plan on any nodes of the road can beat."""
    return replace(food, lower_bound=whole_bound(within_reach(road, pantry), food.task, food.objective))


def within_reach(road: Road, pantry: Pantry) -> Road:
    """Return the road with how many items the containers hold that a riding hand can reach."""
    slots = sum(box.holds_items for box in pantry.containers if box.reach == "riding")
    return road if road.slots_in_reach == slots else replace(road, slots_in_reach=slots)


def most_trials(road: Road, pantry: Pantry) -> int:
    """Return how many changes of a day of this size may be planned to see what they bring."""
    options = food_options(foods_on_the_way(road, pantry))
    return trials_within(road.elapsed_s / place_every_s(road), len(options))


def _describe(
    road: Road, task: FoodTask, solution: Solution, pinned: Sequence[PinnedBite]
) -> tuple[Bite, ...]:
    """Return the chosen bites with their windows, reasons and alternatives."""
    curve = curve_cost(task.problem)
    cost = road_cost(road, task.menu.weights)
    pinned_nodes = {bite.node for bite in pinned}
    plain = _plain(road, task, solution)
    told = tuple(
        _told(road, task, solution, plain, cost, at, plain[at].place in pinned_nodes)
        for at in range(len(plain))
    )
    if len(told) > MOST_COMPARED:
        return told
    others = (find_alternatives(task, curve, solution.choices, solution.cost, at) for at in range(len(told)))
    return tuple(replace(bite, alternatives=each) for bite, each in zip(told, others, strict=True))


def _plain(road: Road, task: FoodTask, solution: Solution) -> tuple[Bite, ...]:
    """Return the chosen bites, nothing said of them."""
    return tuple(_bite(road, task, place, option) for place, option in solution.choices)


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


def _told(
    road: Road,
    task: FoodTask,
    solution: Solution,
    bites: Sequence[Bite],
    cost: FloatArray,
    at: int,
    is_pinned: bool,
) -> Bite:
    """Return a bite with its window and its reasons."""
    bite, chosen = bites[at], task.options[solution.choices[at][1]]
    before = (bites[at - 1].place, task.options[solution.choices[at - 1][1]]) if at else None
    after = bites[at + 1].place if at + 1 < len(bites) else None
    row = Chosen(bite.place, chosen, before, after)
    rules, reason, scores = explain_choice(road, task, row, is_pinned)
    before_s = float(road.clock_s[before[0]]) if before else 0.0
    after_s = float(road.clock_s[after]) if after is not None else road.last_bite_s
    from_s, until_s = (
        _caffeine_span_s(road, bite.place) if chosen.caffeine_mg > 0 else (0.0, road.last_bite_s)
    )
    first, last = bite_window(
        road,
        cost,
        bite.place,
        earliest_s=max(after_s - road.longest_gap_s, from_s),
        latest_s=min(before_s + road.longest_gap_s, road.last_bite_s, until_s),
    )
    return replace(
        bite,
        window_start_m=float(road.distance_m[first]),
        window_end_m=float(road.distance_m[last]),
        rules=rules,
        reason=reason,
        scores=tuple(scores.items()),
    )


def _caffeine_span_s(road: Road, node: int) -> tuple[float, float]:
    """Return the span of clock for caffeine that a bite with it lies in [s]."""
    clock_s = float(road.clock_s[node])
    return next(span for span in road.caffeine_spans_s if span[0] <= clock_s <= span[1])
