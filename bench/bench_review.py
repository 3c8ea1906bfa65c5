"""Two hundred made rides reviewed: how many differ from what was true, and what six hours take."""

import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.inputs.planned import read_planned
from terrain_fuel.inputs.recordings.read import read_recordings
from terrain_fuel.outputs.after.review_page import Beside, review_page
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.outputs.data.review_json import review_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Pantry
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.rider import Rider
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
    """Print what the review of a ride of six hours takes of the processor, a point a second."""
    planned = read_planned(plan_file)
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
    for suffix in SUFFIXES:
        path = write_recording(points, folder / f"six{suffix}")
        since = time.process_time()
        review = review_ride(read_recordings([path]), Settings(Rider(), Pantry(), Day()), planned)
        review_page(review, Beside(planned.rider, planned, None))
        review_text(review, words_for(planned.rider))
        took_s = time.process_time() - since
        print(f"{suffix}: six hours reviewed and written in {took_s:.2f} s of the processor")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else SEEDS)
