"""How far the half of a recording that was not fitted is off, without power: by wind, halts and gaps."""

import time

import numpy as np

from terrain_fuel.calibrate import calibrate_ride
from terrain_fuel.day import Day
from terrain_fuel.rider import Rider
from tests.made_roads import Road
from tests.recorded_strangers import record

ROADS = (
    Road(45.0, hilliness=0.0, bends=0.2, seed=1),
    Road(50.0, hilliness=0.03, bends=0.4, hill_km=2.0, seed=2),
    Road(55.0, hilliness=0.06, bends=0.5, hill_km=6.0, seed=3),
)
CAUSES = {
    "still air, halts that stand still": {},
    "wind of 3 m/s nobody told of": {"wind_m_s": 3.0},
    "receiver strays at long halts": {"halts_s": (1200.0, 600.0, 300.0), "jitter_m": 6.0},
    "device off around long halts": {"halts_s": (1800.0, 900.0, 600.0), "paused": True},
    "all together": {"halts_s": (1800.0, 900.0, 600.0), "paused": True, "wind_m_s": 3.0},
}
SEEDS = range(6)


def main() -> None:
    """Print the mean and the worst error of the held-out half for each cause."""
    for name, cause in CAUSES.items():
        started = time.process_time()
        off, moving, flat = [], [], []
        for road in ROADS:
            for seed in SEEDS:
                told = record(road, seed, **cause)  # type: ignore[arg-type]
                found = calibrate_ride(told.track, Rider(), Day())
                off.append(found.held_out_error)
                moving.append(found.moving_time_s / told.moving_s - 1.0)
                flat.append(found.flat_w / (told.rider.ftp_w * told.day.effort_flat) - 1.0)
        print(
            f"{name:>36}: held-out half off by {np.mean(np.abs(off)):.1%} on average,"
            f" {max(off, key=abs):+.1%} at worst; moving time {max(moving, key=abs):+.1%} at worst;"
            f" flat power {np.mean(np.abs(flat)):.1%}; n = {len(off)},"
            f" {(time.process_time() - started) / len(off):.2f} s of processor time each"
        )


if __name__ == "__main__":
    main()
