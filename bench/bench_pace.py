"""Pace beside a general-purpose integrator on five roads, in one run, and beside a real ride."""

import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Literal

import numpy as np

from terrain_fuel.calibrate import calibrate_ride
from terrain_fuel.calibrate.recording import read_recording
from terrain_fuel.day import Day
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import ride_with_power, set_pace
from terrain_fuel.rider import Rider
from tests.integrated_ride import ROADS, Case, integrate_ride, steep_road, windy_road
from tests.recorded_ride import BODY_MASS_KG, TEMPERATURE_C, recorded_track

LENGTH_M, SHORT_M = 120_000.0, 12_000.0
REPEATS = 9


def main() -> None:
    """Print accuracy and speed-up on each road, pace and demand together, and a real ride."""
    print(f"Pace, {LENGTH_M / 1000:.0f} km at 10 m, against scipy's solve_ivp at rtol 1e-10; processor time")
    taken_s = np.array([beside_integrator(road(LENGTH_M), "LSODA") for road in ROADS]).sum(axis=0)
    print(f"  all five: {taken_s[1] / taken_s[0]:.0f} times faster")
    print(f"  ... and against its default method, {SHORT_M / 1000:.0f} km")
    for road in (windy_road, steep_road):
        beside_integrator(road(SHORT_M), "RK45")
    case = ROADS[0](LENGTH_M)
    both_s = best_time(lambda: estimate_demand(ride(case), case.rider, case.day))
    print(f"Pace and demand together: {1000 * both_s:.1f} ms, {case.terrain.profile.distance_m.size} nodes")
    beside_recording()


def beside_integrator(case: Case, method: Literal["LSODA", "RK45"]) -> tuple[float, float]:
    """Print how near and how much faster than the integrator a ride is; return both times [s]."""
    ours_s, pace = best_time(partial(ride, case)), ride(case)
    begun = time.process_time()
    speed, clock = integrate_ride(case, pace, 1e-10, method)
    theirs_s = time.process_time() - begun
    print(
        f"  {case.name:9s} time {pace.moving_time_s / clock[-1] - 1:+.4%}"
        f"   largest speed difference {3.6 * np.abs(pace.speed_m_s - speed).max():.3f} km/h"
        f"   {1000 * ours_s:5.1f} ms, {method} {1000 * theirs_s:6.0f} ms:"
        f" {theirs_s / ours_s:4.0f} times faster"
    )
    return ours_s, theirs_s


def beside_recording() -> None:
    """Print how near a real ride with a power meter is, blind, fitted and without its power."""
    rider = replace(Rider(), body_mass_kg=BODY_MASS_KG, ftp_w=250.0)
    day = Day(temperature_c=TEMPERATURE_C, effort_flat=0.75, effort_climb=1.0)
    recording = read_recording(recorded_track())
    assert recording.pedal_w is not None
    blind = ride_with_power(recording.terrain, rider, day, recording.pedal_w)
    with_power, without = (calibrate_ride(recorded_track(power), rider, day) for power in (True, False))
    terrain = recording.terrain
    print(f"A real hilly ride, {terrain.length_m / 1000:.1f} km, {terrain.ascent_m:.0f} m climbed")
    print(f"  measured power, nothing fitted: time {blind.moving_time_s / recording.moving_s[-1] - 1:+.1%}")
    print(
        f"  measured power, drag fitted on the first half: second half {with_power.held_out_error:+.1%},"
        f" half kilometres {with_power.block_error:.1%} (root mean square)"
    )
    print(
        f"  no power, power and drag fitted on the first half: second half {without.held_out_error:+.1%};"
        f" power uphill {without.climb_w:.0f} W against {with_power.climb_w:.0f} W measured"
    )


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
