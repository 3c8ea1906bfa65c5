"""Many rides beside one plan of the same loop, in one run, and how chance shrinks with more of them."""

import time
from itertools import pairwise

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.pantry import Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Rider
from terrain_fuel.simulate import ride_many
from tests.demo import demo_route

SEEDS = range(40)


def main() -> None:
    """Print processor times of planning and riding, and the spread of the chance over seeds."""
    track, relief = demo_route("loop-120")
    started = time.process_time()
    plan = plan_ride(track, Rider(), Pantry(), Day(), relief)
    planned_s = time.process_time() - started
    print(f"120 km loop: plan_ride {planned_s:.2f} s of processor time")
    for rides in (250, 500, 1000, 2000):
        started = time.process_time()
        luck = ride_many(plan, rides, seed=1)
        took_s = time.process_time() - started
        print(
            f"{rides:>5} rides {took_s:5.2f} s, {took_s / planned_s:4.1f} plans;"
            f" all well {luck.all_well:.3f}, advice: {[advice.change for advice in luck.advice]}"
        )
    spreads = [np.std([ride_many(plan, rides, seed).all_well for seed in SEEDS]) for rides in (100, 200, 400)]
    ratios = [f"{(a / b) ** 2:.2f}" for a, b in pairwise(spreads)]
    print(f"variance of the chance over {len(SEEDS)} seeds, ratio each time the rides double: {ratios}")


if __name__ == "__main__":
    main()
