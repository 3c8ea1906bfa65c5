"""Solve a food problem: bound it, search just above the bound, and price the stock if it is scarce."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.bound import ToGo, bound_below, relaxed_plan
from terrain_fuel.food.labels import Found, LabelSearch
from terrain_fuel.food.problem import Choice, FoodProblem
from terrain_fuel.rules.road import IntArray

BEAM = 200
NARROW_BEAM = 20
WIDEST_BEAM = 1000
PATIENCE = 5
"""A search that must find some plan, or one around pins, may take so many times the usual work."""

NEAR_SHARES = (0.03, 0.12)
"""How far above the bound plans are looked for first, as shares of it: that near few labels
need to be kept, so the first searches take a fraction of a full one."""

OVER_GAP_SHARES = (0.5, 2.0)
"""... and then, where gaps must be too long: what those cost leaves the bound lower."""

PRICE_STEPS = 6
CLOSE_ENOUGH = 1e-3


@dataclass(frozen=True, slots=True)
class Solution:
    """A row of bites, its cost, what nothing can beat, and whether a longest gap had to be broken."""

    choices: tuple[Choice, ...]
    cost: float
    lower_bound: float
    over_gap: bool


def solve_food(problem: FoodProblem, beam: int = BEAM, *, quick: bool = False) -> Solution | None:
    """Return the best plan found and the bound on how good any plan can be; None if there is none.

    ``quick`` takes the first plan that a narrow search finds: enough to see whether one keeps the rules.

    Gaps longer than the rider's longest are tried only when no plan keeps within it; then only
    pins can leave nothing.
    """
    for over_gap in (False, True):
        to_go = bound_below(problem, np.zeros(problem.stock.size), over_gap)
        if np.isfinite(to_go.root(problem)):
            solution = _search(problem, to_go, beam, quick)
            if solution is not None:
                return solution
    return None


def improve(problem: FoodProblem, known: Solution, beam: int) -> Solution | None:
    """Return a cheaper plan than one known, with its bound as it was; None if none is found."""
    to_go = bound_below(problem, np.zeros(problem.stock.size), known.over_gap, below=known.cost)
    found = LabelSearch(problem, to_go, beam, known.cost - CLOSE_ENOUGH).run()
    if found.choices is None:
        return None
    return Solution(found.choices, found.cost, min(known.lower_bound, found.cost), known.over_gap)


def _search(problem: FoodProblem, to_go: ToGo, beam: int, quick: bool) -> Solution | None:
    """Search near the bound; failing that find any plan, price the stock, and search below that plan."""
    patience = PATIENCE if beam > BEAM else 1
    best = _near_bound(problem, to_go, beam, patience)
    near = best.choices is not None
    if not near:
        best = _any_plan(problem, to_go, beam)
    if best.choices is None:
        return None
    if quick:
        return Solution(best.choices, best.cost, to_go.root(problem), to_go.over_gap)
    if not near:
        to_go = _priced(problem, to_go, best)
        best = Found(best.choices, best.cost, -np.inf)
    proven = max(to_go.root(problem), min(best.lost_bound, best.cost))
    if proven < best.cost - CLOSE_ENOUGH:
        wide = LabelSearch(problem, to_go, beam, best.cost, patience=patience).run()
        proven = max(proven, min(wide.lost_bound, wide.cost))
        best = best if wide.choices is None else wide
    return Solution(best.choices or (), best.cost, min(proven, best.cost), to_go.over_gap)


def _near_bound(problem: FoodProblem, to_go: ToGo, beam: int, patience: int) -> Found:
    """Return the best plan that lies close above the bound, if there is one."""
    root = to_go.root(problem)
    found = Found(None, np.inf, np.inf)
    for share in (*NEAR_SHARES, *OVER_GAP_SHARES) if to_go.over_gap else NEAR_SHARES:
        if found.choices is None:
            limit = root + share * max(abs(root), 1.0)
            found = LabelSearch(problem, to_go, beam, limit, patience=patience).run()
    return found


def _any_plan(problem: FoodProblem, to_go: ToGo, beam: int) -> Found:
    """Return the plan of the narrowest beam that finds one."""
    found = Found(None, np.inf, -np.inf)
    for width in sorted({NARROW_BEAM, beam, max(beam, WIDEST_BEAM)}):
        if found.choices is None and found.lost_bound < np.inf:
            found = LabelSearch(problem, to_go, width, np.inf, patience=PATIENCE).run()
    return found


def _priced(problem: FoodProblem, to_go: ToGo, known: Found) -> ToGo:
    """Return the best bound that a few steps of raising the price of overdrawn items give.

    The step is Polyak's: the gap to a known plan over the square of what is overdrawn. An item that
    the known plan does not use up has no price: something else than the stock keeps it from there.
    """
    start = best = to_go
    price = to_go.price
    used_up = _drawn(problem, known.choices or ()) >= problem.stock
    for step in range(PRICE_STEPS):
        gap = known.cost - to_go.root(problem)
        in_vain = step >= PRICE_STEPS // 3 and best.price is start.price
        if (
            gap <= CLOSE_ENOUGH or in_vain
        ):  # where nothing is cheaper than the known plan, no plan is left here
            break
        over = _drawn(problem, relaxed_plan(problem, to_go)) - problem.stock
        over = np.where(used_up & ((over > 0) | (price > 0)), over, 0)
        if not over.any():
            break
        price = np.maximum(0.0, price + gap / float(np.dot(over, over)) * over)
        to_go = bound_below(problem, price, to_go.over_gap, below=known.cost, other=to_go)
        if to_go.root(problem) > best.root(problem):
            best = to_go
    return best


def _drawn(problem: FoodProblem, choices: tuple[Choice, ...]) -> IntArray:
    """Return the portions of each item that a row of bites takes from the stock."""
    place, option = np.array(choices, dtype=np.int64).reshape(-1, 2).T
    used = np.zeros(problem.stock.size, dtype=np.int64)
    portions = problem.option_portions[option] * problem.drawn[place, option]
    np.add.at(used, problem.option_item[option], portions)
    return used
