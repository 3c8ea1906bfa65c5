"""What else a bite could have been, and what it would have cost, all other bites staying."""

from collections.abc import Sequence
from typing import Literal

import numpy as np

from terrain_fuel.facts import NOTHING, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.problem import Choice, FoodProblem, judge_each
from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import Alternative

Change = Literal["place", "item", "leave out"]

MOST_PLACES = 3
MOST_ITEMS = 3
APART_M = 1000.0
LIMIT_CODES = {
    "stock": "limit_stock",
    "reserve": "limit_reserve",
    "amount": "limit_amount",
    "caffeine": "limit_caffeine",
    "carbohydrate in an hour": "limit_hour",
    "veto or shortest gap": "limit_veto_or_gap",
}


def find_alternatives(
    task: FoodTask, curve: FloatArray, choices: Sequence[Choice], cost: float
) -> list[tuple[Alternative, ...]]:
    """Return for each bite the next best places and items, and what leaving it out would cost.

    Parameters
    ----------
    task : the food problem with its road and options
    curve : the table of `curve_cost`
    choices : the plan's bites in road order, pairs of place and option
    cost : of the whole plan
    """
    shorter = [[*choices[:at], *choices[at + 1 :]] for at in range(len(choices))]
    left_out = judge_each(task.problem, shorter, curve) if shorter else []
    return [
        (
            *_instead(task, curve, choices, cost, at),
            _alternative(task, choices[at], "leave out", cost, without),
        )
        for at, without in enumerate(left_out)
    ]


def _instead(
    task: FoodTask, curve: FloatArray, choices: Sequence[Choice], cost: float, at: int
) -> tuple[Alternative, ...]:
    """Return the next best places and items of bite ``at``."""
    place, option = choices[at]
    extra = _other_options(task.problem, curve, choices, at)
    moved = [
        (other, option)
        for other in _cheapest_places(task, _other_places(task.problem, curve, choices, at), place)
    ]
    name = task.options[option].item.name
    changed = [
        (place, other)
        for other in np.argsort(extra, kind="stable").tolist()
        if np.isfinite(extra[other]) and task.options[other].item.name != name
    ]
    priced = _priced_instead(task, curve, choices, cost, at, [*moved, *changed])
    return (*priced[: len(moved)], *_other_items(priced[len(moved) :]))


def _other_items(priced: Sequence[Alternative]) -> list[Alternative]:
    """Return the cheapest other items that the limits allow, and the first that they forbid."""
    taken: set[str] = set()
    allowed: list[Alternative] = []
    forbidden: list[Alternative] = []
    for choice in priced:
        if choice.item in taken or len(allowed) == MOST_ITEMS:
            continue
        if choice.forbidden_by == NOTHING:
            taken.add(choice.item)
            allowed.append(choice)
        elif not forbidden:
            forbidden.append(choice)
    return [*allowed, *forbidden]


def _priced_instead(
    task: FoodTask,
    curve: FloatArray,
    choices: Sequence[Choice],
    cost: float,
    at: int,
    others: Sequence[Choice],
) -> list[Alternative]:
    """Return what each of some choices in place of bite ``at`` would cost more."""
    plans = [[*choices[:at], other, *choices[at + 1 :]] for other in others]
    judged = judge_each(task.problem, plans, curve) if plans else []
    return [
        _alternative(task, other, "place" if other[0] != choices[at][0] else "item", cost, each)
        for other, each in zip(others, judged, strict=True)
    ]


def _alternative(
    task: FoodTask, choice: Choice, change: Change, cost: float, judged: tuple[float, str]
) -> Alternative:
    """Return a change of one bite as it is told; ``judged`` is what becomes of the whole plan."""
    (place, option), (other_cost, broken) = choice, judged
    kind = task.options[option]
    return Alternative(
        change=change,
        distance_m=float(task.places.distance_m[place]),
        item=kind.item.name,
        portions=0 if change == "leave out" else kind.portions,
        extra_cost=None if broken else other_cost - cost,
        forbidden_by=fact(LIMIT_CODES[broken]) if broken else NOTHING,
    )


def _other_places(problem: FoodProblem, curve: FloatArray, choices: Sequence[Choice], at: int) -> FloatArray:
    """Return what differs in cost when the bite stands at each place between its neighbours, else inf."""
    option = choices[at][1]
    before, after, eaten_g = _neighbours(problem, choices, at)
    later_g = eaten_g + int(problem.option_whole[option])
    cost = problem.node_cost[:, option] + problem.arc_cost[before + 1, :-1]
    cost = cost + problem.arc_cost[1:, after] + curve[:-1, eaten_g] - curve[:-1, later_g]
    if at > 0:
        cost = cost + problem.pair_cost[problem.option_item[choices[at - 1][1]], problem.option_item[option]]
    between = (np.arange(problem.places) > before) & (np.arange(problem.places) < after)
    return np.where(between, cost, np.inf)


def _other_options(problem: FoodProblem, curve: FloatArray, choices: Sequence[Choice], at: int) -> FloatArray:
    """Return about what differs in cost when each option is eaten at the same place."""
    place = choices[at][0]
    _, _, eaten_g = _neighbours(problem, choices, at)
    item = problem.option_item
    cost = problem.node_cost[place].copy()
    if at > 0:
        cost = cost + problem.pair_cost[item[choices[at - 1][1]], item, place]
    if at + 1 < len(choices):
        later = choices[at + 1]
        cost = cost + problem.pair_cost[item, item[later[1]], later[0]]
    grams = eaten_g + problem.option_whole
    stops = [*(choice[0] for choice in choices[at:]), problem.places]
    later_g = [0, *np.cumsum([problem.option_whole[o] for _, o in choices[at + 1 :]]).tolist()]
    column = np.clip(np.add.outer(later_g, grams), 0, curve.shape[1] - 1)
    edges = np.array(stops)[:, None]
    return np.asarray(cost + (curve[edges[1:], column] - curve[edges[:-1], column]).sum(axis=0))


def _neighbours(problem: FoodProblem, choices: Sequence[Choice], at: int) -> tuple[int, int, int]:
    """Return the places of the bites around one, and the grams eaten before it."""
    before = choices[at - 1][0] if at > 0 else -1
    after = choices[at + 1][0] if at + 1 < len(choices) else problem.places
    return before, after, int(sum(problem.option_whole[o] for _, o in choices[:at]))


def _cheapest_places(task: FoodTask, extra: FloatArray, chosen: int) -> list[int]:
    """Return the cheapest other places, each a kilometre from the chosen one and from each other."""
    at_m = task.places.distance_m
    picked, near = [chosen], np.abs(at_m - at_m[chosen]) < APART_M
    for place in np.argsort(extra, kind="stable").tolist():
        if len(picked) > MOST_PLACES or not np.isfinite(extra[place]):
            break
        if not near[place]:
            picked.append(place)
            near |= np.abs(at_m - at_m[place]) < APART_M
    return picked[1:]
