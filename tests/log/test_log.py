"""The log: kept wholly or not at all, the same ride once, deleted without trace, every fault one message."""

import os
import signal
import sqlite3
import stat
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.errors import LogError
from terrain_fuel.log.database import opened
from terrain_fuel.log.export import rides_as_csv, rides_as_json, without_ends
from terrain_fuel.log.rides import correct_ride, delete_ride, keep_ride, read_ride, read_rides
from terrain_fuel.log.schema import STEPS
from tests.log.made_log import made_ride


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "log.sqlite"


def test_what_is_kept_is_read_back_the_same(path: Path) -> None:
    rides = [made_ride(i) for i in range(3)]
    for ride in rides:
        keep_ride(path, ride)
    held = read_rides(path, with_places=True)
    assert [replace(ride, number=0) for ride in held] == rides
    assert [ride.number for ride in held] == [1, 2, 3]


def test_no_log_is_no_ride(path: Path) -> None:
    assert read_rides(path) == ()
    assert not path.exists()


def test_the_same_ride_is_kept_once_by_its_file_and_by_its_moment(path: Path) -> None:
    first = made_ride(1)
    assert keep_ride(path, first) == 1
    assert keep_ride(path, replace(first, stomach=3.0)) == 1
    other_format = replace(
        first, digest="f" * 64, format="GPX", elapsed_s=first.elapsed_s + 20.0, stomach=9.0
    )
    assert keep_ride(path, other_format) == 1
    assert [ride.stomach for ride in read_rides(path)] == [9.0]
    assert keep_ride(path, replace(made_ride(1), digest="e" * 64, elapsed_s=first.elapsed_s + 900.0)) == 2


def test_a_ride_is_corrected_and_nothing_else(path: Path) -> None:
    number = keep_ride(path, made_ride(1))
    correct_ride(path, number, {"stomach": 2.0, "notes": "too hot"})
    assert read_ride(path, number) == replace(made_ride(1), number=number, stomach=2.0, notes="too hot")
    with pytest.raises(LogError, match="stomach = 11"):
        correct_ride(path, number, {"stomach": 11.0})
    with pytest.raises(LogError, match="distance_m cannot be corrected; allowed are name"):
        correct_ride(path, number, {"distance_m": 1.0})
    with pytest.raises(LogError, match="has no ride 7"):
        correct_ride(path, 7, {"stomach": 1.0})
    assert read_ride(path, number).stomach == 2.0


def test_a_deleted_ride_leaves_no_trace(path: Path) -> None:
    secret = "a name nobody else has"
    keep_ride(path, made_ride(0))
    number = keep_ride(path, replace(made_ride(1), name=secret, hard_at=secret))
    backup = path.with_name(f"{path.name}.before-9")
    backup.write_text(secret)
    delete_ride(path, number)
    left = b"".join(file.read_bytes() for file in path.parent.iterdir())
    assert secret.encode() not in left
    assert [ride.number for ride in read_rides(path)] == [1]
    with closing(sqlite3.connect(path)) as log:
        assert log.execute("SELECT count(*) FROM eaten WHERE ride = ?", (number,)).fetchone() == (0,)
    with pytest.raises(LogError, match="has no ride 2"):
        delete_ride(path, number)


def test_an_older_log_is_brought_up_with_a_copy_made_before(path: Path) -> None:
    keep_ride(path, made_ride(0))
    later = (*STEPS, ("ALTER TABLE ride ADD COLUMN wind_m_s REAL",))
    with opened(path, later) as log:
        assert log.execute("SELECT wind_m_s FROM ride").fetchone()[0] is None
    backup = path.with_name("log.sqlite.before-2")
    assert [ride.name for ride in read_rides(backup)] == [made_ride(0).name]
    with pytest.raises(
        LogError, match=r"a log of version 2; this program knows 1 at most.*nothing was changed"
    ):
        read_rides(path)


def test_a_step_that_fails_changes_nothing(path: Path) -> None:
    keep_ride(path, made_ride(0))
    wrong = (*STEPS, ("ALTER TABLE ride ADD COLUMN wind_m_s REAL", "NO SQL AT ALL"))
    with pytest.raises(LogError), opened(path, wrong):
        pass
    assert len(read_rides(path)) == 1


def test_what_is_no_log_is_left_alone(path: Path) -> None:
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE music (song TEXT)")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(LogError, match="another program's database"):
        keep_ride(path, made_ride(0))
    assert path.read_bytes() == before
    path.write_text("no database at all, but long enough to be looked at " * 40)
    with pytest.raises(LogError, match="damaged or no log"):
        keep_ride(path, made_ride(0))
    with pytest.raises(LogError, match="is a folder"):
        keep_ride(path.parent, made_ride(0))


def test_a_damaged_log_is_said(path: Path) -> None:
    for i in range(30):
        keep_ride(path, made_ride(i))
    data = bytearray(path.read_bytes())
    data[8192:20_000] = b"\x55" * (20_000 - 8192)
    path.write_bytes(bytes(data))
    with pytest.raises(LogError, match="damaged"):
        read_rides(path)


FOR_EVER = "WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i AS number FROM n"


@pytest.mark.parametrize(
    "words",
    [
        "CREATE TRIGGER kept AFTER INSERT ON ride BEGIN DELETE FROM place; END",
        f"ALTER TABLE ride RENAME TO held; CREATE VIEW ride AS {FOR_EVER}",
        "CREATE INDEX slow ON ride (length(name || digest))",
        "ALTER TABLE ride ADD COLUMN more TEXT CHECK (length(more) < 9)",
        f"CREATE VIEW other AS {FOR_EVER}",
        "DROP TABLE place",
    ],
)
def test_a_log_that_somebody_built_otherwise_is_refused_before_it_is_read(path: Path, words: str) -> None:
    """A view in a table's place would be read for ever, a trigger do what its maker likes."""
    keep_ride(path, made_ride(0))
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.executescript(words)
        other.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = path.read_bytes()
    for use in (read_rides, lambda log: keep_ride(log, made_ride(1))):
        with pytest.raises(LogError, match="is not as this program makes it"):
            use(path)
    assert path.read_bytes() == before


def test_a_log_that_was_counted_by_its_owner_is_still_one(path: Path) -> None:
    keep_ride(path, made_ride(0))
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("ANALYZE")
    assert len(read_rides(path)) == 1


def test_a_log_whose_damage_is_no_text_is_said(path: Path) -> None:
    # the engine's own message quotes the damaged words, and Python cannot read it
    keep_ride(path, made_ride(0))
    whole = path.read_bytes()
    at = whole.index(b"CREATE TABLE place (ride INTEGER") + len(b"CREATE TABLE place (ride IN")
    path.write_bytes(whole[:at] + b"\xda" + whole[at + 1 :])
    with pytest.raises(LogError, match="damaged or no log"):
        read_rides(path)


def test_a_log_another_program_holds_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_ride(path, made_ride(0))
    monkeypatch.setattr("terrain_fuel.log.database.PATIENCE_S", 0.1)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(LogError, match="another program holds the log"):
            keep_ride(path, made_ride(1))
        other.execute("ROLLBACK")
    assert len(read_rides(path)) == 1


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="a superuser may write anywhere")
def test_a_folder_that_may_not_be_written_is_said(path: Path) -> None:
    path.parent.mkdir()
    path.parent.chmod(stat.S_IRUSR | stat.S_IXUSR)
    with pytest.raises(LogError, match="name another with --log"):
        keep_ride(path, made_ride(0))
    path.parent.chmod(stat.S_IRWXU)


def test_a_place_where_no_file_can_be_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(LogError, match="cannot be kept there"):
        keep_ride(tmp_path / "file" / "log.sqlite", made_ride(0))


FILLING = """
import resource, sys
from pathlib import Path
from terrain_fuel.errors import LogError
from terrain_fuel.log.rides import keep_ride
from tests.log.made_log import made_ride
path = Path(sys.argv[1])
keep_ride(path, made_ride(0))
room = path.stat().st_size + 40_000
resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
import signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
try:
    for i in range(1, 400):
        keep_ride(path, made_ride(i))
except LogError as fault:
    print(fault)
"""


@pytest.mark.skipif(os.name != "posix", reason="file sizes are not limited so elsewhere")
def test_a_disk_without_room_is_said_and_loses_nothing(path: Path) -> None:
    """A limit on the file's size stands for the full disk."""
    said = subprocess.run(
        [sys.executable, "-c", FILLING, str(path)], capture_output=True, text=True, check=True
    )
    assert said.stdout.count("\n") == 1
    assert "log.sqlite" in said.stdout
    assert said.stderr == ""
    rides = read_rides(path, with_places=True)
    assert rides
    assert all(replace(ride, number=0) == made_ride(i) for i, ride in enumerate(rides))


KEEPING = """
import sys
from pathlib import Path
from terrain_fuel.log.rides import keep_ride
from tests.log.made_log import made_ride
path = Path(sys.argv[1])
for i in range(int(sys.argv[2]), 100_000):
    print(i, flush=True)
    keep_ride(path, made_ride(i))
"""


def killed_while_keeping(path: Path, kills: int) -> None:
    """Kill a process that keeps rides, at many moments; each ride is in the log wholly or not at all, and
    none is lost that was kept before another was begun."""
    rng = np.random.default_rng(kills)
    begun = 0
    for _ in range(kills):
        process = subprocess.Popen(
            [sys.executable, "-c", KEEPING, str(path), str(begun)], stdout=subprocess.PIPE
        )
        assert process.stdout is not None
        begins = [process.stdout.readline() for _ in range(int(rng.integers(1, 4)))]
        time.sleep(float(rng.uniform(0.0, 0.03)))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        rides = read_rides(path, with_places=True)
        assert [replace(ride, number=0) for ride in rides] == [made_ride(i) for i in range(len(rides))]
        assert len(rides) >= int(begins[-1])
        begun = len(rides)


@pytest.mark.skipif(os.name != "posix", reason="no such signal elsewhere")
def test_a_killed_process_leaves_each_ride_whole_or_not_there(path: Path) -> None:
    killed_while_keeping(path, 6)


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="no such signal elsewhere")
def test_two_hundred_killed_processes_leave_each_ride_whole_or_not_there(path: Path) -> None:
    killed_while_keeping(path, 200)


def test_exports_cut_the_ends_where_somebody_lives() -> None:
    ride = made_ride(1)
    kept = without_ends(ride)
    assert min(place.ridden_m for place in kept.places) == 1000.0
    assert max(place.ridden_m for place in kept.places) == ride.places[-1].ridden_m - 1000.0
    for text in (rides_as_csv([kept]), rides_as_json([kept])):
        assert ride.name not in text
        assert ride.source not in text
    assert without_ends(replace(ride, places=ride.places[:4])).places == ()


def test_a_cell_is_no_formula() -> None:
    assert "'=1+1" in rides_as_csv([replace(made_ride(1), name="=1+1")])
