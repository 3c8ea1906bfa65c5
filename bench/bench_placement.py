"""Food placement beside HiGHS on the same model, beside window by window, and by the clock."""

import argparse
import math
import time
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.place import place_food
from terrain_fuel.food.problem import OVER_GAP_COST, FoodProblem
from terrain_fuel.food.refine import refine
from terrain_fuel.food.solve import BEAM, Solution, solve_food
from terrain_fuel.food.whole import whole_bound
from terrain_fuel.pantry import DEFAULT_ITEMS, WATER, Item, Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Habits, Rider
from tests.food.greedy_reference import place_greedily
from tests.food.made_problems import made_case, made_task
from tests.food.milp_reference import solve_with_highs
from tests.food.pricing import cost_of, eaten_by_item
from tests.food.roads import HILLY_LOOP, Ridden, ride
from tests.made_roads import Road, make_track

SMALL_CASES, LARGE_CASES, FINER_CASES = 50, 10, 20
SMALL_LIMIT_S, LARGE_LIMIT_S = 120.0, 60.0
EQUAL, NEAR = 1e-6, 0.01
BROKEN_SEEDS = range(100, 140)
FEW_FOODS = (
    Item("oat slice", "solid", 20.0, count=8, portions=2),
    Item("dried fig", "solid", 14.0, count=12),
    Item("gel", "gel", 24.0, count=10),
    Item("chews", "chew", 12.0, count=14),
)
REPEATS = 7


def main() -> None:
    """Print how many optima are met, what HiGHS holds on full rides, what greed costs, and times."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=LARGE_LIMIT_S, help="for HiGHS on a full ride")
    small = [made_task(s, hours=1.0 + 0.15 * (s % 8), foods=3 + s % 4).problem for s in range(SMALL_CASES)]
    large = [
        made_task(1000 + s, hours=4.0 + 4.0 * s / 9, foods=6 + s % 4).problem for s in range(LARGE_CASES)
    ]
    beside_proofs(small)
    beside_incumbents(large, parser.parse_args().seconds)
    beside_greed([*small, *large])
    on_finer_places()
    where_gaps_break()
    by_the_clock()
    one_bar_fewer()


def solved(problem: FoodProblem) -> tuple[Solution, float]:
    """Return the solution and the processor time it took [s]."""
    begun = time.process_time()
    solution = solve_food(problem)
    assert solution is not None
    return solution, time.process_time() - begun


def beside_proofs(problems: list[FoodProblem]) -> None:
    """Print in how many small cases the proven optimum is met, and how much faster."""
    equal = near = proven = own_proofs = 0
    ours_s = theirs_s = 0.0
    for problem in problems:
        solution, took_s = solved(problem)
        begun = time.process_time()
        proof = solve_with_highs(problem, SMALL_LIMIT_S, over_gap=solution.over_gap)
        theirs_s += time.process_time() - begun
        ours_s += took_s
        if not proof.optimal:
            continue
        proven += 1
        off = solution.cost / proof.cost - 1
        equal += off <= EQUAL
        near += off <= NEAR
        own_proofs += solution.lower_bound >= solution.cost * (1 - 1e-3)
    places = [problem.places for problem in problems]
    print(f"{len(problems)} small cases, {min(places)} to {max(places)} places; HiGHS proves {proven}")
    print(f"  the optimum itself in {equal}, within 1 % in {near}; proven by our own bound in {own_proofs}")
    print(f"  {1000 * ours_s / len(problems):.0f} ms a case, HiGHS {theirs_s / ours_s:.0f} times as long")


def beside_incumbents(problems: list[FoodProblem], limit_s: float) -> None:
    """Print what HiGHS holds on full-size rides when its time is up."""
    print(f"{len(problems)} full rides of four to eight hours, HiGHS stopped after {limit_s:.0f} s")
    not_worse = 0
    for problem in problems:
        solution, took_s = solved(problem)
        proof = solve_with_highs(problem, limit_s, over_gap=solution.over_gap)
        bound = max(solution.lower_bound, proof.bound)
        not_worse += solution.cost <= proof.cost * (1 + EQUAL)
        print(
            f"  {problem.places:3d} places, {problem.option_item.size:2d} options: {solution.cost:9.3f} in"
            f" {1000 * took_s:5.0f} ms, own bound {solution.lower_bound:9.3f}; HiGHS {proof.cost:9.3f},"
            f" bound {proof.bound:9.3f}; gap left {(solution.cost - bound) / solution.cost:6.2%}"
        )
    print(f"  never worse than HiGHS in {not_worse} of {len(problems)}")


def beside_greed(problems: list[FoodProblem]) -> None:
    """Print how much worse window-by-window placement scores on the same problems."""
    ratios, worse, broken = [], 0, 0
    for problem in problems:
        best, greedy = solved(problem)[0], cost_of(problem, place_greedily(problem))
        worse += greedy > best.cost * (1 + EQUAL)
        if greedy - best.cost > 50.0:
            broken += 1
        else:
            ratios.append(greedy / best.cost)
    print(f"Window by window: worse in {worse} of {len(problems)}; in {broken} it runs into a gap too long,")
    print(
        f"  in the others its cost is {np.median(ratios):.2f} times ours (median), {max(ratios):.2f} at most"
    )


def on_finer_places() -> None:
    """Print what finer places save, and how far any plan on any spot could still be better."""
    saved, gaps, coarse_s, finer_s, bound_s = [], [], 0.0, 0.0, 0.0
    for seed in range(FINER_CASES):
        road, task_of = made_case(2000 + seed, hours=2.0 + 0.5 * (seed % 10), foods=5 + seed % 4)
        task = task_of(None)
        solution, took_s = solved(task.problem)
        begun = time.process_time()
        _, finer = refine(road, task, solution, task_of, BEAM)
        middle = time.process_time()
        bound = whole_bound(road, task, finer.cost)
        coarse_s, finer_s, bound_s = (
            coarse_s + took_s, finer_s + middle - begun, bound_s + time.process_time() - middle,
        )  # fmt: skip
        saved.append(1.0 - finer.cost / solution.cost)
        gaps.append(1.0 - bound / finer.cost)
    print(f"{FINER_CASES} rides of 2 to 6.5 hours on finer places: {np.mean(saved):.1%} cheaper on")
    print(f"  average, {max(saved):.1%} at most; no plan on any spot can be better by more than")
    print(f"  {np.median(gaps):.0%} (median), {max(gaps):.0%} (worst); coarse search {coarse_s:.1f} s,")
    print(f"  finer places {finer_s:.1f} s, the bound {bound_s:.1f} s of processor time")


def where_gaps_break() -> None:
    """Print the stated gap of made days on which a longest gap must break, and what its bound takes."""
    print("Where a longest gap breaks: hours, objective, stated gap, the whole plan's processor time")
    gaps: list[float] = []
    for seed in BROKEN_SEEDS:
        road, rider, pantry = hungry_day(seed)
        begun = time.process_time()
        plan = plan_ride(make_track(road), rider, pantry, Day(temperature_c=18.0))
        took_s = time.process_time() - begun
        if plan.optimality.objective >= OVER_GAP_COST:
            gaps.append(plan.optimality.gap_share)
            print(
                f"  {seed}: {plan.pace.elapsed_s / 3600.0:4.1f} h {plan.optimality.objective:9.1f}"
                f" {gaps[-1]:6.1%} {took_s:5.2f} s"
            )
    print(f"  {len(gaps)} days: median {np.median(gaps):.1%}, worst {max(gaps):.1%}")


def hungry_day(seed: int) -> tuple[Road, Rider, Pantry]:
    """Return a made road, a rider whose gut takes little, and a kitchen of one to three foods."""
    rng = np.random.default_rng(seed)
    length_km = float(rng.uniform(40.0, 130.0))
    road = Road(
        length_km,
        hilliness=float(rng.choice([0.05, 0.08, 0.1])),
        bends=float(rng.choice([0.3, 0.6, 0.9])),
        hill_km=float(rng.choice([8.0, 16.0, 24.0])),
        taps=(length_km / 3, 2 * length_km / 3),
        seed=seed,
    )
    chosen = [FEW_FOODS[at] for at in rng.choice(len(FEW_FOODS), int(rng.integers(1, 4)), replace=False)]
    times = float(rng.choice([0.3, 0.6, 1.0, 2.0]))
    foods = [replace(item, count=max(1, int(item.count * times))) for item in chosen]
    every_min = float(rng.choice([15.0, 20.0, 25.0]))
    rider = Rider(
        ftp_w=float(rng.uniform(160.0, 260.0)),
        carbohydrate_limit_g_per_h=float(rng.choice([25.0, 35.0, 45.0, 60.0, 75.0])),
        habits=Habits(
            eat_every_min=every_min, longest_gap_min=every_min + float(rng.choice([0.0, 5.0, 10.0]))
        ),
    )
    drinks = [item for item in DEFAULT_ITEMS if not item.is_food] if rng.random() < 0.4 else [WATER]
    return road, rider, Pantry((*foods, *drinks))


def by_the_clock() -> None:
    """Print the time of whole placements, reasons and alternatives included."""
    loop = ride(HILLY_LOOP)
    for name, ridden, pantry in (
        ("120 km", loop, Pantry()),
        ("400 km", ride(HILLY_LOOP * 3 + HILLY_LOOP[:5]), plenty(4)),
    ):
        took_s = min(timed(ridden, pantry) for _ in range(REPEATS))
        plan = planned(ridden, pantry)
        print(
            f"{name}: {len(plan.bites)} bites in {1000 * took_s:.0f} ms of processor time,"
            f" no plan more than {plan.gap:.0%} better"
        )


def plenty(times: int) -> Pantry:
    """Return the default pantry with so many times the stock."""
    return Pantry(tuple(replace(item, count=times * item.count) for item in Pantry().items))


def planned(ridden: Ridden, pantry: Pantry, previous: FoodPlan | None = None) -> FoodPlan:
    """Return the food plan of a ride with a little drink."""
    road = ridden.drinking_g_per_h(12.0).road
    return place_food(road, pantry, ridden.rider, lump_g=3.0, previous=previous)


def timed(ridden: Ridden, pantry: Pantry) -> float:
    """Return the processor time of one placement [s]."""
    begun = time.process_time()
    planned(ridden, pantry)
    return time.process_time() - begun


def one_bar_fewer() -> None:
    """Print how many bites change when a pantry that just suffices loses one item of each kind in turn."""
    loop = ride(HILLY_LOOP)
    eaten = eaten_by_item(planned(loop, Pantry()))
    just = {i.name: math.ceil(eaten.get(i.name, 0) / i.portions) for i in Pantry().foods}
    spare = {"fig slice": 2, "dried pear": 1}
    counts = {name: count + spare.get(name, 0) for name, count in just.items()}
    before = planned(loop, stocked(counts))
    spots = {(bite.place, bite.item, bite.portions) for bite in before.bites}
    anew: list[int] = []
    close: list[int] = []
    for name in eaten_by_item(before):
        fewer = stocked({**counts, name: counts[name] - 1})
        for known, moved in ((None, anew), (before, close)):
            after = planned(loop, fewer, known)
            moved.append(len({(b.place, b.item, b.portions) for b in after.bites} - spots))
    print(f"One item fewer, {len(before.bites)} bites: planned anew {anew} of them change,")
    print(f"  staying close to the plan at hand {close}")


def stocked(counts: Mapping[str, int]) -> Pantry:
    """Return the default pantry with so many of each food."""
    return Pantry(tuple(replace(i, count=counts.get(i.name, i.count)) for i in Pantry().items))


if __name__ == "__main__":
    main()
