"""What the terminal shows: progress on standard error, results on standard output, colour on a screen."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console


@dataclass
class Screen:
    """The two streams of a command; ``quiet`` silences both but never an error message."""

    quiet: bool = False

    @cached_property
    def console(self) -> "Console":
        """Where results are shown."""
        from rich.console import Console

        return Console(quiet=self.quiet, highlight=False, emoji=False, soft_wrap=not sys.stdout.isatty())

    @contextmanager
    def steps(self) -> Iterator[Callable[[str], None]]:
        """Yield a function that says what is being done, as long as it is being done."""
        if self.quiet or not sys.stderr.isatty():
            yield lambda doing: None
            return
        from rich.console import Console

        with Console(stderr=True, highlight=False, emoji=False).status("starting") as status:
            yield status.update

    def json(self, text: str) -> None:
        """Print JSON as it is, even when quiet; where the way out has not every letter, as ASCII."""
        if (sys.stdout.encoding or "").lower().replace("-", "") != "utf8":
            text = json.dumps(json.loads(text), indent=1) + "\n"
        sys.stdout.write(text)
