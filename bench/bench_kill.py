"""Whether a ride survives being killed: changed as fast as it takes it, and killed at random moments.

Prints how many of the kills lost more than the change that was under way, or left a ride that does not open.
"""

import argparse
import json
import random
import subprocess
import sys
import tempfile
import time
from datetime import UTC
from pathlib import Path

from terrain_fuel.rides.ride_folder import read_settings
from terrain_fuel.rides.steps import open_steps

CHANGER = """
import itertools, sys
from pathlib import Path
from terrain_fuel.rides.edits import SetValue, apply_edits
from terrain_fuel.rides.steps import keep_change, open_steps, step_back, step_on
ride, start = Path(sys.argv[1]), int(sys.argv[2])
for number in itertools.count(start):
    texts = {name: (ride / f"{name}.toml").read_text() for name in ("rider", "day")}
    edits = [
        SetValue("rider", "rider", "ftp_w", 100 + number % 400),
        SetValue("day", "day", "reserve_min", number % 200),
    ]
    keep_change(ride, apply_edits(texts, edits)[0], str(number))
    if number % 5 == 0:
        step_back(ride)
        step_on(ride)
    print(number, flush=True)
"""


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    chance, lost, broken, missing = random.Random(chosen.seed), 0, 0, 0
    with tempfile.TemporaryDirectory() as name:
        ride = Path(name)
        (ride / "rider.toml").write_text("[rider]\nftp_w = 200  # mine\n")
        (ride / "day.toml").write_text('[day]\nstart = "2027-05-08T08:30:00+02:00"\nreserve_min = 1\n')
        open_steps(ride)
        said = 0
        for _ in range(chosen.kills):
            words = [sys.executable, "-c", CHANGER, str(ride), str(said + 1)]
            changer = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
            assert changer.stdout is not None
            first = changer.stdout.readline()
            time.sleep(chance.uniform(0.0, 0.5))
            changer.kill()
            lines = [first, *changer.stdout.read().splitlines()]
            changer.wait()
            said = int(lines[-1])
            head = open_steps(ride)
            settings = read_settings(ride, UTC)
            kept = int(head.undoes or 0)
            whole = settings.rider.ftp_w == 100 + kept % 400 and settings.day.reserve_min == kept % 200
            broken += not whole
            lost += kept < said - 1
            missing += kept == said - 1
            said = kept
        head_file = json.loads((ride / ".steps/head.json").read_text())
    print(
        f"{chosen.kills} kills after {said} changes: {broken} left halves,"
        f" {lost} lost more than the last change, {missing} the last one;"
        f" {len(head_file['states'])} states kept"
    )


if __name__ == "__main__":
    main()
