"""A whole team by the command, over real processes: the single command's bytes, and nothing lost."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from pyarrow import parquet
from pypdf import PdfReader

from terrain_fuel.errors import EngineError
from terrain_fuel.many.cluster import open_cluster
from terrain_fuel.many.kept import KEPT, Kept
from terrain_fuel.many.run import Finished, SetAside, Task, run_tasks
from tests.many.made_work import gated
from tests.team.made_team import RIDERS, write_team

ROOT = Path(__file__).resolve().parent.parent.parent
COMMAND = [sys.executable, "-m", "terrain_fuel"]
LONGEST_S = 240

pytestmark = pytest.mark.slow


def told(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *words], check=False, capture_output=True, text=True, timeout=LONGEST_S, cwd=ROOT
    )


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and KEPT not in path.parts and path.suffix != ".parquet"
    }


def wait_for(what: Path, count: int) -> None:
    for _ in range(LONGEST_S * 20):
        if what.is_dir() and len(list(what.iterdir())) >= count:
            return
        time.sleep(0.05)
    raise AssertionError(f"{what} never held {count}")


@contextmanager
def process(*words: str) -> Iterator[subprocess.Popen[bytes]]:
    """Start a process with a group of its own, of which nothing is left at the end."""
    none, said = subprocess.DEVNULL, subprocess.PIPE if words[0] == "-c" else subprocess.DEVNULL
    running = subprocess.Popen(
        [sys.executable, *words], stdin=none, stdout=none, stderr=said, cwd=ROOT, start_new_session=True
    )
    try:
        yield running
    finally:
        with suppress(ProcessLookupError):
            os.killpg(running.pid, signal.SIGKILL)
        running.wait(LONGEST_S)


@contextmanager
def scheduler(port: int) -> Iterator[subprocess.Popen[bytes]]:
    words = (
        "-m",
        "distributed.cli.dask_scheduler",
        "--host",
        "127.0.0.1",
        "--port",
        str(port),
        "--no-dashboard",
    )
    with process(*words, "--no-show") as running:
        yield running


@contextmanager
def workers(port: int, count: int) -> Iterator[subprocess.Popen[bytes]]:
    words = (
        "-m",
        "distributed.cli.dask_worker",
        f"tcp://127.0.0.1:{port}",
        "--nthreads",
        "1",
        "--no-dashboard",
    )
    with process(*words, "--nworkers", str(count)) as running:
        yield running


def free_port() -> int:
    import socket

    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        return int(listening.getsockname()[1])


def test_a_team_by_the_command_its_bytes_and_its_second_run(tmp_path: Path) -> None:
    bunch = '[[bunch]]\nset_by = "Ilka Brandvold"\n'
    team, out = write_team(tmp_path / "in", 1, bunch), tmp_path / "out"
    first = told("team", str(team), "--out", str(out))
    assert (first.returncode, first.stderr) == (0, "")
    assert f"2 plans in {out}: 2 planned now, 0 from before" in first.stdout
    marlo = out / "Marlo-Fenwether" / "1"
    single = tmp_path / "single"
    settings = [f"--{name}={marlo / name}.toml" for name in ("rider", "pantry", "day")]
    assert told("plan", str(tmp_path / "in" / "stage-1.gpx"), "--out", str(single), *settings).returncode == 0
    assert {path: made for path, made in files_in(marlo).items() if ".toml" not in path} == files_in(single)
    before = files_in(out)
    (marlo / "sheet.pdf").unlink()
    again = told("team", str(team), "--out", str(out))
    assert f"2 plans in {out}: 1 planned now, 1 from before" in again.stdout
    assert files_in(out) == before
    pages = [page.extract_text() for page in PdfReader(out / "team.pdf").pages]
    assert [page.splitlines()[0] for page in pages[:2]] == ["Shopping", "Kitchen, the evening before"]
    for page in (page for page in pages if "For the helper at Mill" in page):
        assert all(name in page for name in RIDERS)
    table = parquet.read_table(out / "tables" / "bottles.parquet").to_pydict()
    assert set(table["rider"]) == set(RIDERS)


def test_the_teams_sheets_speak_the_teams_language_and_cut_no_heading(tmp_path: Path) -> None:
    """Riders have their own: their languages stand in their files."""
    team, out = write_team(tmp_path / "in", 1), tmp_path / "out"
    hot = (tmp_path / "in" / "day.toml").read_text().replace("temperature_c = 24", "temperature_c = 40")
    (tmp_path / "in" / "day.toml").write_text(hot)
    team.write_text(team.read_text().replace('"Mill Lane"', '"Mill Lane"\nlanguage = "de"', 1))
    done = told("team", str(team), "--out", str(out), "--plans-only")
    assert done.returncode == 3
    first, *lines = done.stdout.splitlines()
    assert first.startswith("1, alle: nicht fahren: ")
    assert not [line for line in lines if "nicht fahren" in line]
    assert lines[0] == f"2 Pläne in {out}: 2 jetzt geplant, 0 von vorher"
    # the exit code says that a rule is broken: so does a line, and by whom
    assert lines[1].startswith(
        f"1: eine feste Regel lässt sich nicht einhalten bei {', '.join(RIDERS)}, von 2"
    )
    assert lines[-1].startswith(f"geschrieben nach {out}: team.pdf, team.html, tables/plans.parquet, ")
    text = " ".join(page.extract_text() for page in PdfReader(out / "team.pdf").pages)
    assert "nicht fahren" in text
    assert "do not ride" not in text
    assert "\u2026" not in text
    said = json.loads((out / "Marlo-Fenwether" / "1" / "plan.json").read_text())["violations"]
    assert any("ride" in each["sentence"] for each in said)


def test_four_processes_on_the_loopback_make_the_same_bytes(tmp_path: Path) -> None:
    team, port = write_team(tmp_path / "in", 2), free_port()
    here, there = tmp_path / "here", tmp_path / "there"
    words = ("team", str(team), "--plans-only", "--quiet")
    assert told(*words, "--out", str(here), "--workers", "1").returncode == 0
    with scheduler(port), workers(port, 4):
        done = told(*words, "--out", str(there), "--scheduler", f"tcp://127.0.0.1:{port}")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
    assert files_in(here) == files_in(there)
    for name in ("plans", "shopping", "shares", "bottles", "handed_up"):
        one, four = (parquet.read_table(folder / "tables" / f"{name}.parquet") for folder in (here, there))
        assert one.equals(four)


def test_one_broken_route_leaves_the_rest_done_and_says_so(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 2), tmp_path / "out"
    (tmp_path / "in" / "stage-2.gpx").write_text("<gpx>torn", encoding="utf-8")
    done = told("team", str(team), "--out", str(out), "--plans-only")
    assert done.returncode == 4
    (line,) = done.stderr.splitlines()
    assert line.startswith("not planned: Ilka Brandvold, 2 and 1 more: stage-2.gpx: ")
    assert {path.parent.name for path in out.rglob("plan.json")} == {"1"}
    assert "stage-2.gpx" in PdfReader(out / "team.pdf").pages[0].extract_text()


def test_ctrl_c_ends_it_with_one_line_and_the_next_run_goes_on(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 4), tmp_path / "out"
    words = ["team", str(team), "--out", str(out), "--workers", "1", "--plans-only"]
    # what was started in the background has this signal ignored, and so has all that it starts
    heard = "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler)"
    program = f"{heard}; from terrain_fuel.cli.main import main; sys.exit(main())"
    with process("-c", program, *words) as running:
        wait_for(out / KEPT, 1)
        os.killpg(running.pid, signal.SIGINT)  # as a terminal does: to the workers too
        said = running.communicate(timeout=LONGEST_S)[1].decode()
    assert (running.returncode, said) == (130, "terrain-fuel: interrupted; nothing is left half written\n")
    finished = len(list((out / KEPT).iterdir()))
    again = told(*words)
    assert f"8 plans in {out}: {8 - finished} planned now, {finished} from before" in again.stdout
    assert len(list(out.rglob("plan.json"))) == 8


def gated_tasks(folder: Path) -> list[Task]:
    (folder / "marks").mkdir(exist_ok=True)
    return [Task(str(n), f"key-{n}", (n, str(folder))) for n in range(6)]


def done_in(folder: Path) -> dict[str, int]:
    """Return how often each piece of work was done to its end."""
    return {path.name: path.stat().st_size for path in (folder / "marks").iterdir()}


def open_gate(folder: Path) -> None:
    (folder / "gate").touch()


def test_a_killed_worker_costs_only_what_it_was_at(tmp_path: Path) -> None:
    port, kept = free_port(), Kept.within(tmp_path)
    with scheduler(port), workers(port, 2), open_cluster(f"tcp://127.0.0.1:{port}") as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        outcomes = [next(run) for _ in range(3)]
        wait_for(tmp_path / "begun", 1)
        pid = int(next((tmp_path / "begun").iterdir()).name)
        os.kill(pid, signal.SIGKILL)
        open_gate(tmp_path)
        outcomes.extend(run)
    assert sorted(each.task.name for each in outcomes if isinstance(each, Finished)) == list("012345")
    assert done_in(tmp_path) == dict.fromkeys("012345", 1)


def test_a_scheduler_stopped_and_started_again_goes_on_where_it_was(tmp_path: Path) -> None:
    port, kept = free_port(), Kept.within(tmp_path)
    address = f"tcp://127.0.0.1:{port}"
    outcomes: list[Finished | SetAside] = []
    with scheduler(port) as first, workers(port, 2), open_cluster(address) as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        outcomes.extend(next(run) for _ in range(3))
        os.killpg(first.pid, signal.SIGKILL)
        with pytest.raises(EngineError, match="was lost with 3 tasks to do; what is done is kept"):
            outcomes.extend(run)
    open_gate(tmp_path)
    assert done_in(tmp_path) == dict.fromkeys("012", 1)
    with scheduler(port), workers(port, 2), open_cluster(address) as client:
        again = list(run_tasks(client, gated, gated_tasks(tmp_path), kept))
    assert sorted((each.task.name, each.anew) for each in again if isinstance(each, Finished)) == [
        *((name, False) for name in "012"),
        *((name, True) for name in "345"),
    ]
    assert done_in(tmp_path) == dict.fromkeys("012345", 1)


def test_a_cluster_that_no_worker_is_left_of_ends_the_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("terrain_fuel.many.run.WITHOUT_WORKERS_S", 1.0)
    monkeypatch.setattr("terrain_fuel.many.run.LOOK_AGAIN_S", 0.2)
    port, kept = free_port(), Kept.within(tmp_path)
    with scheduler(port), workers(port, 2) as lost, open_cluster(f"tcp://127.0.0.1:{port}") as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        assert all(isinstance(next(run), Finished) for _ in range(3))
        os.killpg(lost.pid, signal.SIGKILL)
        with pytest.raises(EngineError, match="workers: none is left for 3 tasks; what is done is kept"):
            next(run)


def test_an_unknown_scheduler_and_a_folder_that_cannot_be_are_one_message(tmp_path: Path) -> None:
    team = write_team(tmp_path / "in")
    (tmp_path / "file").touch()
    for words, said in (
        (
            ("--out", str(tmp_path / "out"), "--scheduler", f"tcp://127.0.0.1:{free_port()}"),
            "nothing answers",
        ),
        (("--out", str(tmp_path / "file")), "cannot be made (File exists)"),
    ):
        done = told("team", str(team), *words)
        assert (done.returncode, done.stdout) == (2, "")
        (line,) = done.stderr.splitlines()
        assert said in line


def test_a_folder_that_cannot_be_written_ends_it_with_one_message_and_loses_nothing(tmp_path: Path) -> None:
    team, out = write_team(tmp_path / "in", 1), tmp_path / "out"
    out.mkdir()
    (out / "Marlo-Fenwether").touch()  # a file where the rider's folder should be
    words = ("team", str(team), "--out", str(out), "--plans-only", "--workers", "1")
    done = told(*words)
    assert (done.returncode, done.stdout) == (2, "")
    (line,) = done.stderr.splitlines()
    assert "Marlo-Fenwether" in line
    assert "choose a folder with room that you may write to" in line
    assert not (out / "team.pdf").exists()
    (out / "Marlo-Fenwether").unlink()
    kept = len(list((out / KEPT).iterdir()))
    assert f"{2 - kept} planned now, {kept} from before" in told(*words).stdout
