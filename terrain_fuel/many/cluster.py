"""A Dask cluster to work on: processes of this machine, or one that runs already."""

import asyncio
import logging
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker

import dask
from distributed import Client, LocalCluster, Security, rpc

from terrain_fuel.errors import EngineError
from terrain_fuel.many.work_key import code_key
from terrain_fuel.text import plain_text

ANSWER_S = 10.0
"""How long an address may take to answer, and a cluster to show a worker: common practice (no source)."""

BEGIN_S = 180.0
"""How long a process may take to begin; Dask itself would wait for one that hangs for ever."""

HERE = {
    # one task at a time on each process: a task that ends its process is not mistaken for another
    "distributed.scheduler.worker-saturation": 1.0,
    # a lost process is begun again by its nanny; taken from the cluster it would be lost for good
    "distributed.deploy.lost-worker-timeout": "10000 hours",
    "distributed.admin.large-graph-warning-threshold": "1GB",
    # a plan makes and frees arrays all the time: memory given back after each would be most of its time
    "distributed.nanny.pre-spawn-environ.MALLOC_TRIM_THRESHOLD_": 256_000_000,
    "distributed.nanny.pre-spawn-environ.MALLOC_MMAP_THRESHOLD_": 32_000_000,
    # nobody looks at where the processes spend their time, nor 50 times a second at how late they are
    "distributed.worker.profile.enabled": False,
    "distributed.admin.tick.interval": "1s",
}
"""What is other than Dask's own settings; all else is the user's, by Dask's own files and variables."""


@contextmanager
def open_cluster(scheduler: str | None = None, workers: int | None = None) -> Iterator[Client]:
    """Yield a client of a cluster; at the end what this function started is gone.

    Parameters
    ----------
    scheduler : address of a running cluster, such as ``tcp://10.0.0.5:8786``; None starts processes here
    workers : processes to start here; None is one a core

    Raises
    ------
    EngineError
        If nothing answers at the address, if no worker is there, or if the workers run another
        version of this package.
    """
    with dask.config.set(HERE), _silent():
        if scheduler is None:
            with _processes(workers or cores()) as cluster, Client(cluster) as client:
                client.sync(_hush)
                yield client
        else:
            with _connected(scheduler) as client:
                client.sync(_hush)
                _refuse_strangers(client, plain_text(scheduler))
                yield client


def cores() -> int:
    """Return how many cores this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


@contextmanager
def _silent() -> Iterator[None]:
    """Keep Dask's own log off the terminal: what went wrong is told once, in a sentence.

    Processes that are started meanwhile read the same from their environment.
    """
    name, log = "DASK_LOGGING__DISTRIBUTED", logging.getLogger("distributed")
    before, level = os.environ.get(name), log.level
    os.environ[name] = "critical"
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(level)
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


async def _hush() -> None:
    """Keep the event loop that runs this from telling later what Ctrl-C broke off in it.

    What else fails in it unasked is not told either; whoever waits for a result still gets its error.
    """
    asyncio.get_running_loop().set_exception_handler(lambda loop, what: None)


def _processes(workers: int) -> LocalCluster:
    try:
        with _deaf_children():
            return LocalCluster(
                n_workers=workers,
                threads_per_worker=1,
                processes=True,
                dashboard_address="127.0.0.1:0",
                scheduler_kwargs={"dashboard": False},
                security=True,  # keys of this run alone: no other user of the machine hands in work
                silence_logs=logging.CRITICAL,
                death_timeout=BEGIN_S,
            )
    except (OSError, RuntimeError) as fault:
        raise EngineError(
            f"workers: {workers} processes cannot be started here ({plain_text(str(fault))}); ask for fewer"
            " with --workers"
        ) from None


@contextmanager
def _deaf_children() -> Iterator[None]:
    """Start processes that do not hear Ctrl-C, which a terminal sends to all: this one ends them itself.

    What is blocked here stays blocked in the threads and processes that are started meanwhile, and in
    those that they start; a Ctrl-C that comes meanwhile is heard at the end.
    """
    if not hasattr(signal, "pthread_sigmask"):  # a system that has no such signals
        yield
        return
    resource_tracker.ensure_running()  # its first start would unblock the signal again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _connected(scheduler: str) -> Client:
    """Return a client of a running cluster, made only once somebody there has said who it is.

    A client that could not begin would be closed by the garbage collector, at a moment when another is
    being made: each would wait for the other for ever.
    """
    where = plain_text(scheduler)
    try:
        asyncio.run(_greet(scheduler))
        return Client(scheduler, timeout=ANSWER_S)
    except (OSError, TimeoutError):
        raise EngineError(
            f"--scheduler {where}: nothing answers there within {ANSWER_S:g} s; start a scheduler there"
            " (dask scheduler), or leave --scheduler out to work on this machine"
        ) from None
    except Exception as fault:  # whatever an address that is none, or a stranger behind it, leads to
        raise EngineError(
            f"--scheduler {where}: is no address of a Dask scheduler ({plain_text(str(fault))}); write it"
            " like tcp://10.0.0.5:8786"
        ) from None


async def _greet(scheduler: str) -> None:
    """Have a scheduler say who it is; raises whatever an address comes to that is none."""
    keys = Security().get_connection_args("client")
    async with asyncio.timeout(ANSWER_S):
        async with rpc(scheduler, timeout=ANSWER_S, connection_args=keys) as asked:
            await asked.identity()


def _refuse_strangers(client: Client, where: str) -> None:
    """Refuse a cluster without workers, and one whose workers would plan otherwise."""
    try:
        client.wait_for_workers(1, timeout=ANSWER_S)
    except TimeoutError:
        raise EngineError(
            f"--scheduler {where}: has no workers after {ANSWER_S:g} s; start some there"
            f" (dask worker {where})"
        ) from None
    codes = client.run(code_key, on_error="return")
    strangers = sorted(address for address, code in codes.items() if code != code_key())
    if strangers:
        raise EngineError(
            f"--scheduler {where}: {len(strangers)} of {len(codes)} workers run another terrain-fuel, or none"
            f" ({', '.join(strangers[:3])}); install the same version for all of them"
        )
