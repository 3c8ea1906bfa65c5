"""How much work one plan may take, counted in numbers, never in seconds: the same on any machine.

A number added or compared in a long column counts one; whatever else takes time counts as many as take
about as long. What a plan must have is done whatever it takes, and bounded by its size. What makes it
better or tells more of it ends where the work for it ends: what comes last is left out first.
"""

from collections.abc import Iterator
from contextlib import contextmanager

FOR_BITES = 2_500_000_000
"""Better bites are sought until a plan has taken so much."""

FOR_CHANGES = 2_900_000_000
"""Changes in the kitchen and caffeine are tried until then."""

FOR_PROOF = 3_200_000_000
"""How good any plan could be is worked out until then."""

FOR_REMEDIES = 3_400_000_000
"""What would help is tried until then."""

FOR_MISHAPS = 3_900_000_000
"""The day is planned with its mishaps until then."""


class OutOfWorkError(Exception):
    """What was being done has taken all the work there is for it; nothing is wrong."""


class Work:
    """The work of one plan: the one mutable count that is handed down to whatever takes long.

    Parameters
    ----------
    done : what the plan has taken before
    """

    def __init__(self, done: int = 0) -> None:
        self.done = done
        self.left_out: tuple[str, ...] = ()
        self._most: int | None = None
        self._part = ""

    def add(self, numbers: int) -> None:
        """Count work that is about to be done.

        Raises
        ------
        OutOfWorkError
            Where there is none left for it.
        """
        self.done += numbers
        if self._most is not None and self.done > self._most:
            raise OutOfWorkError

    @contextmanager
    def up_to(self, most: int, part: str) -> Iterator[None]:
        """Let what is done here end, without an error, once the plan has taken ``most``.

        ``part`` is then named in ``left_out``. Within another the outer one's ``most`` and ``part`` count.
        """
        outermost = self._most is None
        if outermost:
            self._most, self._part = most, part
        try:
            yield
        except OutOfWorkError:
            if self._part not in self.left_out:
                self.left_out = (*self.left_out, self._part)
        finally:
            if outermost:
                self._most = None
