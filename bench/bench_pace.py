"""Pace against a general-purpose integrator on five roads of 120 km, side by side in one run."""

import time
from collections.abc import Callable
from functools import partial

import numpy as np

from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import set_pace
from tests.integrated_ride import ROADS, Case, integrate_ride

LENGTH_M = 120_000.0
REPEATS = 9


def main() -> None:
    """Print accuracy and speed-up on each road, then what pace and demand take together."""
    print(
        f"pace, {LENGTH_M / 1000:.0f} km at 10 m, against scipy solve_ivp (LSODA, rtol 1e-10);"
        f" processor time, ours the best of {REPEATS}"
    )
    for road in ROADS:
        case = road(LENGTH_M)
        ours_s, pace = best_time(partial(ride, case)), ride(case)
        begun = time.process_time()
        speed, clock = integrate_ride(case, pace, relative_tolerance=1e-10)
        theirs_s = time.process_time() - begun
        print(
            f"  {case.name:9s} time {100 * (pace.moving_time_s / clock[-1] - 1):+.4f} %"
            f"   largest speed difference {3.6 * np.abs(pace.speed_m_s - speed).max():.3f} km/h"
            f"   {1000 * ours_s:5.1f} ms against {1000 * theirs_s:6.0f} ms: {theirs_s / ours_s:4.0f} times faster"
        )
    case = ROADS[0](LENGTH_M)
    both_s = best_time(lambda: estimate_demand(ride(case), case.rider, case.day))
    print(f"  pace and demand together: {1000 * both_s:.1f} ms, {case.terrain.profile.distance_m.size} nodes")


def ride(case: Case) -> Pace:
    """Return the pace of a case."""
    return set_pace(case.terrain, case.rider, case.day)


def best_time(work: Callable[[], object]) -> float:
    """Return the shortest of several timings of the processor [s]."""
    timings = []
    for _ in range(REPEATS):
        begun = time.process_time()
        work()
        timings.append(time.process_time() - begun)
    return min(timings)


if __name__ == "__main__":
    main()
