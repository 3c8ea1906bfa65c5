"""The log's file: opened whole or not at all, migrated with a backup, every fault one message."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from terrain_fuel.errors import LogError
from terrain_fuel.file_kinds import DATABASE, other_kind
from terrain_fuel.log.schema import APPLICATION_ID, STEPS
from terrain_fuel.regular_file import kind_of
from terrain_fuel.text import MESSAGE_LETTERS, PATH_LETTERS, plain_text
from terrain_fuel.user_folders import user_data_folder

PATIENCE_S = 5.0
"""How long another process's hold on the log is waited for."""

FILE_NAME = "log.sqlite"

STATISTICS = ("sqlite_stat1", "sqlite_stat4")
"""What SQLite itself lays beside the tables of whoever asks it to count."""


def log_file(named: Path | None) -> Path:
    """Return the log's file: the one named, or that in the user's data folder.

    Raises
    ------
    LogError
        If the user has no home folder and none is named.
    """
    if named is not None:
        return named
    try:
        return user_data_folder() / FILE_NAME
    except RuntimeError:
        raise LogError("the log: you have no home folder to keep it in; name a file with --log") from None


@contextmanager
def opened(path: Path, steps: Sequence[Sequence[str]] = STEPS) -> Iterator[sqlite3.Connection]:
    """Yield the log, made if there is none, brought to the version of today, closed afterwards.

    Parameters
    ----------
    path : its file
    steps : what leads from each version to the next

    Raises
    ------
    LogError
        If it cannot be read or written, is damaged, is another database or one of a later version.

    Notes
    -----
    Each change is one transaction with a write-ahead log: a process killed at any moment leaves a ride
    kept wholly or not at all. Deleted content is overwritten.
    """
    where = plain_text(str(path), PATH_LETTERS)
    with _faults_said(where, path):
        _make_folder(path)
        with closing(_connect(path)) as connection:
            _prepare(connection, path, where, steps)
            connection.text_factory = _plain
            yield connection


@contextmanager
def changing(connection: sqlite3.Connection) -> Iterator[None]:
    """Hold one transaction: all of it is kept, or nothing."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def sweep(connection: sqlite3.Connection, path: Path) -> None:
    """Leave no trace of what was deleted: not in free pages, not in the write-ahead log, not in backups."""
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.execute("VACUUM")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    for backup in path.parent.glob(f"{path.name}.before-*"):
        backup.unlink(missing_ok=True)


def _make_folder(path: Path) -> None:
    kind = kind_of(path)
    if kind:
        raise LogError(f"{path}: is {kind}, not a file; name the log's file with --log")
    path.parent.mkdir(parents=True, exist_ok=True)


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=PATIENCE_S, isolation_level=None)
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    return connection


def _prepare(connection: sqlite3.Connection, path: Path, where: str, steps: Sequence[Sequence[str]]) -> None:
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    known = int(connection.execute("PRAGMA application_id").fetchone()[0])
    tables = int(connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0])
    if tables and known != APPLICATION_ID:
        raise LogError(
            f"{where}: is another program's database, not a log of rides; name another file with --log"
        )
    if version > len(steps):
        raise LogError(
            f"{where}: is a log of version {version}; this program knows {len(steps)} at most; install the"
            " program that wrote it, or a later one; nothing was changed"
        )
    _refuse_other_parts(connection, where, steps[:version])
    found = str(connection.execute("PRAGMA quick_check(1)").fetchone()[0])
    if found != "ok":
        raise LogError(f"{where}: is damaged ({found}); put back a copy of it; nothing was changed")
    if version == len(steps):
        return
    connection.execute("PRAGMA journal_mode = WAL")
    if version:
        _back_up(connection, path.with_name(f"{path.name}.before-{len(steps)}"))
    _migrate(connection, steps)


def _refuse_other_parts(connection: sqlite3.Connection, where: str, steps: Sequence[Sequence[str]]) -> None:
    """Refuse a log that holds anything but our tables as we make them, before any of it is run.

    A view in the place of a table, a trigger or a check may say whatever its maker likes, and for ever.
    """
    with closing(sqlite3.connect(":memory:")) as ours:
        for step in steps:
            for statement in step:
                ours.execute(statement)
        other = _parts(connection) ^ _parts(ours)
    if other:
        name = plain_text(min(name for _, name, _ in other))
        raise LogError(
            f"{where}: its {name!r} is not as this program makes it; somebody changed it: name another"
            " file with --log; nothing was changed"
        )


def _parts(connection: sqlite3.Connection) -> set[tuple[str, str, str]]:
    """Return kind, name and words of every table, index, view and trigger; SQLite's own have no words."""
    found = connection.execute("SELECT type, name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {(str(kind), str(name), str(sql)) for kind, name, sql in found if name not in STATISTICS}


def _migrate(connection: sqlite3.Connection, steps: Sequence[Sequence[str]]) -> None:
    """Bring the log to the version of today; of two processes one does it, the other finds it done."""
    with changing(connection):
        version = int(connection.execute("PRAGMA user_version").fetchone()[0])
        for step in steps[version:]:
            for statement in step:
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(steps)}")


def _back_up(connection: sqlite3.Connection, path: Path) -> None:
    with closing(sqlite3.connect(path)) as copy:
        connection.backup(copy)


@contextmanager
def _faults_said(where: str, path: Path) -> Iterator[None]:
    """Turn whatever goes wrong with the file into one message."""
    try:
        yield
    except sqlite3.OperationalError as fault:
        raise LogError(f"{where}: {_said(str(fault))}; nothing was changed") from None
    except (sqlite3.DatabaseError, UnicodeDecodeError) as fault:  # the engine's own message may be no text
        kind = other_kind(path, DATABASE)
        if kind is not None:
            raise LogError(
                f"{where}: is {kind.called}, not a log of rides; name another file with --log"
            ) from None
        said = "what it says is no text" if isinstance(fault, UnicodeDecodeError) else fault
        raise LogError(
            f"{where}: is damaged or no log ({said}); put back a copy of it, or name another file with --log"
        ) from None
    except OSError as fault:
        raise LogError(
            f"{where}: cannot be kept there ({fault.strerror}); name a file with --log that you may write to"
        ) from None


def _plain(text: bytes) -> str:
    """Return a text of the log, which may be somebody else's, as text alone."""
    return plain_text(text.decode("utf-8", "replace"), MESSAGE_LETTERS)


def _said(fault: str) -> str:
    """Return what the database says, in the rider's words, and what to do."""
    if "locked" in fault or "busy" in fault:
        return f"another program holds the log for more than {PATIENCE_S:g} s; close it and try again"
    if "full" in fault:
        return "there is no room left on the disk; make room and try again"
    if "readonly" in fault or "unable to open" in fault:
        return "cannot be written; check that you may write to it and its folder, or name another with --log"
    return f"the log cannot be used ({fault}); check the disk, or name another file with --log"
