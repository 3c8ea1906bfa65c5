"""Two hundred made rides reviewed: how many differ from what was true, and what six hours take."""

import resource
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from terrain_fuel.outputs.data.plan_json import plan_text
from tests.outputs.demo_plans import demo_plan
from tests.recording_files import write_recording
from tests.review.checking import SUFFIXES, differences, reviewed
from tests.review.made_ride import made_ride

SEEDS, SIX_HOURS_S = 200, 21_600.0


def main(seeds: int = SEEDS) -> None:
    plan = demo_plan("loop-120")
    wrong = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plan_file = folder / "plan.json"
        plan_file.write_text(plan_text(plan), encoding="utf-8")
        six_hours(plan_file, folder)
        for seed in range(seeds):
            review, truth = reviewed(plan, plan_file, seed, folder)
            found = differences(plan, review, truth)
            if found:
                wrong += 1
                print(f"seed {seed}: {found[:3]}")
    print(f"{wrong} of {seeds} made rides differ from what was true")


def six_hours(plan_file: Path, folder: Path) -> None:
    """Print what the command takes of the processor for a ride of six hours, a point a second."""
    points, _ = made_ride(demo_plan("loop-120"), 1)
    time_s = points.time_s * SIX_HOURS_S / points.time_s[-1]
    seconds = np.arange(SIX_HOURS_S)
    names = [
        name
        for name in type(points).__dataclass_fields__
        if name.endswith(("_m", "_w", "_deg", "_bpm", "_c"))
    ]
    columns = {name: np.interp(seconds, time_s, getattr(points, name)) for name in names}
    points = replace(points, time_s=seconds, pauses_s=(), **columns)
    words = ["--plan", str(plan_file), "--out", str(folder / "out"), "--no-log", "--quiet"]
    for suffix in (SUFFIXES[-1], *SUFFIXES):  # the first run writes bytecode and what is kept
        path = write_recording(points, folder / f"six{suffix}")
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-m", "terrain_fuel", "review", str(path), *words], check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        print(f"{suffix}: six hours by the command, with all it loads: {took_s:.2f} s of the processor")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS)
