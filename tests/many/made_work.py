"""Work for the engine's tests: functions of a module, so that real processes can run them."""

import os
import time
from pathlib import Path
from typing import Any

import numpy as np

from terrain_fuel.errors import TrackError

LONGEST_S = 240.0
"""Nothing waits for longer, whatever becomes of the test that asked for it."""


def doubled(payload: dict[str, Any], shared: Any) -> bytes:
    """Leave a mark for every time this is called, then do as the payload says."""
    with open(Path(payload["marks"]) / f"{payload['number']}", "ab") as file:
        file.write(b"x")
    act = payload.get("act")
    if act == "refuse":
        raise TrackError("stage-2.gpx: is no route; export it again")
    if act == "die":
        os._exit(9)
    if act == "raise":
        raise ZeroDivisionError("by a rider")
    if act == "wait":
        time.sleep(LONGEST_S)
    return str(payload["number"] * (shared or 2)).encode()


def made(payload: int) -> int:
    if payload < 0:
        raise TrackError("stage-3.gpx: is no route; export it again")
    return payload


def gated(payload: tuple[int, str], shared: Any) -> bytes:
    """Do the first three at once, the others only once the gate is open; mark what was done to its end."""
    number, folder = payload[0], Path(payload[1])
    if number > 2:
        (folder / "begun").mkdir(exist_ok=True)
        (folder / "begun" / str(os.getpid())).touch()
        for _ in range(int(LONGEST_S / 0.02)):
            if (folder / "gate").exists():
                break
            time.sleep(0.02)
    with open(folder / "marks" / str(number), "ab") as file:
        file.write(b"x")
    return b"done"


def pages_asked_for(arrays: int, size: int) -> int:
    """Make and free arrays of bytes one after the other; return how many pages the system was asked for."""
    import resource  # other systems than Unix have no such module

    before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
    for _ in range(arrays):
        np.ones(size, dtype=np.uint8)
    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before
