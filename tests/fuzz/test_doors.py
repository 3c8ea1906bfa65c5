"""Every door tried with the same damage on every run; `make fuzz` tries new damage for an hour."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from terrain_fuel.checker import check_plan
from tests.fuzz.doors import DOORS, Door, fresh_plan

TRIES = {
    "route": 500, "route formats": 200, "terrain": 100, "recording": 100, "review": 30, "log": 50,
    "settings": 300, "plan": 150, "reviewed plan": 40, "plan bytes": 100, "tile": 200, "text": 800,
    "page": 150, "steps": 100,
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("door", DOORS, ids=lambda door: door.name)
def test_a_door_holds(door: Door, tmp_path: Path) -> None:
    @settings(
        derandomize=True,
        max_examples=TRIES[door.name],
        deadline=None,
        database=None,
        phases=(Phase.generate, Phase.shrink),
        suppress_health_check=list(HealthCheck),
    )
    @given(door.tries)
    def attempt(what: Any) -> None:
        door.hold(tmp_path, what)

    attempt()


@pytest.mark.parametrize("door", DOORS, ids=lambda door: door.name)
def test_what_once_got_in_stays_out(door: Door, tmp_path: Path) -> None:
    for what in door.kept:
        door.hold(tmp_path, what)


def test_the_plan_that_is_damaged_is_whole() -> None:
    # one fault: the violation that it declares of itself, so that this door is tried as well
    assert [fault.declared for fault in check_plan(fresh_plan())] == [True]


def test_a_door_that_does_not_hold_is_found(tmp_path: Path) -> None:
    def fails(folder: Path, what: int) -> None:
        assert what < 50, folder

    with pytest.raises(AssertionError):
        test_a_door_holds(Door("route", st.integers(0, 100), fails), tmp_path)
