"""What else a bite could have been, and what it would have cost, all other bites staying."""

from collections.abc import Sequence

import numpy as np

from terrain_fuel.facts import NOTHING, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.problem import Choice, FoodProblem, judge
from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import Alternative

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
    task: FoodTask, curve: FloatArray, choices: Sequence[Choice], cost: float, at: int
) -> tuple[Alternative, ...]:
    """Return the next best places and items of bite ``at``, and what leaving it out would cost.

    Parameters
    ----------
    task : the food problem with its road and options
    curve : the table of `curve_cost`
    choices : the plan's bites in road order, pairs of place and option
    cost : of the whole plan
    at : which of the choices
    """
    place, option = choices[at]
    places = _other_places(task.problem, curve, choices, at)
    items = _other_options(task.problem, curve, choices, at)
    found = []
    for other in _cheapest_places(task, places, place):
        found.append(_priced_choice(task, curve, choices, cost, at, (other, option)))
    found.extend(_other_items(task, curve, choices, cost, at, items))
    found.append(_priced_choice(task, curve, choices, cost, at, None))
    return tuple(found)


def _other_items(
    task: FoodTask,
    curve: FloatArray,
    choices: Sequence[Choice],
    cost: float,
    at: int,
    extra: FloatArray,
) -> list[Alternative]:
    """Return the cheapest other items that the limits allow, and the first that they forbid."""
    place, option = choices[at]
    taken = {task.options[option].item.name}
    allowed: list[Alternative] = []
    forbidden: list[Alternative] = []
    for other in np.argsort(extra, kind="stable").tolist():
        name = task.options[other].item.name
        if name in taken or not np.isfinite(extra[other]) or len(allowed) == MOST_ITEMS:
            continue
        choice = _priced_choice(task, curve, choices, cost, at, (place, other))
        if choice.forbidden_by == NOTHING:
            taken.add(name)
            allowed.append(choice)
        elif not forbidden:
            forbidden.append(choice)
    return [*allowed, *forbidden]


def _priced_choice(
    task: FoodTask,
    curve: FloatArray,
    choices: Sequence[Choice],
    cost: float,
    at: int,
    instead: Choice | None,
) -> Alternative:
    changed = [*choices[:at], *([instead] if instead else []), *choices[at + 1 :]]
    other_cost, broken = judge(task.problem, changed, curve)
    place, option = instead or choices[at]
    kind = task.options[option]
    change = "leave out" if instead is None else "place" if place != choices[at][0] else "item"
    return Alternative(
        change=change,  # type: ignore[arg-type]
        distance_m=float(task.places.distance_m[place]),
        item=kind.item.name,
        portions=0 if instead is None else kind.portions,
        extra_cost=None if broken else other_cost - cost,
        forbidden_by=fact(LIMIT_CODES[broken]) if broken else NOTHING,
    )


def _other_places(problem: FoodProblem, curve: FloatArray, choices: Sequence[Choice], at: int) -> FloatArray:
    """Return the change of cost when the bite moves to each place between its neighbours, else inf."""
    place, option = choices[at]
    before, after, eaten_g = _neighbours(problem, choices, at)
    later_g = eaten_g + int(problem.option_whole[option])
    cost = problem.node_cost[:, option] + problem.arc_cost[before + 1, :-1]
    cost = cost + problem.arc_cost[1:, after] + curve[:-1, eaten_g] - curve[:-1, later_g]
    if at > 0:
        cost = cost + problem.pair_cost[problem.option_item[choices[at - 1][1]], problem.option_item[option]]
    between = (np.arange(problem.places) > before) & (np.arange(problem.places) < after)
    cost = np.where(between, cost, np.inf)
    return np.asarray(cost - cost[place])


def _other_options(problem: FoodProblem, curve: FloatArray, choices: Sequence[Choice], at: int) -> FloatArray:
    """Return about how the cost changes when something else is eaten at the same place."""
    place, option = choices[at]
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
    for start, end, more in zip(stops[:-1], stops[1:], later_g, strict=True):
        column = np.clip(grams + more, 0, curve.shape[1] - 1)
        cost = cost + curve[end, column] - curve[start, column]
    return np.asarray(cost - cost[option])


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
