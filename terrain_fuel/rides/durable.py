"""Files that are there whole, or as they were, however the process ends."""

import os
import stat
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.text import PATH_LETTERS, plain_text

PART = ".part-"
"""What the names of files being written begin with; one that is left behind is nobody's."""


def write_durably(path: Path, content: bytes) -> None:
    """Write a file so that it is on the disk, whole, before this returns; else it is as it was.

    Raises
    ------
    OutputError
        If the folder cannot be written to.
    """
    with _said(path):
        descriptor, name = tempfile.mkstemp(prefix=PART, dir=path.parent)
        try:
            with suppress(OSError):
                os.chmod(name, stat.S_IMODE(path.stat().st_mode))
            with open(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            os.replace(name, path)
        except BaseException:
            with suppress(OSError):
                os.unlink(name)
            raise
        settle(path.parent)


def remove_durably(path: Path) -> None:
    """Remove a file, if it is there, so that it stays removed."""
    with _said(path):
        path.unlink(missing_ok=True)
        settle(path.parent)


def make_folder(path: Path) -> None:
    """Make a folder of our own within another, if it is not there.

    Raises
    ------
    OutputError
        If it cannot be made, or a link stands there.
    """
    refuse_link(path)
    with _said(path):
        path.mkdir(exist_ok=True)


def refuse_link(path: Path) -> None:
    """Refuse a link where a folder of our own belongs: we would sweep among files that are none of ours.

    Raises
    ------
    OutputError
        If one stands there.
    """
    if path.is_symlink():
        raise OutputError(
            f"{plain_text(str(path), PATH_LETTERS)}: is a link to another folder, in which nothing is written"
            " or swept; remove the link"
        )


def sweep_away(paths: Iterable[Path]) -> None:
    """Remove files that are nobody's any more; what is no file stays where it is."""
    for path in paths:
        with suppress(OSError):
            path.unlink()


def settle(folder: Path) -> None:
    """Have the names in a folder on the disk; some systems cannot, and need not."""
    descriptor = _opened(folder)
    if descriptor is None:
        return
    with suppress(OSError):
        os.fsync(descriptor)
    os.close(descriptor)


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Hold a lock file, waiting for it; it goes with the process, however that ends.

    Raises
    ------
    OutputError
        If the file cannot be made, or a link stands there.
    """
    with _said(path):
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    try:
        with suppress(ImportError):
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX)
        yield
    finally:
        os.close(descriptor)


@contextmanager
def alone_in(folder: Path, what: str) -> Iterator[None]:
    """Hold a folder against other processes that ask for it; it goes with the process, however that ends.

    Parameters
    ----------
    folder : which is there; nothing is written to it
    what : how a message begins that somebody else holds it

    Raises
    ------
    OutputError
        If another process holds it. Where a file system knows no locks nobody is refused.
    """
    descriptor = _opened(folder)
    try:
        if descriptor is not None:
            _lock(descriptor, what)
        yield
    finally:
        if descriptor is not None:
            os.close(descriptor)


def _lock(descriptor: int, what: str) -> None:
    with suppress(ImportError, OSError):  # a system or a file system without locks
        import fcntl

        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise OutputError(
                f"{what}: another run is writing there; wait until it has ended and ask again, or choose"
                " another folder with --out"
            ) from None


def _opened(folder: Path) -> int | None:
    """Return a folder's descriptor, None on a system that opens no folders."""
    try:
        return os.open(folder, os.O_RDONLY)
    except OSError:
        return None


@contextmanager
def _said(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as fault:
        raise OutputError(
            f"{plain_text(str(path), PATH_LETTERS)}: cannot be written ({fault.strerror}); choose a folder"
            " with room that you may write to"
        ) from None
