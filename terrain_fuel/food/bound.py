"""What is still to be paid at the least: the bound that guides the labels and states the gap.

Leaving out the stock, the hour's limit and caffeine, the cheapest way on depends only on the
place of the last bite, its item and the grams eaten so far. Counted backwards from the finish it
is exact for that easier problem, so nothing can beat it in the real one. The stock comes back as
a price on each portion (Lagrangian relaxation): what is scarce is charged for, and the bound gets
back what the whole stock is worth. Pricing the hours too was tried and dropped: with bites of
half the hour's room the bound hardly rose and the labels were guided worse.
"""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.food.bands import Bands, bands_below
from terrain_fuel.food.counting import Table, count_back
from terrain_fuel.food.problem import Choice, FoodProblem, over_gap_costs
from terrain_fuel.food.sizes import tells_foods_apart
from terrain_fuel.food.ways import Ways, within_reach
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray

LEAST_BITE_G = 0.1
"""What bites bring at the least where they are counted by their grams [g]."""

APART_SHARE = 0.1
"""About how much higher the bound is that tells foods apart."""


@dataclass(frozen=True, slots=True, eq=False)
class ToGo:
    """The least cost to the finish, by place, item eaten last and grams eaten, gaps too long not charged.

    ``after`` at (i + 1, item, g): on from place i, the bite there behind; row 0 is the start.
    ``eating`` at (j, item, g): from place j, the bite there included, ``item`` the one before it.
    Item m stands for nothing eaten yet. ``over[i + 1, bites]``: what the gaps that are too long
    must cost on from place i with so many bites left. ``price`` is what a portion of each item
    is charged.
    With ``over_gap`` any gap is allowed. Of plans that cost more than ``below`` it may be inf.
    """

    after: Table
    eating: Table
    over: FloatArray
    price: FloatArray
    ways: Ways
    over_gap: bool
    below: float = np.inf

    @property
    def most_bites(self) -> int:
        """More bites left than this are not told apart."""
        return int(self.over.shape[1]) - 1

    def root(self, problem: FoodProblem) -> float:
        """Return the lower bound on the whole problem."""
        bites = bites_left(problem, self.most_bites, problem.stock.sum(), np.zeros(1))
        over = float(self.over[0, bites[0]])
        onward = float(self.after.at(0, problem.stock.size, 0))
        return onward - float(np.dot(self.price, problem.stock)) + over


def bound_below(
    problem: FoodProblem,
    price: FloatArray,
    over_gap: bool,
    *,
    below: float = np.inf,
    other: ToGo | None = None,
) -> ToGo:
    """Return the least cost to go from everywhere, portions charged at ``price``.

    ``over_gap`` also allows gaps longer than the rider's longest; as every place is then within
    reach of every other, what was eaten before is left out of the bound too, as where foods are too many.
    It may be inf where every plan that comes by costs more than ``below``. ``other`` is a bound of the same
    problem at other prices.
    """
    ways = Ways.of(problem, over_gap) if other is None else other.ways
    charged = problem.node_cost + _charge(problem, price)
    apart = not over_gap and tells_foods_apart(problem)
    bands = Bands.whole(problem.places, ways.curve.shape[1])
    if apart and np.isfinite(below):
        after, eating = count_back(problem, ways, charged, bands, apart=False)
        limit = below + float(np.dot(price, problem.stock))
        bands = bands_below(problem, ways, charged, after.whole(), eating.whole(), limit)
    after, eating = count_back(problem, ways, charged, bands, apart=apart)
    over = _over_to_go(problem, ways, over_gap, below) if other is None else other.over
    return ToGo(after, eating, over, price, ways, over_gap, below if apart else np.inf)


class NearBound:
    """The least cost to go from everywhere for plans that cost up to a share above their bound.

    Without prices, gaps no longer than the rider's longest. Where foods are many and the day is long that is
    a fraction of the work: what lies in that reach is guessed from the bound that does not tell foods apart,
    which is counted once for all shares. Of plans that cost more than ``known_cost`` nothing need be known.
    """

    def __init__(self, problem: FoodProblem, known_cost: float = np.inf) -> None:
        self.problem, self.known_cost = problem, known_cost
        self.apart = tells_foods_apart(problem)
        if not self.apart:
            self.as_one = bound_below(problem, np.zeros(problem.stock.size), over_gap=False, below=known_cost)
            return
        ways = Ways.of(problem, over_gap=False)
        whole = Bands.whole(problem.places, ways.curve.shape[1])
        after, eating = count_back(problem, ways, problem.node_cost, whole, apart=False)
        over = _over_to_go(problem, ways, over_gap=False)
        self.as_one = ToGo(after, eating, over, np.zeros(problem.stock.size), ways, over_gap=False)

    def up_to(self, share: float) -> ToGo:
        """Return the least cost to go for plans up to a share above their bound."""
        if not self.apart:
            return self.as_one
        problem, one = self.problem, self.as_one
        below = self._above(float(one.after.at(0, 0, 0)), APART_SHARE, share)
        while np.isfinite(below):
            after, eating = one.after.whole(), one.eating.whole()
            bands = bands_below(problem, one.ways, problem.node_cost, after, eating, below)
            counted = count_back(problem, one.ways, problem.node_cost, bands, apart=True)
            to_go = replace(one, after=counted[0], eating=counted[1], below=below)
            wanted = self._above(float(to_go.after.at(0, problem.stock.size, 0)), share)
            if wanted <= below:
                return to_go
            below = wanted
        return bound_below(problem, one.price, over_gap=False)

    def _above(self, bound: float, *shares: float) -> float:
        """Return what lies some shares above a bound, one on the other, or what is known if that is less."""
        for share in shares:
            bound = above(bound, share)
        return min(bound, self.known_cost)


def above(bound: float, share: float) -> float:
    """Return what lies a share above a bound."""
    return bound + share * max(abs(bound), 1.0)


def _charge(problem: FoodProblem, price: FloatArray) -> FloatArray:
    """Return what each option is charged at each place: nothing where a stop hands it over."""
    portions = price[problem.option_item] * problem.option_portions
    return np.where(problem.drawn, portions[None, :], 0.0)


def _over_to_go(problem: FoodProblem, ways: Ways, over_gap: bool, below: float = np.inf) -> FloatArray:
    """Return ``ToGo.over``; unless ``over_gap``, it is inf where so few bites cannot last to the finish.

    What costs no less than ``below`` may be more: no plan below it leads there.
    """
    if over_gap:
        return least_over_cost(problem, below=below)
    fewest = _fewest_bites(_to_food(problem, ways.arcs), _free(problem))
    return np.where(np.arange(_most_bites(problem) + 1) < fewest[:, None], np.inf, 0.0)


def keeps_gaps(problem: FoodProblem) -> bool:
    """Return whether places and stock allow any row of bites without a gap that is too long."""
    arcs = np.where(within_reach(problem), problem.arc_cost, np.inf)
    fewest = _fewest_bites(_to_food(problem, arcs), _free(problem))[0]
    bites = bites_left(problem, _most_bites(problem), problem.stock.sum(), np.zeros(1))[0]
    return bool(fewest <= bites)


def least_over_cost(problem: FoodProblem, most: int | None = None, below: float = np.inf) -> FloatArray:
    """Return what gaps that are too long must cost with so many bites left, shape (n + 1, bites + 1).

    A bite that a stop hands over is not counted. ``most`` bites are looked at, as many as may matter if not
    given; what costs no less than ``below`` may be more.
    """
    finish, free = problem.places, _free(problem)
    most = _most_bites(problem) if most is None else min(most, _most_bites(problem))
    step = over_gap_steps(problem)
    problem.work.add(finish**2 * (most + 1) // 2)
    least = np.full((finish + 1, most + 1), np.inf)
    with_bite = np.full((finish, most + 1), np.inf)
    for row in range(finish, -1, -1):
        least[row] = step[row, finish]
        ways = row + np.flatnonzero(step[row, row:finish] < below)
        if ways.size:
            least_on = np.min(with_bite[ways] + step[row, ways, None], axis=0)
            np.minimum(least[row], least_on, out=least[row])
        if row and free[row - 1]:
            with_bite[row - 1] = least[row]
        elif row:
            with_bite[row - 1, 1:] = least[row, :-1]
    return least


def over_gap_steps(problem: FoodProblem) -> FloatArray:
    """Return what each gap costs for being too long, inf where none may be, in the shape of ``arc_cost``."""
    cost = over_gap_costs(problem)
    cost[~_to_food(problem, problem.arc_cost)] = np.inf
    return cost


def _to_food(problem: FoodProblem, arcs: FloatArray) -> BoolArray:
    """Return which gaps that may be lead to something edible or to the finish, in the shape of ``arcs``."""
    leads = np.isfinite(arcs)
    leads[:, : problem.places] &= np.isfinite(problem.node_cost).any(axis=1)
    return leads


def _free(problem: FoodProblem) -> BoolArray:
    """Return at which places a stop hands something over."""
    return np.asarray(np.any(np.isfinite(problem.node_cost) & ~problem.drawn, axis=1))


def _most_bites(problem: FoodProblem) -> int:
    """Return with how many bites no gap need be too long."""
    return 2 * int(np.ceil(problem.end_s / problem.longest_gap_s)) + 2


def _fewest_bites(leads: BoolArray, free: BoolArray) -> IntArray:
    """Return how many bites the way to the finish takes at the least from each row, shape (n + 1,).

    ``leads`` are the gaps that may be, in the shape of ``arc_cost``; one at a ``free`` place does not count.
    """
    finish = free.size
    endless = np.iinfo(np.int64).max // 2
    barred = np.where(leads, 0, endless)
    fewest = np.full(finish + 1, endless)
    with_bite = np.full(finish + 1, endless)
    with_bite[finish] = 0
    for row in range(finish, -1, -1):
        fewest[row] = min(int((with_bite[row:] + barred[row, row:]).min()), endless)
        if row:
            with_bite[row - 1] = fewest[row] + (0 if free[row - 1] else 1)
    return fewest


def bites_left(
    problem: FoodProblem, most: int, portions: IntArray | np.int64, drawn_g: FloatArray | np.float64
) -> IntArray:
    """Return how many more bites the stock allows at the most, ``most`` where it allows more."""
    least_g = float(np.min(problem.option_g, initial=np.inf))
    by_grams = np.floor((problem.stock_g - drawn_g) / max(least_g, LEAST_BITE_G) + 1e-9)
    left = np.minimum(np.maximum(np.minimum(portions, by_grams), 0), most)
    return np.asarray(left, dtype=np.int64)


def relaxed_plan(problem: FoodProblem, to_go: ToGo) -> tuple[Choice, ...]:
    """Return the best plan of the easier problem; it may overdraw the stock and the hour.

    It ends where it can no longer be followed: far ends are counted together, and the one that was
    meant may lie outside the bands.
    """
    choices: list[Choice] = []
    curve, reach = to_go.ways.curve, to_go.ways.reach
    place, item, whole = -1, problem.stock.size, 0
    while True:
        first, until = place + 1, int(reach[place + 1])
        here = slice(first, min(until, problem.places))
        ways = to_go.eating.at(np.arange(here.start, here.stop), item, np.array(whole)) + curve[here, whole]
        if until > problem.places:
            ways = np.append(ways, curve[problem.places, whole])
        ways = ways + to_go.ways.arcs[place + 1, first:until]
        best = int(np.argmin(ways))
        place = first + best
        if place == problem.places or np.isinf(ways[best]):
            return tuple(choices)
        option = _best_option(problem, to_go, place, item, whole)
        item = int(problem.option_item[option])
        whole += int(problem.option_whole[option])
        choices.append((place, option))


def _best_option(problem: FoodProblem, to_go: ToGo, place: int, item: int, whole: int) -> int:
    after_g = whole + problem.option_whole
    fits = after_g < to_go.ways.curve.shape[1]
    cost = problem.node_cost[place] + _charge(problem, to_go.price)[place]
    if item < problem.stock.size and to_go.after.apart:
        cost = cost + problem.pair_cost[item, problem.option_item, place]
    after = to_go.after.at(place + 1, problem.option_item, np.where(fits, after_g, 0))
    return int(np.argmin(np.where(fits, cost + after, np.inf)))
