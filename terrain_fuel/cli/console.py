"""What the terminal shows: progress on standard error, results on standard output, colour on a screen."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from rich.console import Console


@dataclass
class Screen:
    """The two streams of a command; ``quiet`` silences both but never an error message."""

    quiet: bool = False
    console: Console = field(init=False)
    progress: Console = field(init=False)

    def __post_init__(self) -> None:
        self.console = Console(quiet=self.quiet, highlight=False, soft_wrap=not sys.stdout.isatty())
        self.progress = Console(stderr=True, quiet=self.quiet or not sys.stderr.isatty(), highlight=False)

    @contextmanager
    def steps(self) -> Iterator[Callable[[str], None]]:
        """Yield a function that says what is being done, as long as it is being done."""
        with self.progress.status("starting") as status:
            yield status.update

    def json(self, text: str) -> None:
        """Print JSON as it is, even when quiet; where the way out has not every letter, as ASCII."""
        if (sys.stdout.encoding or "").lower().replace("-", "") != "utf8":
            text = json.dumps(json.loads(text), indent=1) + "\n"
        sys.stdout.write(text)
