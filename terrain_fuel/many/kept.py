"""What is done already, on disk: a file a finished task, named by its key, so that a stopped run goes on."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rides.durable import PART, alone_in, make_folder, sweep_away, write_durably
from terrain_fuel.text import PATH_LETTERS, plain_text

KEPT = ".kept"
"""The folder within a run's outputs."""

MOST_BYTES = 1_000_000_000
"""No task comes to more; what is larger is none of ours."""


@contextmanager
def only_run(out: Path) -> Iterator[None]:
    """Make the folder of a run's outputs and hold it: two runs would each sweep away what the other keeps.

    Raises
    ------
    OutputError
        If it cannot be made, or another run holds it.
    """
    _make_out(out)
    make_folder(out / KEPT)
    with alone_in(out / KEPT, plain_text(str(out), PATH_LETTERS)):
        yield


def _make_out(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or "no folder can have that name"
        raise OutputError(
            f"{plain_text(str(out), PATH_LETTERS)}: cannot be made ({why}); choose another folder with --out"
        ) from None


@dataclass(frozen=True, slots=True)
class Kept:
    """What a folder of finished tasks holds; a file is there whole or not at all."""

    folder: Path

    @classmethod
    def within(cls, out: Path) -> "Kept":
        """Return the finished tasks of a run that writes to ``out``, which is there.

        Raises
        ------
        OutputError
            If the folder cannot be made.
        """
        make_folder(out / KEPT)
        return cls(out / KEPT)

    def read(self, key: str) -> bytes | None:
        """Return what was kept of a task, None if it has not been done."""
        try:
            return read_regular(self.folder / key, MOST_BYTES, OutputError, "what was kept", "remove it")
        except OutputError:
            return None

    def write(self, key: str, content: bytes) -> None:
        """Keep what a finished task came to.

        Raises
        ------
        OutputError
            If it cannot be written; what was kept before is still there.
        """
        write_durably(self.folder / key, content)

    def keep_only(self, keys: Iterable[str]) -> None:
        """Forget all tasks but these, and what killed runs left half written."""
        wanted = set(keys)
        sweep_away(
            path for path in self.folder.iterdir() if path.name not in wanted or path.name.startswith(PART)
        )
