"""Finer places around a plan.

The coarse places chose what is eaten and about where. Then each bite may move and change a little, and
then, each remaining what it is, move a few minutes: where hours are nearly full, half a minute lets a
bite out of an hour that has no room for it. Where a longest gap breaks, they move by seconds last.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.food.build import FoodTask, too_soon
from terrain_fuel.food.prices import edible_at, road_cost
from terrain_fuel.food.problem import Choice, FoodProblem, curve_cost, judge
from terrain_fuel.food.sizes import MOST_PLACES
from terrain_fuel.food.solve import Solution, improve
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray, Road


@dataclass(frozen=True, slots=True)
class _Pass:
    """How far apart finer places stand and how far from a bite, and whether it stays what it is."""

    every_s: float
    within_s: float
    same_food: bool


PASSES = (_Pass(20.0, 60.0, same_food=False), _Pass(30.0, 240.0, same_food=True))
BROKEN_PASS = _Pass(5.0, 20.0, same_food=True)
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
    passes = (*PASSES, BROKEN_PASS) if solution.over_gap else PASSES
    for each in passes if nodes.size else ():
        finer_nodes = _finer_nodes(road, any_cost, nodes, each)
        if finer_nodes.size > MOST_PLACES:
            continue
        finer = rebuild(finer_nodes)
        problem = finer.problem
        if each.same_food:
            problem = _same_food(road, finer, nodes, best.choices, each.within_s)
        better = improve(problem, best, beam)
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
    slot = np.floor_divide(road.clock_s, how.every_s).astype(np.int64)
    order = np.lexsort((np.arange(road.size), any_cost, slot))
    order = order[near[order] & np.isfinite(any_cost[order])]
    first = np.diff(slot[order], prepend=-1) > 0
    return np.union1d(order[first], nodes)


def _same_food(
    road: Road, finer: FoodTask, nodes: IntArray, choices: Sequence[Choice], within_s: float
) -> FoodProblem:
    """Return the problem with only what a bite of the plan is allowed near it."""
    allowed = np.zeros(finer.problem.node_cost.shape, dtype=bool)
    for node, (_, option) in zip(nodes.tolist(), choices, strict=True):
        allowed[np.abs(finer.places.clock_s - road.clock_s[node]) <= within_s, option] = True
    return replace(finer.problem, node_cost=np.where(allowed, finer.problem.node_cost, np.inf))
