"""While a plan is made Python searches for no circles of values; afterwards it does as before."""

import gc
from pathlib import Path
from typing import Any

import pytest

from terrain_fuel.cli.main import build_parser
from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.many.team_run import plan_one


def test_no_search_is_made_while_a_plan_is(tmp_path: Path) -> None:
    searches: list[str] = []

    def count(phase: str, told: dict[str, int]) -> None:
        searches.append(phase)

    chosen = build_parser().parse_args(["plan", str(tmp_path / "missing.gpx")])
    usual = gc.get_threshold()
    gc.set_threshold(2)  # one would be due after every other value
    gc.callbacks.append(count)
    try:
        chosen.run(chosen)
    except TerrainFuelError:
        made = len(searches)
    finally:
        gc.callbacks.remove(count)
        gc.set_threshold(*usual)
    assert made < 20, "a few before it begins and after it ends"
    assert gc.isenabled()


def test_nor_while_a_worker_makes_one_of_many() -> None:
    searched: list[bool] = []

    class Watched:
        """What is asked for, as far as the first thing that is looked at of it."""

        @property
        def bunch(self) -> Any:
            searched.append(gc.isenabled())
            raise InterruptedError

    with pytest.raises(InterruptedError):
        plan_one(Watched(), None)  # type: ignore[arg-type]
    assert searched == [False]
    assert gc.isenabled()
