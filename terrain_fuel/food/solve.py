"""Solve a food problem: bound it, search just above the bound, and price the stock if it is scarce."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from terrain_fuel.food.bound import NearBound, ToGo, above, bound_below, keeps_gaps, relaxed_plan
from terrain_fuel.food.labels import Found, LabelSearch
from terrain_fuel.food.problem import Choice, FoodProblem
from terrain_fuel.food.sizes import is_much_to_count
from terrain_fuel.rules.road import IntArray

BEAM = 200
NARROW_BEAM = 20
WIDEST_BEAM = 1000
PATIENCE = 5
"""A search that must find some plan, or one around pins, may take so many times the usual work."""

NEAR_SHARES = (0.03, 0.12)
"""How far above the bound plans are looked for first, as shares of it: that near few labels
need to be kept, so the first searches take a fraction of a full one."""

ANY_SHARE = 0.3
"""Any plan is looked for within this first: most first plans lie there, and little beyond is looked at."""

FAR_SHARE = 1.0
"""How far above the bound a first plan is looked for where counting farther up takes long."""

PRICE_STEPS, MOST_IN_VAIN = 6, 2
CLOSE_ENOUGH = 1e-3


@dataclass(frozen=True, slots=True)
class Solution:
    """A row of bites, its cost, what nothing can beat, and whether a longest gap had to be broken."""

    choices: tuple[Choice, ...]
    cost: float
    lower_bound: float
    over_gap: bool


class FirstPlan:
    """The first plan that a search came upon, and where the search goes on from.

    ``near`` tells whether it lies close above the bound. The bound takes tens of megabytes: it is given away
    once, to whoever goes on, or let go of; asked for again it is counted again.
    """

    def __init__(
        self, problem: FoodProblem, found: Found, near: bool, to_go: ToGo, count: Callable[[], ToGo]
    ) -> None:
        self.problem, self.found, self.near = problem, found, near
        proven = min(to_go.root(problem), found.cost)
        self.solution = Solution(found.choices or (), found.cost, proven, to_go.over_gap)
        self._to_go: ToGo | None = to_go
        self._count = count

    def take_bound(self) -> ToGo:
        """Return the bound to go on from, and keep none."""
        to_go, self._to_go = self._to_go, None
        return self._count() if to_go is None else to_go

    def let_go(self) -> None:
        """Keep no bound: nobody means to go on from here."""
        self._to_go = None


def solve_food(problem: FoodProblem, beam: int = BEAM) -> Solution | None:
    """Return the best plan found and the bound on how good any plan can be; None if there is none."""
    first = first_plan(problem, beam)
    return None if first is None else better_plan(first, beam)


def first_plan(problem: FoodProblem, beam: int = BEAM) -> FirstPlan | None:
    """Return the first plan that a search near the bound comes upon, failing that any; None if there is none.

    Gaps longer than the rider's longest are tried only when no plan keeps within it; then only
    pins can leave nothing.
    """
    free, first = np.zeros(problem.stock.size), None
    if keeps_gaps(problem):
        whole = partial(bound_below, problem, free, over_gap=False)
        count = (lambda: NearBound(problem).up_to(FAR_SHARE)) if is_much_to_count(problem) else whole
        first = _first_below(problem, count, beam, else_count=whole)
    return first or _first_below(problem, partial(bound_below, problem, free, over_gap=True), beam)


def _first_below(
    problem: FoodProblem,
    count: Callable[[], ToGo],
    beam: int,
    *,
    else_count: Callable[[], ToGo] | None = None,
) -> FirstPlan | None:
    """Return the first plan that costs less than what a bound is counted up to, None if none is found.

    Where the bound has a limit and none is found below it, any plan above another bound does.
    """
    to_go = count()
    first, limited = None, to_go.below < np.inf
    if np.isfinite(to_go.root(problem)):
        found, near = _near_bound(problem, to_go, beam), True
        if found.choices is None:
            found, near = _any_plan(problem, to_go, beam), False
        first = None if found.choices is None else FirstPlan(problem, found, near, to_go, count)
    del to_go  # it is large, and so is the next
    if first is not None or else_count is None or not limited:
        return first
    return _first_of_any(problem, else_count, beam)


def _first_of_any(problem: FoodProblem, count: Callable[[], ToGo], beam: int) -> FirstPlan | None:
    """Return the first plan that a search comes upon wherever it lies, None if none is found."""
    to_go = count()
    if not np.isfinite(to_go.root(problem)):
        return None
    found = _any_plan(problem, to_go, beam)
    return None if found.choices is None else FirstPlan(problem, found, False, to_go, count)


def better_plan(first: FirstPlan, beam: int = BEAM) -> Solution:
    """Return the best plan that a search as wide as that for the first finds, the first if it finds none.

    Where the first lies far above the bound the stock is priced before.
    """
    problem, to_go, best = first.problem, first.take_bound(), first.found
    if not first.near:
        to_go = _priced(problem, to_go, best)
        best = Found(best.choices, best.cost, -np.inf)
    proven = max(to_go.root(problem), min(best.lost_bound, best.cost))
    if proven < best.cost - CLOSE_ENOUGH:
        wide = LabelSearch(problem, to_go, beam, best.cost, patience=_patience(beam)).run()
        proven = max(proven, min(wide.lost_bound, wide.cost))
        best = best if wide.choices is None else wide
    return Solution(best.choices or (), best.cost, min(proven, best.cost), to_go.over_gap)


def improve(problem: FoodProblem, known: Solution, beam: int) -> Solution | None:
    """Return a cheaper plan than one known, with its bound as it was; None if none is found."""
    to_go = bound_below(problem, np.zeros(problem.stock.size), known.over_gap, below=known.cost)
    found = LabelSearch(problem, to_go, beam, known.cost - CLOSE_ENOUGH).run()
    if found.choices is None:
        return None
    return Solution(found.choices, found.cost, min(known.lower_bound, found.cost), known.over_gap)


def _patience(beam: int) -> int:
    """Return how many times the usual work a search may take: more where pins leave few ways."""
    return PATIENCE if beam > BEAM else 1


def _near_bound(problem: FoodProblem, to_go: ToGo, beam: int) -> Found:
    """Return the best plan that lies close above the bound, if there is one."""
    root, patience = to_go.root(problem), _patience(beam)
    found = Found(None, np.inf, np.inf)
    for share in NEAR_SHARES:
        if found.choices is None:
            found = LabelSearch(problem, to_go, beam, above(root, share), patience=patience).run()
    return found


def _any_plan(problem: FoodProblem, to_go: ToGo, beam: int) -> Found:
    """Return the plan of the narrowest beam that finds one, not far above the bound if it can.

    Of a bound up to a limit only the narrowest is tried.
    """
    near = above(to_go.root(problem), ANY_SHARE)
    if near < to_go.below:
        found = LabelSearch(problem, to_go, NARROW_BEAM, near, patience=PATIENCE).run()
        if found.choices is not None:
            return found
    found = Found(None, np.inf, -np.inf)
    wider = {beam, max(beam, WIDEST_BEAM)} if to_go.below == np.inf else set()
    for width in sorted({NARROW_BEAM} | wider):
        if found.choices is None and found.lost_bound < np.inf:
            found = LabelSearch(problem, to_go, width, to_go.below, patience=PATIENCE).run()
    return found


def _priced(problem: FoodProblem, to_go: ToGo, known: Found) -> ToGo:
    """Return the best bound that a few steps of pricing overdrawn items give; two in vain end it.

    The step is Polyak's: the gap to a known plan over the square of what is overdrawn. An item that
    the known plan does not use up has no price: something else than the stock keeps it from there. A bound
    below half of what the plan costs is beyond help: gaps that are too long make up the rest.
    """
    best = to_go
    if to_go.root(problem) < known.cost / 2:
        return to_go
    price, in_vain = to_go.price, 0
    used_up = _drawn(problem, known.choices or ()) >= problem.stock
    for _ in range(PRICE_STEPS):
        gap = known.cost - to_go.root(problem)
        if gap <= CLOSE_ENOUGH or in_vain == MOST_IN_VAIN:  # nothing cheaper is left, or no price helps
            break
        over = _drawn(problem, relaxed_plan(problem, to_go)) - problem.stock
        over = np.where(used_up & ((over > 0) | (price > 0)), over, 0)
        if not over.any():
            break
        price = np.maximum(0.0, price + gap / float(np.dot(over, over)) * over)
        to_go = bound_below(problem, price, to_go.over_gap, below=known.cost, other=to_go)
        in_vain += 1
        if to_go.root(problem) > best.root(problem):
            best, in_vain = to_go, 0
    return best


def _drawn(problem: FoodProblem, choices: tuple[Choice, ...]) -> IntArray:
    """Return the portions of each item that a row of bites takes from the stock."""
    place, option = np.array(choices, dtype=np.int64).reshape(-1, 2).T
    used = np.zeros(problem.stock.size, dtype=np.int64)
    portions = problem.option_portions[option] * problem.drawn[place, option]
    np.add.at(used, problem.option_item[option], portions)
    return used
