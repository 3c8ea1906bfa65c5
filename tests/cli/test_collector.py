"""While a plan is made Python searches for no circles of values; afterwards it does as before."""

import gc
from pathlib import Path

from terrain_fuel.cli.main import build_parser
from terrain_fuel.errors import TerrainFuelError


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
