"""The placement of food as one optimisation in plain numbers.

A plan is a row of bites, each a (place, option) pair, an option being some portions of an item.
Its cost adds up

- ``node_cost[place, option]``: -weight ln(score) over the place and item rules;
- ``arc_cost[before + 1, place]``: the same for the gap from the bite before; row 0 is the start,
  column n the finish; a gap longer than the rider's longest costs 100 more, 100 a minute and 5 a
  minute squared, so that it is taken only where nothing else is possible, and then little and evenly;
- ``pair_cost[item before, item, place]``: the same for what was eaten before;
- the curve: in every short piece of the ride, its time times what the food eaten is away from the
  food needed, beyond a few free grams; the pieces do not depend on which places are looked at.

Scores multiply, so their logarithms add, and everything is linear in the choices: the same
numbers go to the labels of labels.py and to an integer program. Hard limits: stock,
carbohydrate kept back, food in any 60 min, caffeine, the shortest gap.

The curve counts whole grams a bite (half a gram of rounding, far below what a label promises), on days
without end whole steps of a few grams; limits count the exact ones.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.rules.road import IntArray
from terrain_fuel.work import Work

OVER_GAP_COST = 100.0
OVER_GAP_COST_PER_MIN = 100.0
OVER_GAP_COST_PER_MIN2 = 5.0
HOUR_S = 3600.0
EPS = 1e-9
"""Costs, grams and seconds that differ by less are equal."""

FREE_G = 3.0
BEHIND_COST_PER_G_H = 0.25
AHEAD_COST_PER_G_H = 0.06
MILESTONE_COUNTS_H = 0.75
"""How the curve is weighed: being behind costs more, for it cannot be caught up: common practice
(no source). Within the free grams either way, together about a bite, it costs nothing. Half-time
and the finish count like three quarters of an hour each, so that both are met."""

AT_ONCE = 32
"""Pieces of the curve taken together: few enough to stay in the cache."""

AMPLE_G = 60.0
"""No plan eats more than this above what is needed."""

Choice = tuple[int, int]
"""A place and an option."""


@dataclass(frozen=True, slots=True, eq=False)
class FoodProblem:
    """One placement in numbers: n places in time order, k options, m items, r pieces of the curve.

    Parameters
    ----------
    clock_s : (n,) clock time at each place [s], rising
    end_s : when the last gap ends [s]
    node_cost : (n, k), inf where forbidden
    arc_cost : (n + 1, n + 1), inf where not allowed at all
    pair_cost : (m, m, n)
    option_item, option_portions, option_whole : (k,) integers; the last in rows of the curve
    option_g, option_caffeine_mg : (k,) exact [g, mg]
    drawn : (n, k) False where a stop hands the food over
    stock : (m,) portions that may be planned
    stock_g : carbohydrate that may be taken from the stock [g]
    need_g : (r,) food wanted in each piece of the curve [g]
    step_h : (r,) weight of each piece [h]
    pieces_before : (n + 1,) how many pieces lie before each place and before the finish
    pieces_left : (n + 1,) how many lie before each place is left behind; the same unless places are slots
    hour_from_s : (n,) bites from then on count in the hour up to a bite there [s]
    room_g : (n,) most food in the 60 min up to and including a bite there [g]
    caffeine_mg_max : for the ride [mg]
    shortest_gap_s, longest_gap_s : between bites [s]
    until_s : (n + 1,) by when the next bite must come, from the start and from each place, rising [s]: the
        longest gap later, or more where drink brings carbohydrate in between
    forced : places where every plan eats; no arc passes over them
    row_g : what a row of the curve stands for [g]
    work : where what is done for the problem is counted
    """

    clock_s: FloatArray
    end_s: float
    node_cost: FloatArray
    arc_cost: FloatArray
    pair_cost: FloatArray
    option_item: IntArray
    option_portions: IntArray
    option_whole: IntArray
    option_g: FloatArray
    option_caffeine_mg: FloatArray
    drawn: BoolArray
    stock: IntArray
    stock_g: float
    need_g: FloatArray
    step_h: FloatArray
    pieces_before: IntArray
    pieces_left: IntArray
    hour_from_s: FloatArray
    room_g: FloatArray
    caffeine_mg_max: float
    shortest_gap_s: float
    longest_gap_s: float
    until_s: FloatArray
    forced: tuple[int, ...] = ()
    row_g: int = 1
    work: Work = field(default_factory=Work)

    @property
    def places(self) -> int:
        """Number of places."""
        return int(self.clock_s.size)

    @property
    def most_whole(self) -> int:
        """The most that any plan eats, in rows: 60 g above the need, or above one large bite a gap."""
        bites = self.end_s / self.longest_gap_s
        single = self.option_whole[self.option_portions == 1]
        forced = bites * float(single.max(initial=0))
        return int(max(float(self.need_g.max(initial=0.0)) / self.row_g, forced) + AMPLE_G / self.row_g)


def over_gap_cost(over_s: FloatArray) -> FloatArray:
    """Return what a gap costs that is so much longer than the rider's longest; 0 within it."""
    over_min = over_s / 60.0
    cost = OVER_GAP_COST_PER_MIN2 * over_min  # in place from here on: on long days these are large
    cost += OVER_GAP_COST_PER_MIN
    cost *= over_min
    cost += OVER_GAP_COST
    cost[over_min <= 1e-9] = 0.0
    return cost


def over_gap_costs(problem: FoodProblem) -> FloatArray:
    """Return what each gap costs beyond the longest, in the shape of ``arc_cost``."""
    after_s = np.append(problem.clock_s, problem.end_s)
    return over_gap_cost(after_s[None, :] - problem.until_s[:, None])


def curve_cost(problem: FoodProblem) -> FloatArray:
    """Return the curve's cost summed up to each place with so many grams eaten since the start.

    Returns
    -------
    array, shape (n + 1, most grams + 1): entry [j, c] adds the pieces before place j, had c grams been
    eaten before each of them. A bite changes the row of grams; differences of two rows give the
    cost between two bites.
    """
    return _curves(problem)[0]


def curve_left(problem: FoodProblem) -> FloatArray:
    """Return the same up to where each place is left behind: `curve_cost` itself unless places are slots."""
    return _curves(problem)[-1]


@lru_cache(maxsize=1)
def _curves(problem: FoodProblem) -> list[FloatArray]:
    """Return the curve's cost up to each place, and up to where it is left if that is not the same."""
    ends = [problem.pieces_before]
    if not np.array_equal(problem.pieces_before, problem.pieces_left):
        ends.append(problem.pieces_left)
    eaten = problem.row_g * np.arange(problem.most_whole + 1, dtype=np.float64)
    tables = [np.zeros((pieces.size, eaten.size)) for pieces in ends]
    last = np.zeros(eaten.size)
    for start in range(0, problem.need_g.size, AT_ONCE):
        part = slice(start, start + AT_ONCE)
        summed = off_curve_cost(eaten[None, :] - problem.need_g[part, None])
        summed *= problem.step_h[part, None]
        summed[0] += last
        np.cumsum(summed, axis=0, out=summed)
        for table, pieces in zip(tables, ends, strict=True):
            here = slice(*np.searchsorted(pieces, (start, start + summed.shape[0]), side="right"))
            table[here] = summed[pieces[here] - start - 1]
        last = summed[-1]
    return tables


def off_curve_cost(off_g: FloatArray) -> FloatArray:
    """Return what an hour costs at so many grams above the need, negative below it."""
    behind = np.maximum(-off_g - FREE_G, 0.0) * BEHIND_COST_PER_G_H
    return behind + np.maximum(off_g - FREE_G, 0.0) * AHEAD_COST_PER_G_H


def judge(problem: FoodProblem, choices: Sequence[Choice], curve: FloatArray) -> tuple[float, str]:
    """Return the cost of a plan and the name of the first hard limit it breaks, "" if none.

    ``curve`` is the table of `curve_cost`.
    """
    return judge_each(problem, [choices], curve)[0]


def judge_each(
    problem: FoodProblem, plans: Sequence[Sequence[Choice]], curve: FloatArray
) -> list[tuple[float, str]]:
    """Return the same of each of some plans of as many bites."""
    place, option = _columns(plans)
    start, finish = np.full((len(plans), 1), -1), np.full((len(plans), 1), problem.places)
    stops = np.concatenate((start, place, finish), axis=1)
    whole = _summed_before(problem.option_whole[option])
    within = np.minimum(whole, curve.shape[1] - 1)
    cost = curve[stops[:, 1:], within].sum(axis=1) - curve[place, within[:, 1:]].sum(axis=1)
    arcs = problem.arc_cost[stops[:, :-1] + 1, stops[:, 1:]].sum(axis=1)
    cost += arcs + problem.node_cost[place, option].sum(axis=1)
    item = problem.option_item[option]
    cost += problem.pair_cost[item[:, :-1], item[:, 1:], place[:, 1:]].sum(axis=1)
    broken = _first_broken(problem, place, option)
    return [
        (np.inf, limit) if limit else (each, "") if np.isfinite(each) else (np.inf, "veto or shortest gap")
        for each, limit in zip(cost.tolist(), broken, strict=True)
    ]


def broken_limit(problem: FoodProblem, choices: Sequence[Choice]) -> str:
    """Return the name of the first limit that a row of bites breaks, "" if it keeps them all."""
    return _first_broken(problem, *_columns([choices]))[0]


def _columns(plans: Sequence[Sequence[Choice]]) -> tuple[IntArray, IntArray]:
    """Return places and options of plans of as many bites, each of shape (plans, bites)."""
    both = np.array(plans, dtype=np.int64).reshape(len(plans), -1, 2)
    return np.ascontiguousarray(both[..., 0]), np.ascontiguousarray(both[..., 1])


def _summed_before(each: NDArray[Any]) -> NDArray[Any]:
    """Return the sums of rows up to each column and of all, shape (rows, columns + 1)."""
    summed = np.zeros((each.shape[0], each.shape[1] + 1), dtype=each.dtype)
    np.cumsum(each, axis=1, out=summed[:, 1:])
    return summed


def _first_broken(problem: FoodProblem, place: IntArray, option: IntArray) -> list[str]:
    """Return the name of the first limit that each row of bites breaks, "" if it keeps them all."""
    drawn = problem.drawn[place, option]
    used = np.zeros((place.shape[0], problem.stock.size), dtype=np.int64)
    row = np.arange(place.shape[0])[:, None]
    np.add.at(used, (row, problem.option_item[option]), problem.option_portions[option] * drawn)
    grams = problem.option_g[option]
    eaten = _summed_before(grams)
    clock_s, hour_from_s = problem.clock_s[place], problem.hour_from_s[place]
    before = np.sum(clock_s[:, None, :] < hour_from_s[:, :, None], axis=2)
    in_hour_g = eaten[:, 1:] - np.take_along_axis(eaten, before, axis=1)
    caffeine_mg = problem.option_caffeine_mg[option].sum(axis=1)
    breaks = {
        "stock": np.any(used > problem.stock, axis=1),
        "reserve": np.where(drawn, grams, 0.0).sum(axis=1) > problem.stock_g + 1e-9,
        "amount": problem.option_whole[option].sum(axis=1) > problem.most_whole,
        "caffeine": caffeine_mg > problem.caffeine_mg_max + 1e-9,
        "carbohydrate in an hour": np.any(in_hour_g > problem.room_g[place] + 1e-9, axis=1),
    }
    return [next((name for name, broken in breaks.items() if broken[at]), "") for at in range(place.shape[0])]
