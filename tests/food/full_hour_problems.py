"""Small food problems in which nothing costs anything but gaps that are too long, seeded."""

import numpy as np

from terrain_fuel.food.problem import FoodProblem, over_gap_cost
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import IntArray

SHORTEST_S = 300.0


def made_problem(seed: int) -> FoodProblem:
    """Return a problem of 18 to 36 places whose hours have room for one to five bites."""
    rng = np.random.default_rng(seed)
    longest_s = 60.0 * float(rng.choice([15.0, 20.0, 25.0, 30.0]))
    end_s = 3600.0 * float(rng.uniform(1.5, 3.0))
    clock_s = np.sort(rng.uniform(600.0, end_s - 300.0, int(rng.integers(20, 36))))
    if rng.random() < 0.3:
        clock_s = np.arange(600.0, end_s - 300.0, 300.0)  # pairs of them stand just an hour apart
    grams = rng.choice(np.array([7.0, 10.0, 12.0, 14.0, 24.0]), int(rng.integers(1, 4)), replace=False)
    room_g = np.full(clock_s.size, float(rng.choice([24.0, 25.0, 30.0, 36.0])))
    if rng.random() < 0.6:
        room_g = rng.uniform(18.0, 40.0) + np.cumsum(rng.uniform(-1.5, 1.5, clock_s.size))
    until_s = np.append(0.0, clock_s) + longest_s
    if rng.random() < 0.4:  # drink feeds here and there
        until_s = np.maximum.accumulate(until_s + rng.choice([0.0, 0.0, 0.0, 600.0], until_s.size))
    scarce = rng.random() < 0.6
    stock = rng.integers(1, 9, grams.size) if scarce else np.full(grams.size, 30, dtype=np.int64)
    return problem_of(clock_s, end_s, grams, room_g, longest_s, until_s=until_s, stock=stock)


def scarce_problem(seed: int, handed_over_from: int | None = None) -> FoodProblem:
    """Return a problem of 13 places with few light bites and many heavy ones.

    From the place numbered ``handed_over_from`` on the light ones are handed over.
    """
    rng = np.random.default_rng(seed)
    clock_s = np.sort(rng.uniform(600.0, 8000.0, 13))
    room_g = np.full(13, float(rng.choice([30.0, 34.0, 36.0, 38.0])))
    grams = np.array([[10.0, 13.0], [10.0, 16.0], [7.0, 24.0]][int(rng.integers(3))])
    stock = np.array([int(rng.integers(1, 4)), 30])
    problem = problem_of(clock_s, 8400.0, grams, room_g, 1200.0, stock=stock)
    if handed_over_from is not None:
        problem.drawn[handed_over_from:, 0] = False
    return problem


def problem_of(
    clock_s: FloatArray,
    end_s: float,
    grams: FloatArray,
    room_g: FloatArray,
    longest_s: float,
    *,
    until_s: FloatArray | None = None,
    stock: IntArray | None = None,
) -> FoodProblem:
    """Return the problem of some places, each food one bite of so many grams."""
    places, foods = clock_s.size, grams.size
    before_s, after_s = np.append(0.0, clock_s), np.append(clock_s, end_s)
    until_s = before_s + longest_s if until_s is None else until_s
    arc_cost = over_gap_cost(after_s[None, :] - until_s[:, None])
    arc_cost[:, :places][after_s[None, :places] - before_s[:, None] < SHORTEST_S] = np.inf
    return FoodProblem(
        clock_s=clock_s, end_s=end_s, arc_cost=arc_cost, until_s=until_s, room_g=room_g,
        node_cost=np.zeros((places, foods)), pair_cost=np.zeros((foods, foods, places)),
        option_item=np.arange(foods), option_portions=np.ones(foods, dtype=np.int64),
        option_whole=np.rint(grams).astype(np.int64), option_g=grams, option_caffeine_mg=np.zeros(foods),
        drawn=np.ones((places, foods), dtype=bool),
        stock=np.full(foods, 30, dtype=np.int64) if stock is None else stock,
        stock_g=1e4, need_g=np.zeros(1), step_h=np.zeros(1), hour_from_s=clock_s - 3600.0,
        pieces_before=np.zeros(places + 1, dtype=np.int64),
        pieces_left=np.zeros(places + 1, dtype=np.int64),
        caffeine_mg_max=0.0, shortest_gap_s=SHORTEST_S, longest_gap_s=longest_s,
    )  # fmt: skip
