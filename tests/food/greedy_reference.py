"""Food placed window by window, each bite as good as can be and none looking ahead: what to beat."""

import numpy as np

from terrain_fuel.food.problem import Choice, FoodProblem, curve_cost, judge


def place_greedily(problem: FoodProblem) -> tuple[Choice, ...]:
    """Return a plan made one bite at a time.

    In the window that opens after the last bite and closes when the next must come, the bite is taken
    that is cheapest by its own scores, its gap and what it leaves of the curve until then, among
    those after which the plan so far keeps every limit.
    """
    choices: list[Choice] = []
    curve = curve_cost(problem)
    before = -1
    while True:
        now_s = 0.0 if before < 0 else float(problem.clock_s[before])
        until_s = float(problem.until_s[before + 1])
        if problem.end_s <= until_s:
            closing = float(problem.arc_cost[before + 1, problem.places])
            if problem.end_s - now_s <= 2 * problem.shortest_gap_s or not np.isfinite(closing):
                return tuple(choices)
        window = np.flatnonzero((problem.clock_s > now_s) & (problem.clock_s <= until_s))
        best, best_cost = None, np.inf
        for place in window.tolist():
            for option in np.flatnonzero(np.isfinite(problem.node_cost[place])).tolist():
                cost = _step_cost(problem, choices, before, place, option)
                if cost < best_cost and not judge(problem, [*choices, (place, option)], curve)[1]:
                    best, best_cost = (place, option), cost
        if best is None:
            return tuple(choices)
        choices.append(best)
        before = best[0]


def _step_cost(problem: FoodProblem, choices: list[Choice], before: int, place: int, option: int) -> float:
    cost = float(problem.node_cost[place, option] + problem.arc_cost[before + 1, place])
    if choices:
        last_item = problem.option_item[choices[-1][1]]
        cost += float(problem.pair_cost[last_item, problem.option_item[option], place])
    eaten = sum(int(problem.option_whole[o]) for _, o in choices) + int(problem.option_whole[option])
    off_g = eaten - float(problem.need_g[max(problem.pieces_before[place] - 1, 0)])
    return cost + 0.03 * max(abs(off_g) - 10.0, 0.0)
