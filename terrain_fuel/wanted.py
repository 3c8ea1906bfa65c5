"""Long work broken off between two of its steps, where nobody waits for it any more.

A plan on the page is stale as soon as something is changed again. What takes long asks here at each step; who
started it says what it is wanted for.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_wanted: ContextVar[Callable[[], bool] | None] = ContextVar("wanted", default=None)


class NoLongerWantedError(Exception):
    """What was being made is no longer wanted; nothing is wrong."""


@contextmanager
def wanted_while(wanted: Callable[[], bool]) -> Iterator[None]:
    """Let what is done here be broken off at its next step once ``wanted`` returns False.

    Raises
    ------
    NoLongerWantedError
        From within, where it is broken off.
    """
    before = _wanted.set(wanted)
    try:
        yield
    finally:
        _wanted.reset(before)


def go_on() -> None:
    """Return if what is being done is still wanted; it always is where nobody said how long."""
    wanted = _wanted.get()
    if wanted is not None and not wanted():
        raise NoLongerWantedError
