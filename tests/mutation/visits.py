"""Which tests come by which functions, and a change put into a function where it stands."""

import ast
import functools
import gc
import inspect
import sys
import types
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

Place = tuple[str, str]
"""File and qualified name of a function."""


class Visits:
    """Notes, while tests run, which functions under a folder each calls, how long it takes, and which fail.

    What a test keeps for others of its file is theirs too: who calls is the file, beside the test.
    """

    def __init__(self, folder: Path) -> None:
        self._below = f"{folder}/"
        self._test = ""
        self.tests: defaultdict[Place, set[str]] = defaultdict(set)
        self.of_file: defaultdict[str, set[str]] = defaultdict(set)
        self.failing: set[str] = set()
        self.duration_s: defaultdict[str, float] = defaultdict(float)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note what is called while a test runs, its fixtures too."""
        if item.nodeid.partition("::")[0] != self._test.partition("::")[0]:
            forget_results()
        self._test = item.nodeid
        self.of_file[item.nodeid.partition("::")[0]].add(item.nodeid)
        sys.setprofile(self._called)
        try:
            return (yield)
        finally:
            sys.setprofile(None)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note how a test went."""
        self.duration_s[report.nodeid] += report.duration
        if report.failed:
            self.failing.add(report.nodeid)

    def tests_of(self, place: Place) -> list[str]:
        """Return the tests that come by a function, the quickest first, then the others of their files."""
        by = self.tests.get(place, set()) - self.failing
        files = {test.partition("::")[0] for test in by}
        beside = set().union(*(self.of_file[file] for file in files)) - by - self.failing
        return [
            test for tests in (by, beside) for test in sorted(tests, key=lambda test: self.duration_s[test])
        ]

    def _called(self, frame: types.FrameType, event: str, _: object) -> None:
        code = frame.f_code
        if event == "call" and code.co_filename.startswith(self._below):
            self.tests[code.co_filename, code.co_qualname].add(self._test)


def changed_function(path: Path, before: str, after: str) -> types.CodeType | None:
    """Return the one function that a changed text makes otherwise; None if more than that is otherwise."""
    same_lines = ast.unparse(ast.parse(before))  # as a changed text is written
    ours = list(_functions(compile(same_lines, str(path), "exec")))
    theirs = list(_functions(compile(after, str(path), "exec")))
    if [name for name, _ in ours] != [name for name, _ in theirs]:
        return None
    other = [new for (_, old), (_, new) in zip(ours, theirs, strict=True) if old != new]
    return other[0] if len(other) == 1 and _is_function(other[0]) else None


def put_in_place(code: types.CodeType) -> bool:
    """Give a loaded function its changed code, for all who hold it; return False if none is loaded.

    What was kept of results before is forgotten.
    """
    found = False
    for each in gc.get_objects():
        if isinstance(each, types.FunctionType) and place_of(each.__code__) == place_of(code):
            each.__code__ = code
            found = True
    forget_results()
    return found


def forget_results() -> None:
    """Forget what functions have kept of results before."""
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and each.__module__.startswith(
            ("terrain_fuel", "tests")
        ):
            each.cache_clear()


def place_of(code: types.CodeType) -> Place:
    """Return where a function stands."""
    return code.co_filename, code.co_qualname


def _is_function(code: types.CodeType) -> bool:
    """Return whether code is a function's: no class's, module's or comprehension's."""
    return bool(code.co_flags & inspect.CO_OPTIMIZED) and not code.co_name.startswith("<")


def _functions(code: types.CodeType) -> Iterator[tuple[str, types.CodeType]]:
    """Yield a module's outermost functions, and what module and classes do beside them."""
    inner = [each for each in code.co_consts if isinstance(each, types.CodeType)]
    for each in inner:
        if _is_function(each):
            yield each.co_qualname, each
        else:
            yield from _functions(each)
    rest = tuple(each for each in code.co_consts if not isinstance(each, types.CodeType))
    yield f"<{code.co_qualname}>", code.replace(co_consts=rest)
