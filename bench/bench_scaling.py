"""What a task costs the one process that hands it out, and what that makes of 1 to 10,000 workers.

Each task passes three queues: it is handed out by one process, done by one of the workers, and put away by
the one process again. The costs are measured here in processor time, on two workers of this machine; the rest
is arithmetic with the same discrete queue that the event's taps have.
"""

import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from bench.bench_event import demo, of_size
from terrain_fuel.event.held import BLOCK_RIDERS, Run, blocks_of, count_run
from terrain_fuel.event.queue import serve_in_turn
from terrain_fuel.event.ride import ride_block
from terrain_fuel.many.cluster import open_cluster
from terrain_fuel.many.kept import Kept
from terrain_fuel.many.run import Task, run_tasks
from terrain_fuel.many.work_key import work_key

TASKS = 400
BLOCK_BYTES = 470_000
WORKERS = (1, 2, 10, 100, 1_000, 10_000)
EVENT_RUNS, EVENT_RIDERS = 200, 10_000
PLANS, PLAN_S = 630, 0.93


def main() -> None:
    """Measure, then print how long an event and a team's plans would take on so many workers."""
    plan_s = float(sys.argv[1]) if len(sys.argv) > 1 else PLAN_S
    small_s, large_s = handing_s(100), handing_s(BLOCK_BYTES)
    print(f"one process hands out and puts away a task in {1000 * small_s:.1f} ms, of a plan's size")
    print(f"                                               {1000 * large_s:.1f} ms, of a block's size")
    block_s, count_s = block_and_count_s()
    print(
        f"a block of {BLOCK_RIDERS} riders {block_s:.2f} s, counting a run of {EVENT_RIDERS} {count_s:.2f} s"
    )
    blocks = EVENT_RUNS * EVENT_RIDERS // BLOCK_RIDERS
    print(f"{EVENT_RUNS} runs of {EVENT_RIDERS} riders, {blocks} tasks; {PLANS} plans of {plan_s:g} s")
    print("workers   event s   busy   plans s   busy")
    for workers in WORKERS:
        event_s = taken_s(blocks, workers, large_s, block_s) + EVENT_RUNS * count_s
        plans_s = taken_s(PLANS, workers, small_s, plan_s)
        print(
            f"{workers:7d} {event_s:9.0f} {blocks * block_s / workers / event_s:6.0%}"
            f" {plans_s:9.1f} {PLANS * plan_s / workers / plans_s:6.0%}"
        )


def taken_s(tasks: int, workers: int, handing: float, working_s: float) -> float:
    """Return how long so many equal tasks take: half of the handing before the work, half after it."""
    half = np.full(tasks, 0.5 * handing)
    handed = serve_in_turn(np.zeros(tasks), half, 1) + half
    worked = serve_in_turn(handed, np.full(tasks, working_s), workers) + working_s
    return float((serve_in_turn(worked, half, 1) + half).max())


def handing_s(size: int) -> float:
    """Return the processor time of this process for a task that does nothing and answers so many bytes."""
    with tempfile.TemporaryDirectory() as folder, open_cluster(workers=2) as client:
        kept = Kept.within(Path(folder))
        tasks = [Task(f"{number}", work_key(size, number), size) for number in range(TASKS)]
        list(run_tasks(client, answer, tasks[:20], kept))
        begun = time.process_time()
        list(run_tasks(client, answer, tasks[20:], kept))
        return (time.process_time() - begun) / (TASKS - 20)


def answer(size: int, _: Any) -> bytes:
    """Return so many bytes."""
    return bytes(size)


def block_and_count_s() -> tuple[float, float]:
    """Return the processor time of a block of riders, and of counting a run with three variants."""
    event, course = demo()
    one = of_size(event, BLOCK_RIDERS, scenarios=1)
    begun = time.process_time()
    passage = ride_block(one, course, blocks_of(one)[0])
    ridden_s = time.process_time() - begun
    whole = of_size(event, EVENT_RIDERS, scenarios=1)
    begun = time.process_time()
    count_run(whole, course, Run(0, 0), [passage] * (EVENT_RIDERS // BLOCK_RIDERS))
    return ridden_s, time.process_time() - begun


if __name__ == "__main__":
    main()
