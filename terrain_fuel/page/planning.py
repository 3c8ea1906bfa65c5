"""Planning beside the server: one plan at a time, the newest wish first, stale ones never shown."""

import threading
from collections.abc import Callable
from typing import Protocol


class Plannable(Protocol):
    """What the planner is given: it knows itself what to plan and where to put it."""

    def plan_once(self) -> None:
        """Plan what holds now; put it in place unless something newer holds by then."""


class Planner:
    """One thread that plans whatever was asked for last; what is asked for twice is planned once."""

    def __init__(self) -> None:
        self._wanted: list[Plannable] = []
        self._changed = threading.Condition()
        self._turn = threading.Lock()
        self._closed = False
        self._thread = threading.Thread(target=self._work, name="planner", daemon=True)
        self._thread.start()

    def want(self, ride: Plannable) -> None:
        """Have a ride planned, before all others that wait."""
        with self._changed:
            self._wanted = [each for each in self._wanted if each is not ride]
            self._wanted.append(ride)
            self._changed.notify()

    def at_once(self, work: Callable[[], None]) -> None:
        """Do something that plans, here and now, while nothing else is planned."""
        with self._turn:
            work()

    def close(self) -> None:
        """Take no more work; the thread goes with the process."""
        with self._changed:
            self._closed = True
            self._wanted = []
            self._changed.notify()

    def _work(self) -> None:
        while True:
            with self._changed:
                while not self._wanted and not self._closed:
                    self._changed.wait()
                if self._closed:
                    return
                ride = self._wanted.pop()
            with self._turn:
                ride.plan_once()
