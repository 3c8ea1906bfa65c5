"""The engine: tasks over real processes, each done once, kept, taken up again after a stop."""

import asyncio
import gc
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from distributed import Client

from terrain_fuel.errors import EngineError, OutputError
from terrain_fuel.many.cluster import open_cluster
from terrain_fuel.many.extra import refuse_without_extra
from terrain_fuel.many.kept import Kept
from terrain_fuel.many.run import Finished, SetAside, Shared, Task, run_tasks
from terrain_fuel.many.tables import write_tables
from terrain_fuel.many.work_key import work_key
from terrain_fuel.rider import Rider
from tests.many.made_work import LONGEST_S, doubled, made, pages_asked_for

# sockets to workers that died are Dask's to close: it leaves that to the collector
pytestmark = pytest.mark.filterwarnings("ignore:unclosed:ResourceWarning")


@pytest.fixture(scope="module")
def client() -> Iterator[Client]:
    with open_cluster(workers=2) as opened:
        yield opened
    gc.collect()  # what lost workers left open goes here, not in somebody else's test


def tasks_for(marks: Path, acts: dict[int, str], count: int = 6, shared: str = "") -> list[Task]:
    return [
        Task(
            f"number {number}",
            work_key(str(marks), number, shared),
            {"number": number, "marks": str(marks), "act": acts.get(number)},
            shared,
        )
        for number in range(count)
    ]


def times_done(marks: Path) -> dict[int, int]:
    return {int(path.name): path.stat().st_size for path in marks.iterdir()}


@pytest.fixture
def marks(tmp_path: Path) -> Path:
    (tmp_path / "marks").mkdir()
    return tmp_path / "marks"


def test_every_task_is_done_once_and_a_second_run_does_none(
    client: Client, tmp_path: Path, marks: Path
) -> None:
    kept = Kept.within(tmp_path)
    first = list(run_tasks(client, doubled, tasks_for(marks, {}), kept))
    again = list(run_tasks(client, doubled, tasks_for(marks, {}), kept))
    for outcomes, anew in ((first, True), (again, False)):
        assert all(isinstance(each, Finished) and each.anew is anew for each in outcomes)
        found = {each.task.name: each.kept for each in outcomes if isinstance(each, Finished)}
        assert found == {f"number {n}": str(2 * n).encode() for n in range(6)}
    assert times_done(marks) == dict.fromkeys(range(6), 1)


@pytest.mark.skipif(sys.platform != "linux", reason="other systems keep freed memory in their own ways")
def test_a_process_keeps_the_memory_that_it_has_freed(client: Client) -> None:
    """Giving it back and asking for it again, page by page, is most of a plan's time."""
    asked = client.submit(pages_asked_for, 400, 1_000_000).result(timeout=LONGEST_S)
    assert asked < 10_000, "400 arrays of 245 pages, the first of which must be asked for"


@pytest.mark.slow
def test_what_is_broken_off_in_the_background_is_not_told(
    client: Client, caplog: pytest.LogCaptureFixture
) -> None:
    async def break_off() -> None:
        left = asyncio.ensure_future(fail())
        await asyncio.wait([left])  # it has ended, and nobody asks what it came to

    async def fail() -> None:
        raise KeyError("a task that was called off")

    client.sync(break_off)
    gc.collect()
    assert caplog.text == ""


@pytest.mark.slow
def test_what_is_left_when_a_run_is_stopped_is_done_by_the_next(
    client: Client, tmp_path: Path, marks: Path
) -> None:
    kept = Kept.within(tmp_path)
    run = run_tasks(client, doubled, tasks_for(marks, {4: "wait", 5: "wait"}), kept)
    done = {next(run).task.name for _ in range(4)}
    run.close()
    assert done == {f"number {n}" for n in range(4)}
    client.restart(timeout=LONGEST_S)  # the sleepers end with their processes
    again = list(run_tasks(client, doubled, tasks_for(marks, {}), kept))
    assert [each.anew for each in again if isinstance(each, Finished)] == [False] * 4 + [True] * 2
    assert {n: times for n, times in times_done(marks).items() if n < 4} == dict.fromkeys(range(4), 1)


@pytest.mark.slow
def test_bad_input_and_poison_are_set_aside_by_name_and_the_rest_is_done(
    client: Client, tmp_path: Path, marks: Path
) -> None:
    acts = {1: "refuse", 2: "raise", 3: "die"}
    outcomes = list(run_tasks(client, doubled, tasks_for(marks, acts), Kept.within(tmp_path)))
    why = {each.task.name: each.why for each in outcomes if isinstance(each, SetAside)}
    assert why["number 1"] == "stage-2.gpx: is no route; export it again"
    assert why["number 2"] == "something unforeseen (ZeroDivisionError: by a rider)"
    assert why["number 3"].startswith("every worker that began it was lost")
    assert {each.task.name for each in outcomes if isinstance(each, Finished)} == {
        "number 0",
        "number 4",
        "number 5",
    }
    assert times_done(marks)[3] == 4  # Dask's own allowed failures, three, and the one too many


def test_what_tasks_share_is_made_for_all_and_its_fault_is_theirs(
    client: Client, tmp_path: Path, marks: Path
) -> None:
    shared = {"good": Shared(made, 5), "bad": Shared(made, -1)}
    good, bad = (tasks_for(marks, {}, 2, key) for key in shared)
    outcomes = list(run_tasks(client, doubled, [*good, *bad], Kept.within(tmp_path), shared=shared))
    assert {each.kept for each in outcomes if isinstance(each, Finished)} == {b"0", b"5"}
    assert {each.why for each in outcomes if isinstance(each, SetAside)} == {
        "stage-3.gpx: is no route; export it again"
    }


def test_a_task_that_cannot_be_put_away_ends_the_run_and_loses_nothing(
    client: Client, tmp_path: Path, marks: Path
) -> None:
    def settle(task: Task, value: Any) -> bytes:
        if task.name == "number 5":
            raise OutputError("out: cannot be written (no space)")
        return bytes(value)

    kept = Kept.within(tmp_path)
    done: list[Finished | SetAside] = []
    with pytest.raises(OutputError, match="no space"):
        done.extend(run_tasks(client, doubled, tasks_for(marks, {}), kept, settle=settle))
    again = list(run_tasks(client, doubled, tasks_for(marks, {}), kept))
    assert [each.anew for each in again if isinstance(each, Finished)].count(False) == len(done)


def test_what_no_longer_stands_is_done_anew(client: Client, tmp_path: Path, marks: Path) -> None:
    kept = Kept.within(tmp_path)
    list(run_tasks(client, doubled, tasks_for(marks, {}, 2), kept))
    again = run_tasks(
        client, doubled, tasks_for(marks, {}, 2), kept, is_whole=lambda task, content: content != b"2"
    )
    assert {each.task.name: each.anew for each in again if isinstance(each, Finished)} == {
        "number 0": False,
        "number 1": True,
    }


def test_a_key_is_the_same_in_every_process_and_another_for_any_other_setting() -> None:
    code = (
        "from terrain_fuel.many.work_key import work_key; from terrain_fuel.rider import Rider;"
        " print(work_key(Rider(ftp_w=230.0), b'route', 'A'))"
    )
    told = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout
    assert told.strip() == work_key(Rider(ftp_w=230.0), b"route", "A")
    others = {
        work_key(rider, route, name)
        for rider in (Rider(ftp_w=230.0), Rider(ftp_w=230.0000001))
        for route in (b"route", b"route ")
        for name in ("A", "B")
    }
    assert len(others) == 8


def test_only_named_tasks_are_kept(tmp_path: Path) -> None:
    kept = Kept.within(tmp_path)
    kept.write("a", b"1")
    kept.write("b", b"2")
    kept.keep_only(["b", "c"])
    assert (kept.read("a"), kept.read("b"), kept.read("c")) == (None, b"2", None)


def clients() -> list[Client]:
    """Return all that are held in memory, those that other tests have closed among them."""
    return [each for each in gc.get_objects() if type(each) is Client]


@pytest.mark.parametrize(
    ("address", "said"),
    [("tcp://127.0.0.1:9", "nothing answers"), ("kitchen", "is no address"), ("x://y", "is no address")],
)
def test_an_unknown_scheduler_is_one_message(
    address: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("terrain_fuel.many.cluster.ANSWER_S", 0.5)
    before = clients()
    with pytest.raises(EngineError, match=said), open_cluster(address):
        pass
    # a client left to the collector waits for ever for another that is just being made
    assert [each for each in clients() if each not in before] == []


def test_tables_go_wherever_fsspec_writes(tmp_path: Path) -> None:
    from pyarrow import parquet

    columns: dict[str, Any] = {"rider": ["A", "B"], "pieces": [1, 2]}
    (path,) = write_tables(str(tmp_path / "new"), {"kitchen": columns})
    assert parquet.read_table(path).to_pydict() == columns
    assert write_tables("memory://team", {"kitchen": columns}) == ("memory://team/kitchen.parquet",)
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError, match="tables cannot be written there"):
        write_tables(str(tmp_path / "file"), {"kitchen": columns})
    with pytest.raises(OutputError, match="tables cannot be written there"):
        write_tables("nowhere://team", {"kitchen": columns})


def test_simple_commands_import_nothing_of_the_engine() -> None:
    code = (
        "import sys, terrain_fuel.cli.main as m\n"
        "try: m.main(['plan', '--help'])\n"
        "except SystemExit: pass\n"
        "engine = {'dask', 'distributed', 'pyarrow', 'fsspec'}\n"
        "print(sorted(engine & {name.partition('.')[0] for name in sys.modules}))"
    )
    told = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout
    assert told.splitlines()[-1] == "[]"


def test_without_the_extra_one_message_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("terrain_fuel.many.extra.PACKAGES", ("dask", "not_there"))
    said = (
        'team: cannot run without the packages not_there; install them with pip install "terrain-fuel[team]"'
    )
    with pytest.raises(EngineError, match=re.escape(said)):
        refuse_without_extra("team")
