"""Finer places around a plan.

The coarse places chose what is eaten and about where. Then each bite may move and change a little, and
then, each remaining what it is, move a few minutes: where hours are nearly full, half a minute lets a
bite out of an hour that has no room for it. Where a longest gap breaks, they move by seconds last.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.food.build import FoodTask, best_of_slots, too_soon
from terrain_fuel.food.prices import edible_at, road_cost
from terrain_fuel.food.problem import curve_cost, judge
from terrain_fuel.food.sizes import MOST_PLACES
from terrain_fuel.food.solve import Solution, improve
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray, Road
from terrain_fuel.work import FOR_BITES


@dataclass(frozen=True, slots=True)
class _Pass:
    """How far apart finer places stand and how far from a bite, and whether it stays what it is."""

    every_s: float
    within_s: float
    same_food: bool


PASSES = (_Pass(20.0, 60.0, same_food=False), _Pass(30.0, 240.0, same_food=True))
BROKEN_PASSES = (_Pass(10.0, 60.0, same_food=True), _Pass(5.0, 20.0, same_food=True))
"""Where a longest gap breaks: a bite that leaves a full hour a minute later than it could costs much."""


def refine(
    road: Road,
    task: FoodTask,
    solution: Solution,
    rebuild: Callable[[IntArray], FoodTask],
    beam: int,
) -> tuple[FoodTask, Solution]:
    """Return the best plan on finer places around a plan, and the task with its places among the coarse.

    Parameters
    ----------
    road : the places that may be chosen
    task, solution : the coarse places and the best plan on them
    rebuild : makes the same task of other nodes
    beam : how many plans the search keeps beside each other
    """
    any_cost = road_cost(road, task.menu.weights)
    nodes = task.places.node[[place for place, _ in solution.choices]]
    best = solution
    passes = (*PASSES, *BROKEN_PASSES) if solution.over_gap else PASSES
    for each in passes if nodes.size else ():
        finer_nodes = _finer_nodes(road, any_cost, nodes, each)
        if finer_nodes.size > MOST_PLACES:
            continue
        with task.problem.work.up_to(FOR_BITES, "bites"):
            finer = rebuild(finer_nodes)
            if each.same_food:
                better = _moved(road, finer, nodes, best, each.within_s, beam)
            else:
                better = improve(finer.problem, best, beam)
            if better is not None:
                best, nodes = better, finer.places.node[[place for place, _ in better.choices]]
    if best is solution:
        return task, solution
    final = rebuild(np.union1d(task.places.node, nodes))
    at = np.searchsorted(final.places.node, nodes).tolist()
    choices = tuple((place, option) for place, (_, option) in zip(at, best.choices, strict=True))
    return final, replace(
        best, choices=choices, cost=judge(final.problem, choices, curve_cost(final.problem))[0]
    )


def edge_nodes(road: Road, task: FoodTask) -> IntArray:
    """Return where stretches on which anything of the menu may be eaten begin and end.

    Gaps that must be too long are shortest between such places; the coarse ones may lie elsewhere.
    """
    nodes = np.flatnonzero(np.isfinite(road_cost(road, task.menu.weights)))
    nodes = nodes[edible_at(road, nodes, task.menu) & ~too_soon(road.take(nodes))]
    apart = np.diff(nodes) > 1
    return np.asarray(nodes[np.append(True, apart) | np.append(apart, True)] if nodes.size else nodes)


def _finer_nodes(road: Road, any_cost: FloatArray, nodes: IntArray, how: _Pass) -> IntArray:
    """Return the best node of every small slot near a bite, and the bites' own."""
    after = np.clip(np.searchsorted(road.clock_s[nodes], road.clock_s), 1, nodes.size - 1)
    near = np.abs(road.clock_s - road.clock_s[nodes[after]]) <= how.within_s
    near |= np.abs(road.clock_s - road.clock_s[nodes[after - 1]]) <= how.within_s
    may = np.flatnonzero(near & np.isfinite(any_cost))
    best = best_of_slots(road.clock_s[may], any_cost[may], how.every_s)
    return np.union1d(may[best], nodes)


def _moved(
    road: Road, finer: FoodTask, nodes: IntArray, known: Solution, within_s: float, beam: int
) -> Solution | None:
    """Return a cheaper plan of the same bites, each moved a little; None if there is none.

    What the plan does not eat is left out of the problem, so that little is left to tell apart.
    """
    problem, clock_s = finer.problem, finer.places.clock_s
    option, bites = np.unique([option for _, option in known.choices], return_inverse=True)
    item, option_item = np.unique(problem.option_item[option], return_inverse=True)
    near = np.abs(clock_s[:, None] - road.clock_s[nodes]) <= within_s
    allowed = np.stack([near[:, bites == each].any(axis=1) for each in range(option.size)], axis=1)
    same_food = replace(
        problem,
        node_cost=np.where(allowed, problem.node_cost[:, option], np.inf),
        pair_cost=problem.pair_cost[np.ix_(item, item)],
        option_item=option_item,
        option_portions=problem.option_portions[option],
        option_whole=problem.option_whole[option],
        option_g=problem.option_g[option],
        option_caffeine_mg=problem.option_caffeine_mg[option],
        drawn=problem.drawn[:, option],
        stock=problem.stock[item],
    )
    better = improve(same_food, known, beam)
    if better is None:
        return None
    return replace(better, choices=tuple((place, int(option[each])) for place, each in better.choices))
