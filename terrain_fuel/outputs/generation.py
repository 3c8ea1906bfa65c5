"""Files that belong together, put in place together: all of the new ones, or all as it was before."""

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from errno import EISDIR, ENOTDIR
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.text import PATH_LETTERS, plain_text
from terrain_fuel.what_stands import is_folder, is_there

ASIDE = ".terrain-fuel-"
BACKUP = "before"


@contextmanager
def generation_in(folder: Path, names: Sequence[str]) -> Iterator[Path]:
    """Yield a folder to write files of these names to; at the end they take their places together.

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    with _faults_said(folder), aside_in(folder) as aside:
        yield aside
        put_in_place(aside, names, folder)


@contextmanager
def held_generation(folder: Path, names: Sequence[str], write: Callable[[Path], None]) -> Iterator[None]:
    """Have files of these names written aside and put in place; if what follows fails, all is as it was.

    Parameters
    ----------
    folder, names : as for `generation_in`
    write : writes the files into a folder

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    with _faults_said(folder), aside_in(folder) as aside:
        write(aside)
        with _in_place(aside, names, folder):
            yield


@contextmanager
def _faults_said(folder: Path) -> Iterator[None]:
    """Turn whatever goes wrong with a folder into one message."""
    where = plain_text(str(folder), PATH_LETTERS)
    if "\0" in str(folder):
        raise OutputError(f"{where}: is no name that a folder can have; choose another")
    try:
        yield
    except (OSError, OutputError) as said:
        # what a writer said of a file aside is a name nobody knows
        fault = said.__cause__ if isinstance(said, OutputError) else said
        if not isinstance(fault, OSError):
            raise
        raise OutputError(
            f"{where}: cannot be written ({fault.strerror}); choose a folder with room that you may write to;"
            " nothing in it has changed"
        ) from None


@contextmanager
def aside_in(folder: Path) -> Iterator[Path]:
    """Yield a new folder within a folder, gone afterwards; what killed runs left there is swept.

    Raises
    ------
    OSError
        If the folder cannot be made; then nothing of it is left, nor of the folders above it.
    """
    made = _make_folders(folder)
    try:
        with _claimed(folder) as aside:
            yield aside
    finally:
        for new in made:  # innermost first; one that holds something stays
            with suppress(OSError):
                new.rmdir()


def put_in_place(aside: Path, names: Sequence[str], folder: Path) -> None:
    """Move files from aside into a folder, each in one step; after a fault all is as it was.

    Raises
    ------
    OSError
        If one of them cannot take its place.
    """
    with _in_place(aside, names, folder):
        pass


@contextmanager
def _in_place(aside: Path, names: Sequence[str], folder: Path) -> Iterator[None]:
    """Move files from aside into a folder; after a fault, then or in what follows, all is as it was."""
    before = aside / BACKUP
    before.mkdir()
    held = [name for name in names if os.path.lexists(folder / name)]
    for name in held:
        _keep_copy(folder / name, before / name)
    moved: list[str] = []
    try:
        for name in names:
            moved.append(name)
            os.replace(aside / name, folder / name)
        yield
    except BaseException:
        for name in reversed(moved):
            with suppress(OSError):
                _put_back(aside / name, before / name, folder / name)
        raise


def _put_back(new: Path, old: Path, place: Path) -> None:
    if new.exists():  # it never took its place
        return
    if os.path.lexists(old):
        os.replace(old, place)
    else:
        place.unlink()


def _keep_copy(place: Path, copy: Path) -> None:
    """Keep what a name stands for: a second name for it, or where that is not allowed its content."""
    if place.is_dir() and not place.is_symlink():
        raise IsADirectoryError(EISDIR, f"{place.name} is a folder")
    try:
        os.link(place, copy, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(place, copy, follow_symlinks=False)


def _make_folders(folder: Path) -> list[Path]:
    """Make a folder and those above it; return those that are new, innermost first."""
    new = [path for path in (folder, *folder.parents) if not is_there(path)]
    made: list[Path] = []
    try:
        for path in reversed(new):
            path.mkdir(exist_ok=True)
            made.insert(0, path)
        if not new and not is_folder(folder):
            raise NotADirectoryError(ENOTDIR, "it is a file, not a folder")
    except OSError:
        for path in made:
            path.rmdir()
        raise
    return made


@contextmanager
def _claimed(folder: Path) -> Iterator[Path]:
    """Yield a new folder within a folder that no other run takes for left behind."""
    with _lock(folder):  # so that no run sweeps a folder between its making and its locking
        for left in folder.glob(f"{ASIDE}*"):
            _sweep(left)
        aside = Path(tempfile.mkdtemp(prefix=ASIDE, dir=folder))
        lock = _open_locked(aside)
    try:
        yield aside
    finally:
        if lock is not None:
            os.close(lock)
        shutil.rmtree(aside, ignore_errors=True)


def _sweep(left: Path) -> None:
    """Remove a folder that no living run holds."""
    lock = _open_locked(left, wait=False)
    if lock is not None:
        os.close(lock)
        shutil.rmtree(left, ignore_errors=True)


@contextmanager
def _lock(folder: Path) -> Iterator[None]:
    lock = _open_locked(folder)
    try:
        yield
    finally:
        if lock is not None:
            os.close(lock)


def _open_locked(folder: Path, wait: bool = True) -> int | None:
    """Return a locked descriptor of a folder, None if another run has it or the system has no such locks.

    The lock goes with the process, however it ends.
    """
    try:
        import fcntl
    except ImportError:
        return None
    try:
        descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)  # a pipe would be waited for
    except OSError:
        return None
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError:
        os.close(descriptor)
        return None
    return descriptor
