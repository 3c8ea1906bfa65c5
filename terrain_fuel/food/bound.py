"""What is still to be paid at the least: the bound that guides the labels and states the gap.

Leaving out the stock, the hour's limit and caffeine, the cheapest way on depends only on the
place of the last bite, its item and the grams eaten so far. Counted backwards from the finish it
is exact for that easier problem, so nothing can beat it in the real one. The stock comes back as
a price on each portion (Lagrangian relaxation): what is scarce is charged for, and the bound gets
back what the whole stock is worth. Pricing the hours too was tried and dropped: with bites of
half the hour's room the bound hardly rose and the labels were guided worse.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.problem import (
    Choice,
    FoodProblem,
    curve_cost,
    curve_left,
    over_gap_costs,
)
from terrain_fuel.food.sizes import tells_foods_apart
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray


@dataclass(frozen=True, slots=True, eq=False)
class ToGo:
    """The least cost to the finish, by place, item eaten last and grams eaten, gaps too long not charged.

    ``after[i + 1, item, g]``: on from place i, the bite there behind; row 0 is the start.
    ``eating[j, item, g]``: from place j, the bite there included, ``item`` the one before it.
    Item m stands for nothing eaten yet. ``over[i + 1, bites]``: what the gaps that are too long
    must cost on from place i with so many bites left. ``price`` is what a portion of each item
    is charged, ``curve`` and ``left`` the tables of `curve_cost` and `curve_left`, ``arcs`` the gaps' cost
    less what is too long.
    With ``over_gap`` any gap is allowed. Unless ``apart`` the bound does not tell items apart.
    """

    after: FloatArray
    eating: FloatArray
    over: FloatArray
    price: FloatArray
    curve: FloatArray
    left: FloatArray
    arcs: FloatArray
    over_gap: bool
    apart: bool

    def root(self, problem: FoodProblem) -> float:
        """Return the lower bound on the whole problem."""
        bites = bites_left(problem, self, problem.stock.sum(), np.zeros(1))
        over = float(self.over[0, bites[0]])
        return float(self.after[0, -1, 0]) - float(np.dot(self.price, problem.stock)) + over


def bound_below(problem: FoodProblem, price: FloatArray, over_gap: bool) -> ToGo:
    """Return the least cost to go from everywhere, portions charged at ``price``.

    ``over_gap`` also allows gaps longer than the rider's longest; as every place is then within
    reach of every other, what was eaten before is left out of the bound too, as where foods are too many.
    """
    curve = curve_cost(problem)
    left = curve_left(problem, curve)
    places, grams = problem.places, curve.shape[1]
    items = 0 if over_gap or not tells_foods_apart(problem) else problem.stock.size
    after = np.empty((places + 1, items + 1, grams))
    eating = np.empty((places, items + 1, grams))
    onward = {places: np.broadcast_to(curve[places], (items + 1, grams))}  # what may still be a near way
    charged = problem.node_cost + _charge(problem, price)
    over_cost = over_gap_costs(problem)
    arcs_cost = problem.arc_cost - over_cost
    reach = _last_reached(problem, over_gap)
    far = np.minimum(_far_from(problem), reach)
    beyond, beyond_from = np.full((items + 1, grams), np.inf), places + 1
    bite = _Eating(problem, items + 1, grams)
    for place in range(places - 1, -2, -1):
        after[place + 1] = np.inf
        arcs = arcs_cost[place + 1, place + 1 : reach[place + 1]]
        near = int(far[place + 1]) - place - 1
        ways = np.flatnonzero(np.isfinite(arcs[:near]))
        while beyond_from > far[place + 1]:
            beyond_from -= 1
            np.minimum(beyond, onward.pop(beyond_from), out=beyond)
        if ways.size or near < arcs.size:
            _least_on(onward, arcs, place + 1, ways, after[place + 1])
            if near < arcs.size:
                np.minimum(after[place + 1], beyond + arcs[near:].min(), out=after[place + 1])
            if place >= 0:
                after[place + 1] -= left[place]
        if place >= 0:
            bite.at(place, charged[place], after[place + 1], eating[place])
            onward[place] = eating[place] + curve[place]
    if items < problem.stock.size:
        every_item = (problem.stock.size + 1, grams)
        after = np.broadcast_to(after, (places + 1, *every_item))
        eating = np.broadcast_to(eating, (places, *every_item))
    over = least_over_cost(problem, over_cost, over_gap)
    return ToGo(after, eating, over, price, curve, left, arcs_cost, over_gap, items > 0)


def _least_on(
    onward: Mapping[int, FloatArray], arcs: FloatArray, first: int, ways: IntArray, least: FloatArray
) -> None:
    """Fill ``least`` with the least over the ways on; one way after the other stays in the cache."""
    one_way = np.empty_like(least)
    for way in ways.tolist():
        np.add(onward[first + way], arcs[way], out=one_way)
        np.minimum(least, one_way, out=least)


def _charge(problem: FoodProblem, price: FloatArray) -> FloatArray:
    """Return what each option is charged at each place: nothing where a stop hands it over."""
    portions = price[problem.option_item] * problem.option_portions
    return np.where(problem.drawn, portions[None, :], 0.0)


class _Eating:
    """What a bite costs and leads to, for one place after the other.

    The options stand in rows, each with one of every item, so that whole rows are compared; where an
    item has fewer, an option that is charged infinitely stands in.
    """

    def __init__(self, problem: FoodProblem, rows: int, grams: int) -> None:
        items = max(rows - 1, 1)
        item = problem.option_item if rows > 1 else np.zeros(problem.option_g.size, dtype=np.int64)
        fits = np.flatnonzero(problem.option_whole < grams)
        nth = np.array([np.sum(item[fits[:at]] == item[option]) for at, option in enumerate(fits)], dtype=int)
        self.option = np.full((int(nth.max(initial=0)) + 1, items), -1)
        self.option[nth, item[fits]] = fits
        self.whole = np.append(problem.option_whole, 0)[self.option]
        self.item = np.arange(items)
        self.later = np.full((rows, grams + int(self.whole.max(initial=0))), np.inf)
        self.from_g = np.lib.stride_tricks.sliding_window_view(self.later, grams, axis=1)
        self.pair_cost = np.moveaxis(problem.pair_cost, 2, 0)[..., None] if rows > 1 else None
        self.ways = np.empty((items, items, grams))

    def at(self, place: int, charged: FloatArray, after: FloatArray, eaten: FloatArray) -> None:
        """Fill ``eaten`` with the least over the options of a bite and what follows it.

        Shapes (rows, grams): by item and grams before the bite, like ``after`` by those behind it.
        With one row only items are not told apart.
        """
        self.later[:, : after.shape[1]] = after
        options = self.from_g[self.item, self.whole]
        options += np.append(charged, np.inf)[self.option][..., None]
        best = np.minimum.reduce(options, axis=0)
        if self.pair_cost is not None:
            np.add(self.pair_cost[place], best, out=self.ways)
            np.minimum.reduce(self.ways, axis=1, out=eaten[:-1])
        np.minimum.reduce(best, axis=0, out=eaten[-1])


def least_over_cost(problem: FoodProblem, over_cost: FloatArray, over_gap: bool) -> FloatArray:
    """Return what gaps that are too long must cost with so many bites left, shape (n + 1, bites + 1).

    ``over_cost`` is what gaps cost beyond the longest, shape (n + 1, n + 1).
    A bite that a stop hands over is not counted. Unless ``over_gap``, it is inf where so few bites
    cannot last to the finish.
    """
    finish = problem.places
    step = np.where(np.isfinite(problem.arc_cost), over_cost, np.inf)
    if not over_gap:
        step = np.where(over_cost > 0, np.inf, step)
    edible = np.isfinite(problem.node_cost)
    free = np.any(edible & ~problem.drawn, axis=1)
    step[:, :finish][:, ~edible.any(axis=1)] = np.inf
    most = 2 * int(np.ceil(problem.end_s / problem.longest_gap_s)) + 2
    least = np.full((finish + 1, most + 1), np.inf)
    with_bite = np.full((finish, most + 1), np.inf)
    for row in range(finish, -1, -1):
        least[row] = step[row, finish]
        ways = row + np.flatnonzero(np.isfinite(step[row, row:finish]))
        if ways.size:
            least_on = np.min(with_bite[ways] + step[row, ways, None], axis=0)
            np.minimum(least[row], least_on, out=least[row])
        if row and free[row - 1]:
            with_bite[row - 1] = least[row]
        elif row:
            with_bite[row - 1, 1:] = least[row, :-1]
    return least


def bites_left(problem: FoodProblem, to_go: ToGo, portions: IntArray, drawn_g: FloatArray) -> IntArray:
    """Return how many more bites the stock allows at the most, as columns of ``to_go.over``."""
    least_g = float(np.min(problem.option_g, initial=np.inf))
    by_grams = np.floor((problem.stock_g - drawn_g) / max(least_g, 0.1) + 1e-9)
    most = to_go.over.shape[1] - 1
    return np.asarray(np.clip(np.minimum(portions, by_grams), 0, most), dtype=np.int64)


def relaxed_plan(problem: FoodProblem, to_go: ToGo) -> tuple[Choice, ...]:
    """Return the best plan of the easier problem; it may overdraw the stock and the hour."""
    choices: list[Choice] = []
    reach = _last_reached(problem, to_go.over_gap)
    place, item, whole = -1, problem.stock.size, 0
    while True:
        first, until = place + 1, int(reach[place + 1])
        here = slice(first, min(until, problem.places))
        ways = to_go.eating[here, item, whole] + to_go.curve[here, whole]
        if until > problem.places:
            ways = np.append(ways, to_go.curve[problem.places, whole])
        ways = ways + to_go.arcs[place + 1, first:until]
        place = first + int(np.argmin(ways))
        if place == problem.places:
            return tuple(choices)
        option = _best_option(problem, to_go, place, item, whole)
        item = int(problem.option_item[option])
        whole += int(problem.option_whole[option])
        choices.append((place, option))


def _best_option(problem: FoodProblem, to_go: ToGo, place: int, item: int, whole: int) -> int:
    after_g = whole + problem.option_whole
    fits = after_g < to_go.curve.shape[1]
    cost = problem.node_cost[place] + _charge(problem, to_go.price)[place]
    if item < problem.stock.size and to_go.apart:
        cost = cost + problem.pair_cost[item, problem.option_item, place]
    after = to_go.after[place + 1, problem.option_item, np.where(fits, after_g, 0)]
    return int(np.argmin(np.where(fits, cost + after, np.inf)))


def _far_from(problem: FoodProblem) -> IntArray:
    """Return, from the start and from each place, the first place more than four times the longest gap away.

    Where drink feeds, gaps of hours are allowed; they cost about the same wherever they end, so the
    bound takes the cheapest of them with the cheapest end.
    """
    far_s = np.append(0.0, problem.clock_s) + 4.0 * problem.longest_gap_s
    return np.asarray(np.searchsorted(problem.clock_s, far_s, side="right"))


def _last_reached(problem: FoodProblem, over_gap: bool) -> IntArray:
    """Return, from the start and from each place, the end of the places reached within the longest gap.

    The finish counts as place n; n + 1 means that it is reached.
    """
    until = np.searchsorted(problem.clock_s, problem.until_s + 1e-6, side="right")
    ends = over_gap | (problem.end_s <= problem.until_s + 1e-6)
    return np.asarray(np.where(ends, problem.places + 1, until))
