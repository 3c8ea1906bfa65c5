"""Every part of a plan.json changed to nonsense: which changes does `check` pass in silence?

`python -m bench.bench_check` plans the demo routes for training and for a race; `python -m bench.bench_check
PLAN.json ...` takes written plans. Of a list of rows three are tried, of a column of numbers three values.
A path is told as a pattern, `fuel_points[].lat`, with the changes that nothing was said of.
"""

import argparse
import copy
import json
import random
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from terrain_fuel.checker import check_plan
from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
from terrain_fuel.outputs.data.plan_json import plan_text
from terrain_fuel.planner import plan_ride
from tests.demo import ROUTE_NAMES, ROUTES, demo_route

PLACE_DEG = 0.018
"""About 2 km of latitude."""

Path_ = tuple[str | int, ...]
Change = tuple[str, Callable[[Any], Any]]


def _later(value: str) -> str:
    return (datetime.fromisoformat(value) + timedelta(hours=3)).isoformat()


NUMBERS: tuple[Change, ...] = (
    ("x1.5", lambda value: value * 1.5),
    ("+10 %", lambda value: value * 1.1),
    ("sign", lambda value: -value),
    ("none", lambda _: 0.0),
    ("text", lambda _: "NaN"),
)
COUNTS: tuple[Change, ...] = (
    ("+1", lambda value: value + 1),
    ("-1", lambda value: value - 1),
    ("half", lambda value: value + 0.5),
    *NUMBERS[2:],
)
PLACES: tuple[Change, ...] = (("2 km", lambda value: value + PLACE_DEG), *NUMBERS[2:])
FLAGS: tuple[Change, ...] = (("turned", lambda value: not value),)
TEXTS: tuple[Change, ...] = (("renamed", lambda value: f"{value} x"), ("empty", lambda _: ""))
CLOCKS: tuple[Change, ...] = (("3 h on", _later), *TEXTS)
NOTHING: tuple[Change, ...] = (("a number", lambda _: 7.5), ("text", lambda _: "nonsense"))
LISTS: tuple[Change, ...] = (
    ("reversed", lambda value: value[::-1]),
    ("shorter", lambda value: value[:-1]),
    ("headless", lambda value: value[1:]),
    ("shuffled", lambda value: random.Random(1).sample(value, len(value))),
    ("emptied", lambda _: []),
    ("doubled", lambda value: [*value, copy.deepcopy(value[-1])] if value else [{}]),
)
COLUMNS: tuple[Change, ...] = (
    *LISTS,
    ("all +10 %", lambda value: [1.1 * each for each in value]),
    ("all x1.5", lambda value: [1.5 * each for each in value]),
    ("all signs", lambda value: [-each for each in value]),
)


def _is_clock(value: str) -> bool:
    return re.match(r"\d{4}-\d\d-\d\dT", value) is not None


def changes_of(path: Path_, value: Any) -> tuple[Change, ...]:
    """Return the ways in which a value of a plan is changed."""
    if isinstance(value, bool):
        return FLAGS
    if isinstance(value, int):
        return COUNTS
    if isinstance(value, float):
        return PLACES if {"lat", "lon"} & set(path) else NUMBERS
    if isinstance(value, str):
        return CLOCKS if _is_clock(value) else TEXTS
    if isinstance(value, list):
        of_numbers = bool(value) and all(type(each) in (int, float) for each in value)
        return COLUMNS if of_numbers else LISTS
    return NOTHING if value is None else ()


def paths_of(value: Any, path: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Yield every leaf and list of a plan with its path; of a list the first, middle and last entry."""
    if path:
        yield path, value
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from paths_of(inner, (*path, key))
    elif isinstance(value, list) and value:
        for index in sorted({0, len(value) // 2, len(value) - 1}):
            yield from paths_of(value[index], (*path, index))


def pattern(path: Path_) -> str:
    """Return a path without its indices, `timeline.grade[]`."""
    return "".join("[]" if isinstance(step, int) else f".{step}" for step in path).removeprefix(".")


def put(plan: Any, path: Path_, value: Any) -> Any:
    """Return a plan with another value at a path, the rest shared with the first."""
    if not path:
        return value
    inner: Any = dict(plan) if isinstance(plan, dict) else list(plan)
    inner[path[0]] = put(plan[path[0]], path[1:], value)
    return inner


def passed_in_silence(plan: Mapping[str, Any]) -> Iterator[tuple[str, str, bool]]:
    """Yield pattern, change and whether `check` said nothing new of it."""
    before = {fault.sentence for fault in check_plan(plan)}
    for path, value in paths_of(plan):
        for name, change in changes_of(path, value):
            changed = change(value)
            if changed == value:
                continue
            try:
                after = {fault.sentence for fault in check_plan(put(plan, path, changed))}
            except Exception as error:
                print(f"  BROKEN at {path}, {name}: {error!r}")
                continue
            yield pattern(path), name, after == before


def demo_plans() -> Iterator[tuple[str, Any]]:
    """Yield the demo routes' plans, of training and race."""
    rider, pantry = read_rider(ROUTES / "rider.toml"), read_pantry(ROUTES / "pantry.toml")
    for name in ROUTE_NAMES:
        track, relief = demo_route(name)
        for day in ("day", "race"):
            plan = plan_ride(track, rider, pantry, read_day(ROUTES / f"{day}.toml"), relief=relief)
            yield f"{name} {day}", json.loads(plan_text(plan))


def main() -> None:
    """Print each path that passes a change in silence, with how many of those tried."""
    parser = argparse.ArgumentParser()
    parser.add_argument("plans", nargs="*", type=Path)
    given = [(str(path), json.loads(path.read_text(encoding="utf-8"))) for path in parser.parse_args().plans]
    tried: Counter[str] = Counter()
    silent: dict[str, Counter[str]] = defaultdict(Counter)
    for name, plan in given or demo_plans():
        found = list(passed_in_silence(plan))
        print(f"{name}: {sum(passed for *_, passed in found)} of {len(found)} changes pass in silence")
        for path, change, passed in found:
            tried[path] += 1
            silent[path][change] += passed
    quiet = [path for path in tried if silent[path].total()]
    print(f"{len(quiet)} of {len(tried)} paths pass some change, ", end="")
    print(f"{sum(silent[path].total() == tried[path] for path in quiet)} pass all")
    for path in tried:
        if silent[path].total():
            said = ", ".join(f"{change} {count}" for change, count in silent[path].items() if count)
            print(f"  {path:44} {silent[path].total():4} of {tried[path]:4}: {said}")


if __name__ == "__main__":
    main()
