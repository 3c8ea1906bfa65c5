"""What a team's plans cost: riders times stages by the command, in processor time and memory.

`python -m bench.bench_team RIDERS STAGES WORKERS [drawn]` rides the demo's routes in turn; without figures a
small team, alone and on two processes.
"""

import resource
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import psutil

ROUTES = Path(__file__).resolve().parent.parent / "routes"
DAYS = (("loop-120", "team-day"), ("rolling-60", "team-short"), ("long-200", "team-long"))
SMALL = (6, 5)
"""Riders and stages."""

EVERY_S = 0.25


def main() -> None:
    """Measure what is asked for, or the small team."""
    numbers = [int(word) for word in sys.argv[1:4]]
    if len(numbers) == 3:
        measure(*numbers, drawn="drawn" in sys.argv)
        return
    for workers in (1, 2):
        measure(*SMALL, workers, drawn=False)
    measure(*SMALL, 2, drawn=True)


def measure(riders: int, stages: int, workers: int, *, drawn: bool) -> None:
    """Print what one run of the command takes."""
    with tempfile.TemporaryDirectory() as folder:
        team = Path(folder) / "team.toml"
        team.write_text(team_text(riders, stages), encoding="utf-8")
        words = [sys.executable, "-m", "terrain_fuel", "team", str(team), "--out", str(Path(folder) / "out")]
        words += ["--workers", str(workers), "--quiet", *(() if drawn else ("--plans-only",))]
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        begun = time.perf_counter()
        running = subprocess.Popen(words)
        watch = Watch(running.pid)
        code = running.wait()
        took_s = time.perf_counter() - begun
        watch.stop()
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        held = sum(path.stat().st_size for path in Path(folder, "out").rglob("*") if path.is_file())
    plans = riders * stages
    print(
        f"{riders} riders x {stages} stages, {workers} workers, {'all drawings' if drawn else 'plans only'}:"
        f" exit {code}, {took_s:.0f} s on the clock, {used_s:.0f} s of the processors"
        f" ({used_s / plans:.2f} s a plan); at most {watch.one_mb:.0f} MB in one process,"
        f" {watch.all_mb:.0f} MB in all; {held / 1e6:.0f} MB on disk"
    )


class Watch(threading.Thread):
    """How much memory a process and its children hold at most [MB]."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self._process, self._ended = psutil.Process(pid), threading.Event()
        self.one_mb = self.all_mb = 0.0
        self.start()

    def run(self) -> None:
        while not self._ended.wait(EVERY_S):
            held = []
            for each in (self._process, *self._children()):
                try:
                    held.append(each.memory_info().rss / 1e6)
                except psutil.Error:
                    continue
            self.one_mb = max(self.one_mb, *held, 0.0)
            self.all_mb = max(self.all_mb, sum(held))

    def _children(self) -> list[psutil.Process]:
        try:
            return list(self._process.children(recursive=True))
        except psutil.Error:
            return []

    def stop(self) -> None:
        """End the watching."""
        self._ended.set()
        self.join()


def team_text(riders: int, stages: int) -> str:
    """Return a team's file: riders from 205 to 340 W out of one kitchen."""
    lines = [
        f'[team]\nname = "Ostrel Wheel"\nelevation = "{ROUTES / "tiles"}"\n',
        f'[[kitchen]]\nname = "van"\nfile = "{ROUTES / "team-pantry.toml"}"\n',
    ]
    for number in range(riders):
        lines.append(
            f'[[rider]]\nname = "Rider {number + 1}"\nfile = "{ROUTES / "rider.toml"}"\n'
            f"ftp_w = {205 + 135 * number // max(riders - 1, 1)}\nbody_mass_kg = {55 + number % 28}\n"
        )
    for number in range(stages):
        route, day = DAYS[number % len(DAYS)]
        lines.append(
            f'[[stage]]\nname = "{number + 1}"\nroute = "{ROUTES / route}.gpx"\nday = "{ROUTES / day}.toml"\n'
            f'start = "2027-06-{number + 1:02d} 09:00"\n'
        )
    return "\n".join(lines)


if __name__ == "__main__":
    main()
