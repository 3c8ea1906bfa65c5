"""Tasks over a cluster: each done once, kept as soon as it is done, set aside and named if it cannot be."""

import time
from collections.abc import Callable, Generator, Iterable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import Any

from distributed import Client, Future, KilledWorker, as_completed
from distributed.scheduler import NoWorkerError

from terrain_fuel.errors import EngineError, TerrainFuelError
from terrain_fuel.many.kept import Kept
from terrain_fuel.text import plain_text

RETRIES = 1
"""How often Dask tries a task again that raised something unforeseen. A lost worker's tasks it gives to
another, as often as its own setting ``distributed.scheduler.allowed-failures`` says."""

WITHOUT_WORKERS_S = 120.0
"""How long a run waits for workers to come back when none is left: common practice (no source)."""

LOOK_AGAIN_S, WAIT_S = 5.0, 0.05
"""How often it is asked whether workers are there while nothing ends, and how long each wait is."""

FETCH_S = 300.0
"""What is done comes here within so long, or it is asked whether workers are there to do it again."""


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work.

    ``name`` is what people see; ``key`` a hash of all inputs (`work_key`), no two alike in a run;
    ``payload`` goes to a worker; ``shared`` is the key of a `Shared` that the work needs too.
    """

    name: str
    key: str
    payload: Any
    shared: str = ""


@dataclass(frozen=True, slots=True)
class Shared:
    """What several tasks need, such as a road: ``make(payload)``, done once on a worker and handed on."""

    make: Callable[[Any], Any]
    payload: Any


@dataclass(frozen=True, slots=True)
class Finished:
    """A task that is done; ``kept`` is what was kept of it, ``anew`` False if an earlier run did it."""

    task: Task
    kept: bytes
    anew: bool


@dataclass(frozen=True, slots=True)
class SetAside:
    """A task that cannot be done, and why, in one line; the others went on without it."""

    task: Task
    why: str


@dataclass(frozen=True, slots=True)
class _Refused:
    """What a worker says of bad input: a value, so that it is not tried again."""

    why: str


def run_tasks(
    client: Client,
    work: Callable[[Any, Any], Any],
    tasks: Iterable[Task],
    kept: Kept,
    *,
    shared: Mapping[str, Shared] | None = None,
    settle: Callable[[Task, Any], bytes] = lambda task, value: bytes(value),
    is_whole: Callable[[Task, bytes], bool] = lambda task, content: True,
) -> Generator[Finished | SetAside]:
    """Yield what becomes of every task: first those that an earlier run did, then the others as they end.

    Parameters
    ----------
    client : of `open_cluster`
    work : a function of a module, called as ``work(payload, what is shared or None)`` on a worker
    tasks : no two of one key
    kept : where finished tasks are kept
    shared : what tasks name as theirs in common
    settle : called here, once, with a task that is done and its value: puts away what is to be put
        away, and returns what is kept
    is_whole : whether an earlier run's task still stands as it was kept, such as its files

    Raises
    ------
    EngineError
        If the cluster is lost; what was yielded is kept.
    OutputError
        If a finished task cannot be kept or put away; those before it are.
    """
    waiting: dict[str, Task] = {}
    for task in tasks:
        before = kept.read(task.key)
        if before is not None and is_whole(task, before):
            yield Finished(task, before, anew=False)
        else:
            waiting[task.key] = task
    with closing(_ended(client, work, waiting, shared or {})) as ended:
        for task, value in ended:
            if isinstance(value, _Refused):
                yield SetAside(task, value.why)
            else:
                content = settle(task, value)
                kept.write(task.key, content)
                yield Finished(task, content, anew=True)


def _ended(
    client: Client, work: Callable[[Any, Any], Any], waiting: Mapping[str, Task], shared: Mapping[str, Shared]
) -> Generator[tuple[Task, Any]]:
    """Yield tasks and what they came to, as they end; when this is left early the others are called off."""
    if not waiting:
        return
    named = dict.fromkeys(task.shared for task in waiting.values() if task.shared)
    held = {
        key: client.submit(_made, shared[key].make, shared[key].payload, key=f"shared-{key}", retries=RETRIES)
        for key in named
    }
    futures = client.map(
        _done,
        [work] * len(waiting),
        [task.payload for task in waiting.values()],
        [held.get(task.shared) for task in waiting.values()],
        key=[f"{work.__name__}-{key}" for key in waiting],
        retries=RETRIES,
    )
    tasks = {future.key: task for future, task in zip(futures, waiting.values(), strict=True)}
    try:
        cluster = _Cluster(client, len(tasks))
        for future in _as_they_end(cluster, futures):
            ended = tasks[future.key], _value(cluster, future)
            future.release()  # it is here now: the loss of its worker must not have it done again
            cluster.left -= 1
            yield ended
    finally:
        for future in (*futures, *held.values()):  # what nobody waits for, Dask drops
            future.release()


class _Cluster:
    """A cluster with tasks to do, asked now and then whether it can still do them."""

    def __init__(self, client: Client, left: int) -> None:
        self._client, self.left = client, left
        self._looked_s = self._manned_s = time.monotonic()

    def look(self) -> None:
        """Raise EngineError if no worker has been there for long: Dask itself would wait for ever."""
        now_s = time.monotonic()
        if now_s - self._looked_s < LOOK_AGAIN_S:
            return
        self._looked_s = now_s
        try:
            manned = bool(self._client.nthreads())
        except Exception:  # a lost scheduler is told by the tasks that it had
            return
        if manned:
            self._manned_s = now_s
        elif now_s - self._manned_s > WITHOUT_WORKERS_S:
            raise self.deserted()

    def deserted(self) -> EngineError:
        """Return the error of a run that no worker is left for."""
        return EngineError(
            f"workers: none is left for {self.left} tasks; what is done is kept; start some, then run the"
            " same command again to go on"
        )

    def lost(self) -> EngineError:
        """Return the error of a run whose scheduler is gone."""
        return EngineError(
            f"scheduler: was lost with {self.left} tasks to do; what is done is kept; run the same command"
            " again to go on"
        )


def _as_they_end(cluster: _Cluster, futures: Sequence[Future[Any]]) -> Generator[Future[Any]]:
    """Yield tasks as they end; their values are fetched apart, where a fault of the wire can be caught."""
    ended = as_completed(futures)
    while ended.count():
        yield from ended.next_batch(block=False)
        if not ended.has_ready():
            cluster.look()
            time.sleep(WAIT_S)


def _value(cluster: _Cluster, future: Future[Any]) -> Any:
    """Return what an ended task came to, or why it came to nothing."""
    while True:
        try:
            return future.result(timeout=FETCH_S)
        except Exception as fault:
            if future.status == "error":
                return _judged(cluster, fault)
            if future.status == "cancelled" or not isinstance(fault, TimeoutError):
                raise cluster.lost() from None
            cluster.look()


def _judged(cluster: _Cluster, fault: Exception) -> _Refused:
    """Return why a task failed."""
    if isinstance(fault, NoWorkerError):
        raise cluster.deserted() from None
    if isinstance(fault, KilledWorker):
        return _Refused(
            "every worker that began it was lost, most often for want of memory; try it alone, with"
            " --workers 1"
        )
    return _Refused(plain_text(f"something unforeseen ({type(fault).__name__}: {fault})"))


def _made(make: Callable[[Any], Any], payload: Any) -> Any:
    try:
        return make(payload)
    except TerrainFuelError as fault:
        return _Refused(str(fault))


def _done(work: Callable[[Any, Any], Any], payload: Any, shared: Any) -> Any:
    if isinstance(shared, _Refused):
        return shared
    try:
        return work(payload, shared)
    except TerrainFuelError as fault:
        return _Refused(str(fault))
