"""What is still to be paid at the least: the bound that guides the labels and states the gap.

Leaving out the stock, the hour's limit and caffeine, the cheapest way on depends only on the
place of the last bite, its item and the grams eaten so far. Counted backwards from the finish it
is exact for that easier problem, so nothing can beat it in the real one. The stock comes back as
a price on each portion (Lagrangian relaxation): what is scarce is charged for, and the bound gets
back what the whole stock is worth. Pricing the hours too was tried and dropped: with bites of
half the hour's room the bound hardly rose and the labels were guided worse.
"""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.problem import Choice, FoodProblem
from terrain_fuel.food.sizes import tells_foods_apart
from terrain_fuel.food.ways import Bands, Ways, bands_below, widest
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray

MOST_AT_ONCE = 200_000
"""Numbers that are added and compared at once: more would no longer stay in the cache."""


@dataclass(frozen=True, slots=True, eq=False)
class ToGo:
    """The least cost to the finish, by place, item eaten last and grams eaten, gaps too long not charged.

    ``after[i + 1, item, g]``: on from place i, the bite there behind; row 0 is the start.
    ``eating[j, item, g]``: from place j, the bite there included, ``item`` the one before it.
    Item m stands for nothing eaten yet. ``over[i + 1, bites]``: what the gaps that are too long
    must cost on from place i with so many bites left. ``price`` is what a portion of each item
    is charged.
    With ``over_gap`` any gap is allowed. Unless ``apart`` the bound does not tell items apart.
    """

    after: FloatArray
    eating: FloatArray
    over: FloatArray
    price: FloatArray
    ways: Ways
    over_gap: bool
    apart: bool

    def root(self, problem: FoodProblem) -> float:
        """Return the lower bound on the whole problem."""
        bites = bites_left(problem, self, problem.stock.sum(), np.zeros(1))
        over = float(self.over[0, bites[0]])
        return float(self.after[0, -1, 0]) - float(np.dot(self.price, problem.stock)) + over


def bound_below(
    problem: FoodProblem, price: FloatArray, over_gap: bool, below: float = np.inf
) -> ToGo:
    """Return the least cost to go from everywhere, portions charged at ``price``.

    ``over_gap`` also allows gaps longer than the rider's longest; as every place is then within
    reach of every other, what was eaten before is left out of the bound too, as where foods are too many.
    It may be inf where every plan that comes by costs more than ``below``.
    """
    ways = Ways.of(problem, over_gap)
    charged = problem.node_cost + _charge(problem, price)
    apart = not over_gap and tells_foods_apart(problem)
    bands = Bands.whole(problem.places, ways.curve.shape[1])
    if apart and np.isfinite(below):
        after, eating = _count_back(problem, ways, charged, bands, rows=1)
        limit = below + float(np.dot(price, problem.stock))
        bands = bands_below(problem, ways, charged, after[:, 0], eating[:, 0], limit)
    after, eating = _count_back(problem, ways, charged, bands, rows=problem.stock.size + 1 if apart else 1)
    if not apart:
        after = np.broadcast_to(after, (after.shape[0], problem.stock.size + 1, after.shape[2]))
        eating = np.broadcast_to(eating, (eating.shape[0], problem.stock.size + 1, eating.shape[2]))
    over = _least_over_cost(problem, ways.over_cost, over_gap)
    return ToGo(after, eating, over, price, ways, over_gap, apart)


def _count_back(
    problem: FoodProblem, ways: Ways, charged: FloatArray, bands: Bands, *, rows: int
) -> tuple[FloatArray, FloatArray]:
    """Return the least to come behind each bite and from each bite on, within the bands, else inf.

    With one row foods are not told apart; with one more than there are foods the last is for nothing eaten.
    """
    places, grams = problem.places, ways.curve.shape[1]
    after = np.full((places + 1, rows, grams), np.inf)
    eating = np.full((places, rows, grams), np.inf)
    onward = np.full((places + 1, rows, grams), np.inf)  # from arriving at a place on, with the curve up to it
    onward[places] = ways.curve[places]
    beyond, beyond_from = np.full((rows, grams), np.inf), places + 1
    bites = _Eating(problem, charged, rows, grams)
    width = int(np.mean(np.maximum(bands.before[:, 1] - bands.before[:, 0], 1))) if places else 1
    for first, end in reversed([(-1, 0), *ways.rounds(max(1, MOST_AT_ONCE // (rows**2 * width)))]):
        here = slice(first + 1, end + 1)
        within = widest(bands.after[here])
        if within.start >= within.stop:
            continue
        until = int(ways.near[end])
        least = _least_on(onward[end:until, :, within], ways.near_arcs[here, end:until])
        for row in np.flatnonzero(np.isfinite(ways.far_cost[here]))[::-1].tolist():
            while beyond_from > ways.near[first + 1 + row]:
                beyond_from -= 1
                np.minimum(beyond, onward[beyond_from], out=beyond)
            np.minimum(least[row], beyond[:, within] + ways.far_cost[first + 1 + row], out=least[row])
        if first >= 0:
            least -= ways.left[first:end, None, within]
        after[here, :, within] = least
        within = widest(bands.before[first:end]) if first >= 0 else slice(0, 0)
        if within.start < within.stop:
            bites.at(slice(first, end), after[here], within, out=eating[first:end, :, within])
            np.add(
                eating[first:end, :, within], ways.curve[first:end, None, within],
                out=onward[first:end, :, within],
            )  # fmt: skip
    return after, eating


def _least_on(onward: FloatArray, arcs: FloatArray) -> FloatArray:
    """Return the least over the ways on from each of some rows, all at once only where they stay in the cache.

    Parameters
    ----------
    onward : (ways, foods, grams)
    arcs : what leads to each way, shape (rows, ways)

    Returns
    -------
    array, shape (rows, foods, grams)
    """
    flat = onward.reshape(onward.shape[0], onward.shape[1] * onward.shape[2])
    if arcs.shape[0] * flat.size <= MOST_AT_ONCE:
        least = np.min(flat + arcs[..., None], axis=1, initial=np.inf)
    else:
        least = np.full((arcs.shape[0], flat.shape[1]), np.inf)
        one_way = np.empty_like(least)
        for way in np.flatnonzero(np.isfinite(arcs).any(axis=0)).tolist():
            np.add(flat[way], arcs[:, way, None], out=one_way)
            np.minimum(least, one_way, out=least)
    return np.asarray(least.reshape(arcs.shape[0], *onward.shape[1:]))


def _charge(problem: FoodProblem, price: FloatArray) -> FloatArray:
    """Return what each option is charged at each place: nothing where a stop hands it over."""
    portions = price[problem.option_item] * problem.option_portions
    return np.where(problem.drawn, portions[None, :], 0.0)


class _Eating:
    """What a bite costs and leads to, for some places after others.

    The options stand in rows, each with one of every item, so that whole rows are compared; where an
    item has fewer, an option that is charged infinitely stands in.
    """

    def __init__(self, problem: FoodProblem, charged: FloatArray, rows: int, grams: int) -> None:
        items = max(rows - 1, 1)
        item = problem.option_item if rows > 1 else np.zeros(problem.option_g.size, dtype=np.int64)
        fits = np.flatnonzero(problem.option_whole < grams)
        nth = np.array([np.sum(item[fits[:at]] == item[option]) for at, option in enumerate(fits)], dtype=int)
        option = np.full((int(nth.max(initial=0)) + 1, items), -1)
        option[nth, item[fits]] = fits
        self.whole = np.append(problem.option_whole, 0)[option]
        self.item = np.arange(items)
        never = np.full((charged.shape[0], 1), np.inf)
        self.charged = np.concatenate((charged, never), axis=1)[:, option, None]
        self.pair_cost = np.moveaxis(problem.pair_cost, 2, 0)[..., None] if rows > 1 else None

    def at(self, places: slice, after: FloatArray, within: slice, out: FloatArray) -> None:
        """Fill ``out`` with the least over the options of a bite and what follows it, within some grams.

        Shapes (places, rows, grams): by item and grams before the bite, like ``after`` by those behind it,
        however many. With one row only items are not told apart.
        """
        width, most = within.stop - within.start, int(self.whole.max(initial=0))
        later = np.full((*after.shape[:2], width + most), np.inf)
        known = after[..., within.start : within.stop + most]
        later[..., : known.shape[2]] = known
        from_g = np.lib.stride_tricks.sliding_window_view(later, width, axis=2)
        options = from_g[:, self.item, self.whole]
        options += self.charged[places]
        best = np.min(options, axis=1)
        if self.pair_cost is not None:
            np.min(self.pair_cost[places] + best[:, None], axis=2, out=out[:, :-1])
        np.min(best, axis=1, out=out[:, -1])


def _least_over_cost(problem: FoodProblem, over_cost: FloatArray, over_gap: bool) -> FloatArray:
    """Return what gaps that are too long must cost with so many bites left, shape (n + 1, bites + 1).

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
    if not over_gap:
        fewest = _fewest_bites(np.isfinite(step), free)
        return np.where(np.arange(most + 1) < fewest[:, None], np.inf, 0.0)
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


def _fewest_bites(leads: BoolArray, free: BoolArray) -> IntArray:
    """Return how many bites the way to the finish takes at the least from each row, shape (n + 1,).

    ``leads`` are the gaps that may be, in the shape of ``arc_cost``; a bite at a ``free`` place is not counted.
    """
    finish = free.size
    endless = np.iinfo(np.int64).max // 2
    fewest = np.full(finish + 1, endless)
    with_bite = np.full(finish + 1, endless)
    with_bite[finish] = 0
    for row in range(finish, -1, -1):
        fewest[row] = np.min(with_bite[row:], initial=endless, where=leads[row, row:])
        if row:
            with_bite[row - 1] = fewest[row] + (0 if free[row - 1] else 1)
    return fewest


def bites_left(problem: FoodProblem, to_go: ToGo, portions: IntArray, drawn_g: FloatArray) -> IntArray:
    """Return how many more bites the stock allows at the most, as columns of ``to_go.over``."""
    least_g = float(np.min(problem.option_g, initial=np.inf))
    by_grams = np.floor((problem.stock_g - drawn_g) / max(least_g, 0.1) + 1e-9)
    most = to_go.over.shape[1] - 1
    return np.asarray(np.clip(np.minimum(portions, by_grams), 0, most), dtype=np.int64)


def relaxed_plan(problem: FoodProblem, to_go: ToGo) -> tuple[Choice, ...]:
    """Return the best plan of the easier problem; it may overdraw the stock and the hour."""
    choices: list[Choice] = []
    curve, reach = to_go.ways.curve, to_go.ways.reach
    place, item, whole = -1, problem.stock.size, 0
    while True:
        first, until = place + 1, int(reach[place + 1])
        here = slice(first, min(until, problem.places))
        ways = to_go.eating[here, item, whole] + curve[here, whole]
        if until > problem.places:
            ways = np.append(ways, curve[problem.places, whole])
        ways = ways + to_go.ways.arcs[place + 1, first:until]
        place = first + int(np.argmin(ways))
        if place == problem.places:
            return tuple(choices)
        option = _best_option(problem, to_go, place, item, whole)
        item = int(problem.option_item[option])
        whole += int(problem.option_whole[option])
        choices.append((place, option))


def _best_option(problem: FoodProblem, to_go: ToGo, place: int, item: int, whole: int) -> int:
    after_g = whole + problem.option_whole
    fits = after_g < to_go.ways.curve.shape[1]
    cost = problem.node_cost[place] + _charge(problem, to_go.price)[place]
    if item < problem.stock.size and to_go.apart:
        cost = cost + problem.pair_cost[item, problem.option_item, place]
    after = to_go.after[place + 1, problem.option_item, np.where(fits, after_g, 0)]
    return int(np.argmin(np.where(fits, cost + after, np.inf)))
