"""`make mutate`: small changes to the code, each tried against its room's tests; those that live are shown.

    python -m tests.mutation.run --count 100 --room rules --room drink

The same seed draws the same changes. Nothing is written to the tree: in a process of its own a function is
given its changed code, or a changed module is imported instead. Only tests that come by the change are run,
with the others of their files, the quickest first.
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
from collections.abc import Sequence
from pathlib import Path

import pytest

from tests.mutation.sites import Mutant, mutants_of
from tests.mutation.visits import Visits, changed_function, place_of, put_in_place

ROOT = Path(__file__).resolve().parent.parent.parent
PACKAGE = ROOT / "terrain_fuel"

TESTS: dict[str, tuple[str, ...]] = {
    "rules": ("tests/rules",),
    "food": ("tests/food", "tests/rules"),
    "drink": ("tests/drink",),
    "bottles": ("tests/bottles",),
    "demand": (
        "tests/demand",
        "tests/assembly/test_amounts_and_days.py::"
        "test_sleep_is_minded_for_what_is_planned_and_the_riders_bedtime",
    ),
    "pace": ("tests/pace", "tests/places/test_on_the_ride.py"),
    "checker": ("tests/checker",),
}
"""Room to the tests that must notice."""

LEFT_OUT = {
    "pace": ("test_pace_properties", "test_demo_ride"),
    "checker": ("test_real_plans",),
    "food": ("test_food_why", "test_food_pins"),
}
"""Slow files of a room's tests that look at the whole rather than at its parts."""

MOST_CPU_S, MOST_S = 90, 900
"""A change that works or waits for ever: the tests end by themselves at neither."""
NO_TESTS = int(pytest.ExitCode.NO_TESTS_COLLECTED)
KILLED, LIVES, LASTS = "killed", "LIVES", "lasts"


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


def visits_of(room: str) -> Visits:
    """Return which tests of a room come by which functions; those that fail without a change notice none."""
    visits = Visits(PACKAGE / room)
    with contextlib.redirect_stdout(io.StringIO()):
        pytest.main([*_words(), *_files(room)], plugins=[visits])
    return visits


def _words() -> list[str]:
    return ["-q", "-m", "not slow", "-p", "no:cacheprovider", "-o", "timeout=0"]


def _files(room: str) -> list[str]:
    left_out = [word for part in LEFT_OUT.get(room, ()) for word in ("--ignore-glob", f"*{part}*")]
    return [*(str(ROOT / path) for path in TESTS[room]), *left_out]


def try_mutant(mutant: Mutant, room: str, visits: Visits) -> str:
    """Return whether the tests that come by a change notice it, some of them apart."""
    changed = changed_function(mutant.path, mutant.path.read_text(encoding="utf-8"), mutant.source)
    chosen = _files(room)
    if changed is not None:
        chosen = [str(ROOT / test) for test in visits.tests_of(place_of(changed))]
        if not chosen:
            return LIVES
    child = os.fork()
    if child == 0:
        code = NO_TESTS
        try:
            if changed is None or not put_in_place(changed):
                _forget_modules()
                _load_instead(mutant)
            code = _run_tests(chosen)
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return LASTS
    code = os.waitstatus_to_exitcode(status)
    if code in (pytest.ExitCode.INTERNAL_ERROR, pytest.ExitCode.USAGE_ERROR, NO_TESTS):
        raise RuntimeError(f"{room}: its tests cannot be run ({code})")
    return LIVES if code == 0 else KILLED


def _load_instead(mutant: Mutant) -> None:
    name = ".".join(mutant.path.relative_to(ROOT).with_suffix("").parts)
    sys.meta_path.insert(0, _Instead(name, mutant))


def _forget_modules() -> None:
    for name in list(sys.modules):
        if name.partition(".")[0] in ("terrain_fuel", "tests"):
            del sys.modules[name]


def _run_tests(chosen: Sequence[str]) -> int:
    resource.setrlimit(resource.RLIMIT_CPU, (int(time.process_time()) + MOST_CPU_S,) * 2)
    signal.alarm(MOST_S)
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        return int(pytest.main(["-x", *_words(), *chosen]))


def sample(rooms: Sequence[str], count: int, seed: int) -> list[tuple[str, Mutant]]:
    """Return as many mutants of each room, drawn from all its files."""
    drawn: list[tuple[str, Mutant]] = []
    for room in rooms:
        every = [mutant for path in sorted((PACKAGE / room).glob("*.py")) for mutant in mutants_of(path)]
        chosen = random.Random(f"{seed} {room}").sample(every, min(count // len(rooms), len(every)))
        drawn += [(room, mutant) for mutant in chosen]
    return drawn


def main() -> int:
    """Try a sample, print what lives and the shares; return 1 if more than a tenth does."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", action="append", choices=list(TESTS))
    chosen = parser.parse_args()
    import lxml.etree, numpy, scipy.optimize, shapely  # noqa: E401, F401, I001  # shared by all children

    tally: dict[str, list[int]] = {}
    known: dict[str, Visits] = {}
    for room, mutant in sample(chosen.room or list(TESTS), chosen.count, chosen.seed):
        if room not in known:
            known[room] = visits_of(room)
        outcome = try_mutant(mutant, room, known[room])
        seen = tally.setdefault(room, [0, 0])
        seen[0] += outcome != LIVES
        seen[1] += 1
        if outcome == LIVES:
            place = f"{mutant.path.relative_to(ROOT)}:{mutant.line}"
            sys.stdout.write(f"{outcome}  {place}  {mutant.before}  ->  {mutant.after}  ({seen[1]} tried)\n")
            sys.stdout.flush()
    for room, (killed, tried) in tally.items():
        sys.stdout.write(f"{room}: {killed} of {tried} killed ({killed / tried:.0%})\n")
    killed, tried = (sum(column) for column in zip(*tally.values(), strict=True))
    sys.stdout.write(f"in all: {killed} of {tried} killed ({killed / tried:.0%})\n")
    return int(killed < 0.9 * tried)


if __name__ == "__main__":
    sys.exit(main())
