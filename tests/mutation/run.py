"""`make mutate`: small changes to the code, each tried against its room's tests; those that live are shown.

    python -m tests.mutation.run --count 100 --room rules --room drink
    python -m tests.mutation.run --at terrain_fuel/drink/levels.py:151 --narrow

The same seed draws the same changes; ``--at`` tries all of a line or a file. Nothing is written to the tree:
in a process of its own a function is given its changed code, or a changed module is imported instead. Only
tests that come by the change are run, with the others of their files, the quickest first. What its room's
quick tests do not notice is tried, unless ``--narrow``, against its slow ones and those that plan whole days.
What no test could notice stands in same.py, each with its reason, and counts for nothing.
"""

import argparse
import contextlib
import importlib.abc
import importlib.machinery
import importlib.util
import io
import os
import random
import resource
import signal
import sys
import time
import types
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pytest

from tests.mutation.same import reason_of
from tests.mutation.sites import Mutant, Site, sites_of
from tests.mutation.visits import Visits, changed_function, place_of, put_in_place

ROOT = Path(__file__).resolve().parent.parent.parent
PACKAGE = ROOT / "terrain_fuel"

TESTS: dict[str, tuple[str, ...]] = {
    "rules": ("tests/rules",),
    "food": ("tests/food", "tests/rules", "tests/pockets/test_reserve.py"),
    "drink": ("tests/drink",),
    "bottles": ("tests/bottles",),
    "demand": (
        "tests/demand",
        "tests/assembly/test_amounts_and_days.py::"
        "test_sleep_is_minded_for_what_is_planned_and_the_riders_bedtime",
        "tests/flags/test_daylight.py",
    ),
    "pace": ("tests/pace", "tests/places/test_on_the_ride.py"),
    "checker": ("tests/checker",),
    "pockets": ("tests/pockets",),
}
"""Room to the tests that must notice."""

LEFT_OUT = {
    "pace": ("test_pace_properties", "test_demo_ride"),
    "checker": ("test_real_plans",),
    "food": ("test_food_pins",),
}
"""Slow files of a room's tests that look at the whole rather than at its parts: tried with the wider ones."""

WIDER = (
    "tests/pockets",
    "tests/judge",
    "tests/simulate",
    "tests/checker/test_real_plans.py",
    "tests/assembly",
    "tests/test_limiting.py",
    "tests/places",
    "tests/test_planner.py",
    "tests/mishaps",
)
"""Tests that plan whole days: they must notice what no room's own do."""

MOST_CPU_S, TIMES_AS_LONG, MOST_S = 20, 3, 1800
"""A change that works or waits for ever is ended so long after the tests' usual time, and as often that."""
WORDS = ("-q", "-p", "no:cacheprovider", "-o", "timeout=0")
NO_TESTS = int(pytest.ExitCode.NO_TESTS_COLLECTED)
KILLED, LIVES, LASTS, SAME = "killed", "LIVES", "lasts", "same"
LATER = ("slowly", "widely")
"""Noticed by a room's slow tests alone, or by whole days alone."""


@dataclass(frozen=True, slots=True)
class Tests:
    """Some of the tests, and which functions of a room they come by."""

    words: tuple[str, ...]
    visits: Visits

    @classmethod
    def of(cls, room: str, words: Sequence[str]) -> "Tests":
        """Run tests once as they are; those that fail without a change notice none."""
        visits = Visits(PACKAGE / room)
        with contextlib.redirect_stdout(io.StringIO()):
            pytest.main([*WORDS, *words], plugins=[visits])
        left_out = [word for test in sorted(visits.failing) for word in ("--deselect", str(ROOT / test))]
        sys.stdout.writelines(f"fails as it is  {test}\n" for test in sorted(visits.failing))
        return cls((*words, *left_out), visits)

    def usual_s(self, chosen: Sequence[str]) -> float:
        """Return how long some of them, or all in whole files, took [s]."""
        tests = {str(ROOT / test): spent_s for test, spent_s in self.visits.duration_s.items()}
        return sum(tests.get(test, 0.0) for test in chosen) or sum(tests.values())


class _Instead(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds one module, and loads another text as it."""

    def __init__(self, name: str, mutant: Mutant) -> None:
        self._name, self._mutant = name, mutant

    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: types.ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Return the module's place, if it is the one."""
        if fullname != self._name:
            return None
        return importlib.util.spec_from_loader(fullname, self, origin=str(self._mutant.path))

    def exec_module(self, module: types.ModuleType) -> None:
        """Run the changed text."""
        exec(compile(self._mutant.source, str(self._mutant.path), "exec"), module.__dict__)


def own_tests(room: str) -> list[str]:
    """Return the room's own tests, without the slow ones."""
    left_out = [word for part in LEFT_OUT.get(room, ()) for word in ("--ignore-glob", f"*{part}*")]
    return ["-m", "not slow", *(str(ROOT / path) for path in TESTS[room]), *left_out]


def slow_tests(room: str) -> list[str]:
    """Return the room's own tests that are marked as slow."""
    return ["-m", "slow", str(ROOT / "tests" / room)]


def wider_tests(room: str) -> list[str]:
    """Return those that look at the whole."""
    slow = [
        str(path)
        for part in LEFT_OUT.get(room, ())
        for path in sorted((ROOT / "tests" / room).glob(f"*{part}*"))
    ]
    return ["-m", "not slow", *dict.fromkeys([*slow, *(str(ROOT / path) for path in WIDER)])]


STAGES = {KILLED: own_tests, "slowly": slow_tests, "widely": wider_tests}
"""What is tried one after the other, and how a change that it notices is called."""


def try_mutant(mutant: Mutant, tests: Tests) -> str:
    """Return whether the tests that come by a change notice it."""
    changed = changed_function(mutant.path, mutant.path.read_text(encoding="utf-8"), mutant.source)
    chosen = list(tests.words)
    if changed is not None:
        chosen = [str(ROOT / test) for test in tests.visits.tests_of(place_of(changed))]
        if not chosen:
            return LIVES
    child = os.fork()
    if child == 0:
        code = NO_TESTS
        try:
            if changed is None or not put_in_place(changed):
                _forget_modules()
                _load_instead(mutant)
            code = _run_tests(chosen, MOST_CPU_S + TIMES_AS_LONG * tests.usual_s(chosen))
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return LASTS
    code = os.waitstatus_to_exitcode(status)
    if code in (pytest.ExitCode.INTERNAL_ERROR, pytest.ExitCode.USAGE_ERROR, NO_TESTS):
        raise RuntimeError(f"{mutant.path}: its tests cannot be run ({code})")
    return LIVES if code == 0 else KILLED


def _load_instead(mutant: Mutant) -> None:
    name = ".".join(mutant.path.relative_to(ROOT).with_suffix("").parts)
    sys.meta_path.insert(0, _Instead(name, mutant))


def _forget_modules() -> None:
    for name in list(sys.modules):
        if name.partition(".")[0] in ("terrain_fuel", "tests"):
            del sys.modules[name]


def _run_tests(chosen: Sequence[str], most_cpu_s: float) -> int:
    resource.setrlimit(resource.RLIMIT_CPU, (int(time.process_time() + most_cpu_s),) * 2)
    signal.alarm(MOST_S)
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return int(pytest.main(["-x", *WORDS, *chosen]))


def sample(rooms: Sequence[str], count: int, seed: int) -> list[tuple[str, Site]]:
    """Return as many sites of each room, drawn from all its files."""
    drawn: list[tuple[str, Site]] = []
    for room in rooms:
        every = [site for path in sorted((PACKAGE / room).glob("*.py")) for site in sites_of(path)]
        chosen = random.Random(f"{seed} {room}").sample(every, min(count // len(rooms), len(every)))
        drawn += [(room, site) for site in chosen]
    return drawn


def sites_at(places: Sequence[str]) -> list[tuple[str, Site]]:
    """Return the sites of some files, or of a line of each where that is said."""
    found: list[tuple[str, Site]] = []
    for place in places:
        name, _, line = place.partition(":")
        path = ROOT / name
        found += [(path.parent.name, site) for site in sites_of(path) if not line or site.line == int(line)]
    return found


def main() -> int:
    """Try a sample, print what lives and the shares; return 1 if more than a tenth does."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", action="append", choices=list(TESTS))
    parser.add_argument("--at", action="append", metavar="FILE[:LINE]")
    parser.add_argument("--narrow", action="store_true", help="only each room's own tests")
    chosen = parser.parse_args()
    import lxml.etree, numpy, scipy.optimize, shapely  # noqa: E401, F401, I001  # shared by all children

    @lru_cache
    def tests_of(room: str, stage: str) -> Tests:
        return Tests.of(room, STAGES[stage](room))

    def outcome_of(room: str, mutant: Mutant) -> str:
        if reason_of(mutant):
            return SAME
        for stage in (KILLED,) if chosen.narrow else STAGES:
            outcome = try_mutant(mutant, tests_of(room, stage))
            if outcome != LIVES:
                return stage if stage in LATER else outcome
        return LIVES

    tally: dict[str, Counter[str]] = {}
    sites = (
        sites_at(chosen.at) if chosen.at else sample(chosen.room or list(TESTS), chosen.count, chosen.seed)
    )
    for room, site in sites:
        mutant = site.change()
        outcome = outcome_of(room, mutant)
        seen = tally.setdefault(room, Counter())
        seen[outcome] += 1
        if outcome in (LIVES, SAME, *LATER):
            place = f"{mutant.path.relative_to(ROOT)}:{mutant.line}"
            tried = reason_of(mutant) or f"({seen.total()} tried)"
            sys.stdout.write(f"{outcome}  {place}  {mutant.before}  ->  {mutant.after}  {tried}\n")
            sys.stdout.flush()
    for room, seen in tally.items():
        sys.stdout.write(f"{room}: {_share(seen)}\n")
    every = sum(tally.values(), Counter[str]())
    sys.stdout.write(f"in all: {_share(every)}\n")
    return int(every[LIVES] > 0.1 * (every.total() - every[SAME]))


def _share(seen: Counter[str]) -> str:
    tried = seen.total() - seen[SAME]
    killed = tried - seen[LIVES]
    later = f"{seen['slowly']} of them by slow tests alone, {seen['widely']} by whole days alone"
    return f"{killed} of {tried} killed ({killed / max(tried, 1):.0%}), {later}; {seen[SAME]} the same"


if __name__ == "__main__":
    sys.exit(main())
