"""How good any plan on any node of the road could be: a bound without thinned places.

The road is cut into slots, and each becomes one place of a food problem in which everything costs the
least, and every limit allows the most, that any of the slot's nodes could: its items, the gaps from
and to other slots, the curve, the stock, the hour. A plan on the nodes visits the slots in the same
order and pays no less, so what no plan on the slots can beat no plan on the nodes can.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.food.bound import NearBound, ToGo, above, bound_below
from terrain_fuel.food.build import (
    GAP_NUMBERS,
    LEAST_GAP_SHARE,
    PRICE_NUMBERS,
    FoodTask,
    place_every_s,
    taken_along,
    too_soon,
)
from terrain_fuel.food.curve import food_curve
from terrain_fuel.food.full_hours import least_by_hours, tell_sizes
from terrain_fuel.food.labels import LabelSearch
from terrain_fuel.food.prices import least_prices, road_cost
from terrain_fuel.food.problem import EPS, HOUR_S, OVER_GAP_COST, FoodProblem, over_gap_cost
from terrain_fuel.food.sizes import MOST_PLACES
from terrain_fuel.food.unavoidable import Moments, least_by_bites, without_the_impossible
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.book import EDGE_RULES, GAP_RULES, forbidding_gap_rules
from terrain_fuel.rules.gaps import Gap, fed_until_by_node_s, missed
from terrain_fuel.rules.model import GapRule
from terrain_fuel.rules.road import IntArray, Road
from terrain_fuel.work import FOR_PROOF

PROOF_BEAM = 40
PROOF_SHARES = (0.06, 0.12, 0.25, 0.4)
"""How far above the easier problem's bound the proof is sought, as shares of it, one after the other; only
where all that is proven it is sought wherever a cheaper plan might be."""
FINE_SLOTS, FINEST_SLOT_S = 1000, 5.0
"""Where a gap must be too long, what such gaps cost is looked at in so many slots, but no shorter ones than
these [s]: a second of a gap that is too long costs much."""
CLOSE_SHARE = 0.97
"""A bound that reaches so much of what a plan costs whose gaps are too long is sought no closer."""

ROWS_AT_ONCE = 64
"""Gaps are priced for so many slots together, each up to what the last of them reaches."""

ROUNDING = 1e-5
"""Equal plans are told apart by less than this, and bites never number so many that it adds up to more."""


def whole_bound(road: Road, task: FoodTask, known_cost: float) -> float:
    """Return what no plan on any nodes of the road costs less than; 0, which none can, on days without end.

    Parameters
    ----------
    road : the whole road, at its finest
    task : without pins, on whatever places
    known_cost : of the best plan known
    """
    if _slot_s(road) > LEAST_GAP_SHARE * road.eat_every_s / 2:
        return 0.0  # a plan might eat twice in a slot
    if known_cost <= 0.0 or road.elapsed_s / _slot_s(road) > MOST_PLACES:
        return 0.0
    if not np.isfinite(road_cost(road, task.menu.weights)).any():
        return known_cost
    # gaps longer than the longest can be part of no plan that costs less than one of them
    if known_cost < OVER_GAP_COST:
        bound = _proven(slot_problem(road, task, over_gap=False), known_cost)
    else:
        bound = _proven_over_gap(road, task, known_cost)
    return float(max(min(bound - ROUNDING, known_cost), 0.0))


def _proven(problem: FoodProblem, known_cost: float) -> float:
    """Return what no plan of a problem that keeps every gap costs less than."""
    near = NearBound(problem, known_cost)
    proven, whole = _proven_near(problem, near.up_to, known_cost)
    del near  # it is large, and so is the next
    if not whole:
        return proven
    to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=False, below=known_cost)
    return max(proven, _proven_below(problem, to_go, known_cost))


def _proven_over_gap(road: Road, task: FoodTask, known_cost: float) -> float:
    """Return what no plan costs less than where one is known whose gaps are too long."""
    problem = slot_problem(road, task)
    to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap=True, below=known_cost)
    onward = float(to_go.after.at(0, problem.stock.size, 0))
    bound = onward
    with problem.work.up_to(FOR_PROOF, "proof"):
        bound += _unavoidable(road, task, known_cost - onward)
    if bound >= CLOSE_SHARE * known_cost:
        return bound
    proven, whole = _proven_near(problem, lambda _: to_go, known_cost)
    return max(bound, proven, _proven_below(problem, to_go, known_cost) if whole else 0.0)


def _proven_near(
    problem: FoodProblem, count: Callable[[float], ToGo], known_cost: float
) -> tuple[float, bool]:
    """Return what no plan costs less than near the bound, and whether one farther up may be proven.

    Little is lost of a search just above what is proven already, and it is quick. Only where it loses
    nothing, one farther up may prove more. ``count`` returns the bound for plans up to a share above it: most
    days end with the first.
    """
    to_go = count(PROOF_SHARES[0])
    root = proven = to_go.root(problem)
    for share in PROOF_SHARES:
        limit = min(known_cost, above(root, share))
        if limit > to_go.below:
            del to_go  # it is large, and so is the next
            to_go = count(PROOF_SHARES[-1])
        with problem.work.up_to(FOR_PROOF, "proof"):
            proven = max(proven, _proven_below(problem, to_go, limit))
        if proven < limit or limit == known_cost:
            return proven, False
    return proven, True


def _proven_below(problem: FoodProblem, to_go: ToGo, limit: float) -> float:
    """Return what no plan costs less than, ``limit`` where none is found below it and nothing was lost."""
    found = LabelSearch(problem, to_go, PROOF_BEAM, limit).run()
    return min(found.lost_bound, found.cost)


def _unavoidable(road: Road, task: FoodTask, below: float) -> float:
    """Return what gaps that are too long cost at the least, by stock, hour and where one may eat.

    Of plans whose gaps cost no less than ``below`` it may be inf.
    """
    fine = _slots_to_break(road, task, FINE_SLOTS)
    nodes = road.take(np.flatnonzero(np.isfinite(road_cost(road, task.menu.weights))))
    moments = Moments(nodes.clock_s, fed_until_by_node_s(road)[nodes.node + 1])
    least = least_by_bites(fine, moments, below)
    for sizes in tell_sizes(fine):
        eats_once = road.elapsed_s / sizes.slots < LEAST_GAP_SHARE * road.eat_every_s  # in a slot
        if eats_once and least < CLOSE_SHARE * below:
            slots = _slots_to_break(road, task, sizes.slots)
            least = max(least, least_by_hours(slots, moments, sizes, below))
    return least


def _slots_to_break(road: Road, task: FoodTask, slots: int) -> FoodProblem:
    """Return about so many slots of which only gaps that are too long are asked, with what can be eaten."""
    slot_s = max(road.elapsed_s / slots, FINEST_SLOT_S)
    return without_the_impossible(slot_problem(road, task, slot_s, gap_rules=forbidding_gap_rules()))


def slot_problem(
    road: Road,
    task: FoodTask,
    slot_s: float | None = None,
    *,
    over_gap: bool = True,
    gap_rules: Sequence[GapRule] = GAP_RULES,
) -> FoodProblem:
    """Return the food problem of the slots, everything as cheap as any of a slot's nodes.

    ``slot_s`` is how long a slot is at the most, half of what coarse places stand apart if not given; unless
    ``over_gap``, gaps out of reach may be left out; ``gap_rules`` are those that charge.
    """
    slot_s = _slot_s(road) if slot_s is None else slot_s
    open_nodes = np.flatnonzero(np.isfinite(road_cost(road, task.menu.weights)))
    nodes = road.take(open_nodes)
    first = _slot_starts(road, nodes, slot_s)
    task.problem.work.add(GAP_NUMBERS * first.size**2 + PRICE_NUMBERS * nodes.size)
    prices = least_prices(road, open_nodes, first, task.menu)
    last = np.append(first[1:], nodes.size) - 1
    starts, ends = nodes.take(first), nodes.take(last)
    until_s = fed_until_by_node_s(road)[np.append(0, ends.node + 1)]
    drawn = taken_along(starts, task.options) & taken_along(ends, task.options)
    edge_s = np.union1d(starts.clock_s, ends.clock_s)
    curve = food_curve(road, edge_s, task.hour, place_every_s(road), task.at_hand_g)
    before = curve.pieces_before[np.searchsorted(edge_s, starts.clock_s)]
    left = curve.pieces_before[np.searchsorted(edge_s, ends.clock_s)]
    shortest_s = task.problem.shortest_gap_s - float(np.max(ends.clock_s - starts.clock_s, initial=0.0))
    return replace(
        task.problem,
        clock_s=starts.clock_s,
        node_cost=prices.node_cost,
        arc_cost=_arc_cost(road, task, nodes, first, until_s, over_gap=over_gap, gap_rules=gap_rules),
        pair_cost=prices.pair_cost,
        drawn=drawn,
        need_g=curve.need_g,
        step_h=curve.step_h,
        pieces_before=np.append(before, curve.need_g.size),
        pieces_left=np.append(left, curve.need_g.size),
        hour_from_s=ends.clock_s - HOUR_S,
        stock=task.stock,
        room_g=np.maximum.reduceat(task.hour.room_g(road, nodes.clock_s), first),
        shortest_gap_s=shortest_s,
        until_s=until_s,
    )


def _slot_s(road: Road) -> float:
    """Return how long a slot is at the most [s]: half of what coarse places stand apart."""
    return place_every_s(road) / 2


def _slot_starts(road: Road, nodes: Road, slot_s: float) -> IntArray:
    """Return the first node of each slot.

    Slots end at halts, at half-time and wherever a
    crest, a climb of an hour, a steep ramp or the time before a climb begins or ends, so that rules see
    all of a slot alike.
    """
    feet = np.array([edge for foot in road.feet for edge in (foot.start_m, foot.end_m)])
    marks = np.stack(
        [
            np.floor_divide(nodes.clock_s, slot_s),
            nodes.clock_s > road.elapsed_s / 2,
            nodes.crest,
            nodes.on_long_climb,
            nodes.between_ramps,
            nodes.ramp_from_s,
            nodes.stop,
            np.searchsorted(np.sort(feet), nodes.distance_m),
            too_soon(nodes),
        ]
    )
    return np.flatnonzero(np.append(True, np.any(marks[:, 1:] != marks[:, :-1], axis=0)))


def _arc_cost(
    road: Road,
    task: FoodTask,
    nodes: Road,
    first: IntArray,
    until_s: FloatArray,
    *,
    over_gap: bool,
    gap_rules: Sequence[GapRule],
) -> FloatArray:
    """Return the least that a gap between any nodes of two slots costs, shape (slots + 1, slots + 1)."""
    starts, ends = nodes.take(first), nodes.take(np.append(first[1:], nodes.size) - 1)
    count = first.size
    cost = np.full((count + 1, count + 1), np.inf)
    for row in range(0, count + 1, ROWS_AT_ONCE):
        rows = slice(row, min(row + ROWS_AT_ONCE, count + 1))
        reach_s = np.inf if over_gap else until_s[rows.stop - 1] + 1.0
        slots = slice(row, int(np.searchsorted(starts.clock_s, reach_s, side="right")))
        cost[rows, slots] = _gap_cost(road, task, starts, ends, rows, slots, gap_rules)
    cost[:, count] = 0.0
    for edge_rule in EDGE_RULES:
        bites = np.minimum.reduceat(edge_rule.cost(task.weights[edge_rule.name], nodes), first)
        if edge_rule.edge == "start":
            cost[0, :count] += bites
        else:
            cost[1:, count] += bites
    cost[0, :count][np.logical_and.reduceat(too_soon(nodes), first)] = np.inf
    after_s = np.append(starts.clock_s, max(road.last_bite_s, 0.0))
    cost += over_gap_cost(after_s[None, :] - until_s[:, None])
    return cost


def _gap_cost(
    road: Road,
    task: FoodTask,
    starts: Road,
    ends: Road,
    rows: slice,
    slots: slice,
    gap_rules: Sequence[GapRule],
) -> FloatArray:
    """Return the least that gaps from some rows to some slots cost, inf to a slot before the row's."""
    before_m = np.append(-1.0, ends.distance_m)[rows, None]
    before_s, since_s = np.append(0.0, ends.clock_s)[rows, None], np.append(0.0, starts.clock_s)[rows, None]
    numbers = np.arange(starts.size + 1)
    places, until_s = starts.take(numbers[slots]), ends.clock_s[slots]
    crests = missed(road.crests, before_m, places.distance_m)
    feet = missed(road.feet, before_m, places.distance_m)
    least_s, most_s = np.maximum(places.clock_s - before_s, 0.0), until_s - since_s
    fed_s = np.clip(road.longest_gap_s + EPS, least_s, most_s)  # the shortest that drink may keep
    cost = np.zeros(most_s.shape)
    for rule in gap_rules:
        weight = task.weights[rule.name]
        best_s = least_s if rule.best_gap_s is None else rule.best_gap_s(places)[None, :]
        best_s = np.clip(best_s, least_s, most_s)
        each = np.minimum(
            rule.cost(weight, places, Gap(best_s, best_s, crests, feet)),
            rule.cost(weight, places, Gap(fed_s, np.zeros_like(fed_s), crests, feet)),
        )
        if not rule.counts_from_start:
            each[numbers[rows] == 0] = 0.0
        cost += each
    too_short = most_s < LEAST_GAP_SHARE * road.eat_every_s
    cost[too_short | (numbers[slots] < numbers[rows, None])] = np.inf
    return cost
