"""A Dask cluster of real processes for the tests, each part there and known before it is asked anything."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from distributed import Client

ROOT = Path(__file__).resolve().parent.parent.parent
LONGEST_S = 240
"""Nothing is waited for any longer; on a busy machine a process takes its time to begin."""


def wait_until(is_so: Callable[[], bool], what: str) -> None:
    """Wait until something is so; fails by its name where it never is."""
    until_s = time.monotonic() + LONGEST_S
    while not is_so():
        assert time.monotonic() < until_s, f"{what}: not within {LONGEST_S} s"
        time.sleep(0.05)


def wait_for(folder: Path, count: int) -> None:
    """Wait until a folder holds so many files."""
    wait_until(lambda: folder.is_dir() and len(list(folder.iterdir())) >= count, f"{count} in {folder}")


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
def scheduler(folder: Path) -> Iterator[tuple[subprocess.Popen[bytes], str]]:
    """Start a scheduler on a port of its own choice; yields its process and its address."""
    said = folder / "scheduler.json"
    said.unlink(missing_ok=True)
    words = ("--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--no-show", "--scheduler-file")
    with process("-m", "distributed.cli.dask_scheduler", *words, str(said)) as running:
        wait_until(lambda: bool(_address_in(said)), "a scheduler's address")
        yield running, _address_in(said)


def _address_in(said: Path) -> str:
    """Return the address in a scheduler's file, "" before it is written whole."""
    try:
        return str(json.loads(said.read_text(encoding="utf-8"))["address"])
    except (OSError, ValueError):
        return ""


@contextmanager
def workers(address: str, count: int) -> Iterator[subprocess.Popen[bytes]]:
    """Start so many workers; yields their process once the scheduler knows them all."""
    words = (address, "--nthreads", "1", "--no-dashboard", "--nworkers", str(count))
    with process("-m", "distributed.cli.dask_worker", *words) as running:
        with Client(address, timeout=LONGEST_S) as asking:
            asking.wait_for_workers(count, timeout=LONGEST_S)
        yield running


def wait_until_let_go(client: Client) -> None:
    """Wait until the scheduler has heard that what is done has been fetched.

    A worker that is lost in the moment before takes it along, and another begins it again.
    """
    wait_until(lambda: not any(client.has_what().values()), "nothing left on a worker")
