"""The same food problem as an integer program for HiGHS: the outside check of the label search."""

from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_matrix

from terrain_fuel.food.problem import (
    AHEAD_COST_PER_G_H,
    BEHIND_COST_PER_G_H,
    FREE_G,
    HOUR_S,
    Choice,
    FoodProblem,
)


@dataclass(frozen=True)
class Proof:
    """What HiGHS holds: a plan or None, its cost, the bound it has proven and whether they meet."""

    choices: tuple[Choice, ...] | None
    cost: float
    bound: float
    optimal: bool


@dataclass
class _Rows:
    """A linear program under construction: columns with costs, rows with limits."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    binary: list[int] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def column(self, cost: float, upper: float = 1.0, *, binary: bool = False) -> int:
        self.cost.append(cost)
        self.upper.append(upper)
        self.binary.append(int(binary))
        return len(self.cost) - 1

    def row(self, terms: list[tuple[int, float]], low: float, high: float) -> None:
        if terms:
            self.entries.extend((len(self.low), column, value) for column, value in terms)
            self.low.append(low)
            self.high.append(high)


def solve_with_highs(problem: FoodProblem, time_limit_s: float, *, over_gap: bool = False) -> Proof:
    """Return what HiGHS finds for a food problem in the given time.

    A bite at place j of option o is a binary. Two flows of one unit go from start to finish:
    one over the gaps between bites, one that carries the item eaten last.
    """
    rows = _Rows()
    bites = _bites(rows, problem)
    _gap_flow(rows, problem, bites, over_gap)
    _item_flow(rows, problem, bites)
    _curve(rows, problem, bites)
    _limits(rows, problem, bites)
    entries = np.array(rows.entries)
    places = (entries[:, 0].astype(np.int64), entries[:, 1].astype(np.int64))
    matrix = coo_matrix((entries[:, 2], places), shape=(len(rows.low), len(rows.cost))).tocsr()
    result = milp(
        np.array(rows.cost),
        constraints=LinearConstraint(matrix, np.array(rows.low), np.array(rows.high)),
        bounds=Bounds(0.0, np.array(rows.upper)),
        integrality=np.array(rows.binary),
        options={"time_limit": time_limit_s, "mip_rel_gap": 1e-7},
    )
    bound = -np.inf if result.mip_dual_bound is None else float(result.mip_dual_bound)
    if result.x is None:
        return Proof(None, np.inf, bound, False)
    chosen = tuple(sorted(key for key, column in bites.items() if result.x[column] > 0.5))
    return Proof(chosen, float(result.fun), bound, bool(result.status == 0))


def _bites(rows: _Rows, problem: FoodProblem) -> dict[Choice, int]:
    return {
        (int(place), int(option)): rows.column(float(problem.node_cost[place, option]), binary=True)
        for place, option in np.argwhere(np.isfinite(problem.node_cost))
    }


def _at_place(bites: dict[Choice, int], place: int) -> list[int]:
    return [column for (at, _), column in bites.items() if at == place]


def _gap_flow(rows: _Rows, problem: FoodProblem, bites: dict[Choice, int], over_gap: bool) -> None:
    finish = problem.places
    after_s = np.append(problem.clock_s, problem.end_s)
    into: dict[int, list[tuple[int, float]]] = {}
    out: dict[int, list[tuple[int, float]]] = {}
    for before, after in np.argwhere(np.isfinite(problem.arc_cost)):
        backwards = after < before
        if backwards or (after_s[after] > problem.until_s[before] + 1e-6 and not over_gap):
            continue
        column = rows.column(float(problem.arc_cost[before, after]))
        into.setdefault(int(after), []).append((column, 1.0))
        out.setdefault(int(before) - 1, []).append((column, 1.0))
    rows.row(out.get(-1, []), 1.0, 1.0)
    rows.row(into.get(finish, []), 1.0, 1.0)
    for place in range(finish):
        eaten = [(column, -1.0) for column in _at_place(bites, place)]
        rows.row(into.get(place, []) + eaten, 0.0, 0.0)
        rows.row(out.get(place, []) + eaten, 0.0, 0.0)


def _item_flow(rows: _Rows, problem: FoodProblem, bites: dict[Choice, int]) -> None:
    items = problem.stock.size
    carried = [rows.column(0.0, upper=0.0) for _ in range(items)]
    carried.append(rows.column(0.0))  # nothing eaten yet
    rows.row([(carried[items], 1.0)], 1.0, 1.0)
    for place in range(problem.places):
        here: dict[int, list[int]] = {}
        for (at, option), column in bites.items():
            if at == place:
                here.setdefault(int(problem.option_item[option]), []).append(column)
        if not here:
            continue
        later = [rows.column(0.0) for _ in range(items + 1)]
        leave: dict[int, list[tuple[int, float]]] = {}
        arrive: dict[int, list[tuple[int, float]]] = {}
        for before in range(items + 1):
            for item in here:
                pair = 0.0 if before == items else float(problem.pair_cost[before, item, place])
                change = rows.column(pair)
                leave.setdefault(before, []).append((change, 1.0))
                arrive.setdefault(item, []).append((change, 1.0))
        for item in range(items + 1):
            stays = [(later[item], -1.0), (carried[item], 1.0)]
            moved = [(c, -v) for c, v in leave.get(item, [])] + arrive.get(item, [])
            rows.row(stays + moved, 0.0, 0.0)
            rows.row([(carried[item], 1.0)] + [(c, -v) for c, v in leave.get(item, [])], 0.0, 1.0)
        for item, columns in here.items():
            rows.row(arrive[item] + [(column, -1.0) for column in columns], 0.0, 0.0)
        carried = later


def _curve(rows: _Rows, problem: FoodProblem, bites: dict[Choice, int]) -> None:
    for piece in range(problem.need_g.size):
        step_h, need_g = float(problem.step_h[piece]), float(problem.need_g[piece])
        eaten = [
            (column, float(problem.option_whole[option]))
            for (at, option), column in bites.items()
            if problem.pieces_before[at] <= piece
        ]
        behind = rows.column(BEHIND_COST_PER_G_H * step_h, np.inf)
        ahead = rows.column(AHEAD_COST_PER_G_H * step_h, np.inf)
        rows.row([*eaten, (behind, 1.0)], need_g - FREE_G, np.inf)
        rows.row([*eaten, (ahead, -1.0)], -np.inf, need_g + FREE_G)


def _limits(rows: _Rows, problem: FoodProblem, bites: dict[Choice, int]) -> None:
    for item in range(problem.stock.size):
        used = [
            (column, float(problem.option_portions[option]))
            for (place, option), column in bites.items()
            if problem.option_item[option] == item and problem.drawn[place, option]
        ]
        rows.row(used, 0.0, float(problem.stock[item]))
    grams = {key: float(problem.option_g[key[1]]) for key in bites}
    rows.row([(bites[key], g) for key, g in grams.items() if problem.drawn[key]], 0.0, problem.stock_g + 1e-9)
    caffeine = [(column, float(problem.option_caffeine_mg[option])) for (_, option), column in bites.items()]
    rows.row(caffeine, 0.0, problem.caffeine_mg_max + 1e-9)
    for place in range(problem.places):
        now_s = problem.clock_s[place]
        hour = [
            (bites[key], g) for key, g in grams.items()
            if now_s - HOUR_S <= problem.clock_s[key[0]] <= now_s
        ]  # fmt: skip
        here = [(column, 1.0) for column in _at_place(bites, place)]
        if here:
            # the limit binds only where a bite is eaten; elsewhere the hour before may be fuller
            spare = sum(g for _, g in hour)
            relaxed = [(c, spare) for c, _ in here]
            rows.row(hour + relaxed, 0.0, float(problem.room_g[place]) + spare + 1e-9)
