"""Telling every page that looks at a ride that there is something new, from whatever thread."""

import asyncio
import contextlib
from collections.abc import Iterator


class Bell:
    """Rung from any thread, heard on the server's loop."""

    def __init__(self, loop: asyncio.AbstractEventLoop | None = None) -> None:
        self.loop = loop
        self._ears: set[asyncio.Event] = set()

    @property
    def ears(self) -> int:
        """How many listen."""
        return len(self._ears)

    def ring(self) -> None:
        """Wake all who listen."""
        if self.loop is not None:
            with contextlib.suppress(RuntimeError):  # the server is going
                self.loop.call_soon_threadsafe(self._wake)

    def _wake(self) -> None:
        for ear in self._ears:
            ear.set()

    @contextlib.contextmanager
    def heard(self) -> Iterator[asyncio.Event]:
        """Yield an event that is set whenever the bell rings; whoever waits on it clears it."""
        ear = asyncio.Event()
        self._ears.add(ear)
        try:
            yield ear
        finally:
            self._ears.discard(ear)
