"""Draw the README's pictures of what comes after a ride, from made rides; run with `make pictures`."""

import os
import shutil
import tempfile
from pathlib import Path

import numpy as np
from playwright.sync_api import Browser, sync_playwright

from docs.make_pictures import plan_demo, save, shoot_page
from terrain_fuel.cli.main import main as run_command
from terrain_fuel.learn.season import look_at_season
from terrain_fuel.outputs.after.season_page import write_season_page
from terrain_fuel.outputs.words import words_for
from terrain_fuel.rider import Rider
from tests.learn.made_riders import MadeRider, made_rides
from tests.outputs.demo_plans import demo_plan
from tests.recording_files import write_recording
from tests.review.made_ride import made_ride as recorded_ride

SIZE = (960, 1500)
WIDTH = 480
SEED = 13


def shoot_review(browser: Browser, folder: Path) -> None:
    """Save a picture of a made ride's review."""
    plan_demo("loop-120", folder / "plan")
    points, _ = recorded_ride(demo_plan("loop-120"), SEED)
    ride = write_recording(points, folder / "ride.tcx")
    words = ["review", str(ride), "--plan", str(folder / "plan" / "plan.json"), "--no-log", "--quiet"]
    if run_command([*words, "--out", str(folder / "review")]) != 0:
        raise SystemExit("the made ride cannot be reviewed")
    save(shoot_page(browser, folder / "review" / "review.html", SIZE), "review", WIDTH)


def main() -> None:
    """Draw both pictures."""
    chromium = os.environ.get("TERRAIN_FUEL_CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        shoot_review(browser, Path(name))
        rider = MadeRider(sweat=1.15, sweat_slope=0.05, drag_m2=0.33, level=1.05)
        season = look_at_season(made_rides(rider, 24, np.random.default_rng(SEED)))
        write_season_page(season, words_for(Rider()), Path(name) / "season.html")
        save(shoot_page(browser, Path(name) / "season.html", SIZE), "season", WIDTH)
        browser.close()


if __name__ == "__main__":
    main()
