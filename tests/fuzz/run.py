"""`make fuzz`: every door tried for an hour with ever new damage; what is found is shown and kept apart.

What fails belongs into ``kept`` of its door, with the mending.
"""

import argparse
import sys
import tempfile
import time
import traceback
from itertools import count
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.fuzz.doors import DOORS, Door

ROUND = 300
MOST_SHOWN = 5000


def fuzz_door(door: Door, number: int, folder: Path) -> tuple[int, str]:
    """Return how many tries a round made at a door, and what it found, nothing if all held."""
    tries = 0

    @seed(number)
    @settings(max_examples=ROUND, deadline=None, database=None, suppress_health_check=list(HealthCheck),
              phases=(Phase.generate, Phase.shrink))  # fmt: skip
    @given(door.tries)
    def attempt(what: Any) -> None:
        nonlocal tries
        tries += 1
        door.hold(folder, what)

    try:
        attempt()
    except Exception:
        return tries, traceback.format_exc(limit=-8)[-MOST_SHOWN:]
    return tries, ""


def main() -> int:
    """Fuzz until the time is up; return 1 if anything was found."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    parser.add_argument("--door", choices=[door.name for door in DOORS])
    chosen = parser.parse_args()
    doors = [door for door in DOORS if chosen.door in (None, door.name)]
    end_s = time.monotonic() + 60.0 * chosen.minutes
    tries, found = dict.fromkeys((door.name for door in doors), 0), set()
    with tempfile.TemporaryDirectory() as folder:
        for number in count(chosen.seed):
            for door in doors:
                made, fault = fuzz_door(door, number, Path(folder))
                tries[door.name] += made
                if fault and fault.splitlines()[-1] not in found:
                    found.add(fault.splitlines()[-1])
                    sys.stdout.write(f"door {door.name}, seed {number}:\n{fault}\n")
            if time.monotonic() > end_s:
                break
    sys.stdout.write(f"{sum(tries.values())} tries {tries}, {len(found)} findings\n")
    return bool(found)


if __name__ == "__main__":
    sys.exit(main())
