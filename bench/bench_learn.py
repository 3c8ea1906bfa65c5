"""A thousand rides listed and learned from; strangers of known drag found again from recordings."""

import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from terrain_fuel.learn.proposals import drag_learned, learn_rider
from terrain_fuel.learn.season import look_at_season
from terrain_fuel.log.model import LoggedRide
from terrain_fuel.log.rides import keep_ride, read_rides
from terrain_fuel.rider import Rider
from tests.learn.made_riders import habits_on
from tests.log.made_log import made_ride
from tests.made_roads import Road

RIDES, RIDERS, RIDES_EACH = 1000, 30, 10


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "log.sqlite"
        for i in range(RIDES):
            keep_ride(path, made_ride(i))
        since = time.perf_counter()
        rides = read_rides(path)
        listed = time.perf_counter() - since
        learn_rider(rides, Rider())
        learned = time.perf_counter() - since - listed
        look_at_season(rides)
        season = time.perf_counter() - since - listed - learned
    print(
        f"{RIDES} rides: listed in {listed:.2f} s, learned from in {learned:.2f} s, season in {season:.2f} s"
    )
    inside, before, after = 0, [], []
    for rider in range(RIDERS):
        rng = np.random.default_rng(rider)
        true_m2 = float(0.35 * np.exp(rng.normal(0.0, 0.15)))
        log = [ridden(true_m2, 1000 * rider + i) for i in range(RIDES_EACH)]
        value, low, high, _ = drag_learned(log) or (0.0, 0.0, 0.0, 0)
        inside += low <= true_m2 <= high
        before.append(abs(np.log(true_m2 / 0.35)))
        after.append(abs(np.log(true_m2 / value)))
    print(
        f"{RIDERS} strangers, {RIDES_EACH} recordings each with power, in wind nobody told of:"
        f" drag inside the 80 % band in {inside / RIDERS:.0%}, error {np.mean(before):.3f} before,"
        f" {np.mean(after):.3f} after (logarithms)"
    )


def ridden(true_m2: float, seed: int) -> LoggedRide:
    """Return a logged ride of a rider of known drag, from a recording with power and an unknown wind."""
    road = Road(15.0, 0.03, 0.3, 4.0, seed=seed % 97)
    habits, _ = habits_on(road, seed, Rider(), float(seed % 4), true_m2)
    return replace(made_ride(seed), drag_m2=habits.drag_m2, drag_sd=habits.drag_sd)


if __name__ == "__main__":
    main()
