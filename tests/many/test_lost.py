"""What is lost in the middle of a run, a worker, all of them or the scheduler, and what that costs."""

import os
import signal
from pathlib import Path

import pytest

from terrain_fuel.errors import EngineError
from terrain_fuel.many.cluster import open_cluster
from terrain_fuel.many.kept import Kept
from terrain_fuel.many.run import Finished, SetAside, Task, run_tasks
from tests.many.made_work import gated
from tests.many.own_cluster import scheduler, wait_for, wait_until_let_go, workers

pytestmark = pytest.mark.slow


def gated_tasks(folder: Path) -> list[Task]:
    (folder / "marks").mkdir(exist_ok=True)
    return [Task(str(n), f"key-{n}", (n, str(folder))) for n in range(6)]


def done_in(folder: Path) -> dict[str, int]:
    """Return how often each piece of work was done to its end."""
    return {path.name: path.stat().st_size for path in (folder / "marks").iterdir()}


def open_gate(folder: Path) -> None:
    (folder / "gate").touch()


def test_a_killed_worker_costs_only_what_it_was_at(tmp_path: Path) -> None:
    kept = Kept.within(tmp_path)
    with scheduler(tmp_path) as (_, address), workers(address, 2), open_cluster(address) as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        outcomes = [next(run) for _ in range(3)]
        wait_until_let_go(client)
        wait_for(tmp_path / "begun", 1)
        pid = int(next((tmp_path / "begun").iterdir()).name)
        os.kill(pid, signal.SIGKILL)
        open_gate(tmp_path)
        outcomes.extend(run)
    assert sorted(each.task.name for each in outcomes if isinstance(each, Finished)) == list("012345")
    assert done_in(tmp_path) == dict.fromkeys("012345", 1)


def test_a_scheduler_stopped_and_started_again_goes_on_where_it_was(tmp_path: Path) -> None:
    kept = Kept.within(tmp_path)
    outcomes: list[Finished | SetAside] = []
    with scheduler(tmp_path) as (first, address), workers(address, 2), open_cluster(address) as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        outcomes.extend(next(run) for _ in range(3))
        os.killpg(first.pid, signal.SIGKILL)
        with pytest.raises(EngineError, match="was lost with 3 tasks to do; what is done is kept"):
            outcomes.extend(run)
    open_gate(tmp_path)
    assert done_in(tmp_path) == dict.fromkeys("012", 1)
    with scheduler(tmp_path) as (_, address), workers(address, 2), open_cluster(address) as client:
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
    kept = Kept.within(tmp_path)
    with scheduler(tmp_path) as (_, address), workers(address, 2) as lost, open_cluster(address) as client:
        run = run_tasks(client, gated, gated_tasks(tmp_path), kept)
        assert all(isinstance(next(run), Finished) for _ in range(3))
        os.killpg(lost.pid, signal.SIGKILL)
        with pytest.raises(EngineError, match="workers: none is left for 3 tasks; what is done is kept"):
            next(run)
