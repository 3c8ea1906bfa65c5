"""Two hundred made rides reviewed: how many differ from what was true, and how long a six-hour one takes."""

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from terrain_fuel.outputs.data.plan_json import plan_text
from tests.outputs.demo_plans import demo_plan
from tests.review.checking import SUFFIXES, differences, reviewed

SEEDS = 200


def main(seeds: int = SEEDS) -> None:
    plan = demo_plan("loop-120")
    took: dict[str, list[float]] = {suffix: [] for suffix in SUFFIXES}
    wrong = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plan_file = folder / "plan.json"
        plan_file.write_text(plan_text(plan), encoding="utf-8")
        for seed in range(seeds):
            since = time.perf_counter()
            review, truth = reviewed(plan, plan_file, seed, folder)
            hours = review.ride.elapsed_s / 3600.0
            took[SUFFIXES[seed % 3]].append((time.perf_counter() - since) / hours)
            found = differences(plan, review, truth)
            if found:
                wrong += 1
                print(f"seed {seed}: {found[:3]}")
    print(f"{wrong} of {seeds} made rides differ from what was true")
    for suffix, seconds in took.items():
        print(
            f"{suffix}: {6.0 * np.median(seconds):.2f} s for six hours, making and writing the ride included"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS)
