"""The states of a ride's settings as a door: what a stranger packed beside the ride is read as strange."""

import json
import shutil
from pathlib import Path

from hypothesis import strategies as st

from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.rides.steps import FOLDER, HEAD, keep_change, open_steps, step_back, step_on
from terrain_fuel.text import plain_text
from tests.fuzz.mutations import ODD_VALUES, damaged_bytes

STEPS_KEPT = tuple(
    json.dumps({"states": [[number, what]], "at": at, "change": 1, "settled": False}).encode()
    for number, what, at in (
        (1, "\u202eA\x1b[2J", 0),
        (float("inf"), "a", 0),
        (10**300, "a", 0),
        (1, "a", float("inf")),
        (1, ["a"], 0),
    )
)

_HEAD = b'{"states": [[1, ""], [2, "the day"], [3, "again"]], "at": 2, "change": 3, "settled": false}'
_ODD_HEADS = st.fixed_dictionaries(
    {
        "states": st.lists(st.tuples(st.sampled_from((1, 2, 3, *ODD_VALUES)), st.sampled_from(ODD_VALUES))),
        "at": st.sampled_from((0, 1, *ODD_VALUES)),
        "change": st.sampled_from((1, *ODD_VALUES)),
        "settled": st.booleans(),
    }
).map(lambda head: json.dumps(head).encode())

STEPS_TRIES = st.one_of(damaged_bytes((_HEAD, b'{"day": "[day]\\n"}'), most=3), _ODD_HEADS)


def hold_steps(folder: Path, data: bytes) -> None:
    """A ride is opened and stepped through, whatever its head or one of its states holds, or one message."""
    for place in (HEAD, "000002.json"):
        ride = folder / "ride"
        shutil.rmtree(ride, ignore_errors=True)
        ride.mkdir()
        for what in ("the day", "again"):
            keep_change(ride, {"day": f"[day]\n# {what}\n"}, what)
        (ride / FOLDER / place).write_bytes(data)
        for step in (open_steps, step_back, step_back, step_on, step_on):
            try:
                head = step(ride)
            except TerrainFuelError:  # whose message is text by its class
                continue
            assert all(state.what == plain_text(state.what) for state in head.states)
            assert 0 <= head.at < len(head.states)
