"""A log that somebody else filled in: every value that its columns take is shown as text, or one message."""

import math
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from terrain_fuel.cli.main import main
from terrain_fuel.errors import LogError
from terrain_fuel.log.rides import correct_ride, keep_ride, read_ride
from terrain_fuel.log.schema import EATEN_COLUMNS, PLACE_COLUMNS, RIDE_COLUMNS
from tests.fuzz.doors import command, is_harmless
from tests.log.made_log import made_ride

HOSTILE = "\u202eA\x1b[2J \x9b31mb\u2028"
TEXTS = (HOSTILE, "n" * 5000, "", "2027-03-01T08:00:00", "0001-01-01T00:00:00+14:00", "25:99", "beer")
NUMBERS = (math.inf, -math.inf, 1e308, -1e308, 1e9, -1e9, 5e-324, 0.0, -1.0)
TABLES = {"ride": RIDE_COLUMNS, "eaten": EATEN_COLUMNS, "place": PLACE_COLUMNS}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    kept = tmp_path / "log.sqlite"
    for number in range(4):
        keep_ride(kept, made_ride(number))
    return kept


def filled(path: Path, table: str, column: str, value: object) -> None:
    """Write a value into two rows, as any program may."""
    with closing(sqlite3.connect(path)) as log, log:
        log.execute(f"UPDATE {table} SET {column} = ? WHERE rowid IN (1, 2)", (value,))


def hold(path: Path) -> None:
    """Every command that reads a log ends in order, and what it writes is text and numbers."""
    beside = path.parent / "out"
    for words in (["log"], ["log", "--show=1"], ["learn"]):
        command([*words, f"--log={path}"])
    for option, suffix in (("export", "csv"), ("export", "json"), ("season", "html")):
        file = beside.with_suffix(f".{suffix}")
        code, _, _ = command(["log", f"--{option}={file}", f"--log={path}"])
        if code == 0:
            written = file.read_text(encoding="utf-8")
            assert all(is_harmless(line) for line in written.replace("\t", " ").splitlines())
            assert suffix != "json" or not any(word in written for word in ("Infinity", "NaN"))


def strange() -> Iterator[tuple[str, str, object]]:
    """Yield a value that a column takes and no ride has."""
    for table, columns in TABLES.items():
        for column, kind in columns:
            if "CHECK" not in kind and column != "digest":
                yield from ((table, column, value) for value in (TEXTS if "TEXT" in kind else NUMBERS))


@pytest.mark.slow
@pytest.mark.parametrize("table", TABLES)
def test_whatever_a_column_takes_is_shown_or_refused(table: str, path: Path) -> None:
    data = path.read_bytes()
    for place, column, value in strange():
        if place == table:
            path.write_bytes(data)
            filled(path, table, column, value)
            hold(path)


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        ("ride", "name", HOSTILE),
        ("eaten", "item", HOSTILE),
        ("ride", "start", "beer"),
        ("ride", "start", "2027-03-01T08:00:00"),
        ("ride", "bedtime", "10pm"),
        ("ride", "moving_s", 0.0),
        ("ride", "halts_s", -1e9),
        ("ride", "sweat_ml_per_h", -1.0),
        ("ride", "modelled_sweat_ml_per_h", 5e-324),
        ("eaten", "portions", math.inf),
        ("place", "lat_deg", math.inf),
    ],
)
def test_what_once_got_in_stays_out(table: str, column: str, value: object, path: Path) -> None:
    filled(path, table, column, value)
    hold(path)


def test_a_ride_that_cannot_be_is_named_and_can_be_deleted(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    filled(path, "ride", "drag_m2", -1.0)
    assert main(["log", f"--log={path}"]) == 2
    said = capsys.readouterr().err
    assert "log.sqlite: ride 1 cannot be (drag_m2 is -1.0; allowed is 0.001 to 1000)" in said
    assert "delete it with --delete 1" in said
    for number in ("1", "2"):
        assert main(["log", f"--log={path}", f"--delete={number}"]) == 0
    assert main(["log", f"--log={path}"]) == 0


@pytest.mark.parametrize(
    ("name", "value"), [("bedtime", "10pm"), ("sweat_ml_per_h", -5.0), ("eaten_g_per_h", math.inf)]
)
def test_a_correction_that_cannot_be_is_refused(name: str, value: object, path: Path) -> None:
    with pytest.raises(LogError, match=rf"log: {name} is .*; allowed is .*; nothing was changed"):
        correct_ride(path, 1, {name: value})
    assert getattr(read_ride(path, 1), name) == getattr(made_ride(0), name)


def test_corrections_are_text_too(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["log", f"--log={path}", "--correct=1", f"--set=notes={HOSTILE}"]) == 0
    assert read_ride(path, 1).notes == "A b"
    assert is_harmless(capsys.readouterr().out.replace("\n", " "))
