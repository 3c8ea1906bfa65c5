"""Five hundred damaged recordings reviewed under limits: a result or one message, within 60 s and 500 MB.

A ride of two hours as FIT, TCX and GPX, and real rides that registry packages carry, each with pieces lost,
doubled, exchanged for odd ones or for each other. Every file has a process of its own, forked with all that a
review loads, so that its memory includes it.
"""

import os
import resource
import sys
import tempfile
import time
from collections import Counter
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from io import StringIO
from itertools import cycle
from pathlib import Path

import numpy as np

from terrain_fuel.cli.main import main as run_command
from terrain_fuel.outputs.data.plan_json import plan_text
from tests.fuzz.mutations import ODD_BYTES
from tests.outputs.demo_plans import demo_plan
from tests.recording_files import write_recording
from tests.review.checking import SUFFIXES
from tests.review.made_ride import made_ride

FILES = 500
MOST_S, MOST_MB = 60, 500
MB = 1_000_000
ALLOWED = (0, 2)
"""A result, or one message and nothing written."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What became of a damaged file: exit code (negative for a signal), what was said, time and memory."""

    code: int
    said: str
    cpu_s: float
    peak_mb: float

    @property
    def fault(self) -> str:
        """What does not hold, nothing if all does."""
        if self.code not in ALLOWED or "Traceback" in self.said:
            return f"exit {self.code}: {self.said[-300:]}"
        if self.code == 2 and len(self.said.strip().splitlines()) != 1:
            return f"not one line: {self.said[:300]!r}"
        if self.cpu_s > MOST_S or self.peak_mb > MOST_MB:
            return f"{self.cpu_s:.0f} s, {self.peak_mb:.0f} MB"
        return ""


def whole_recordings(folder: Path) -> list[Path]:
    """Return recordings as they should be: one made ride in three formats, and the real ones there are."""
    points, _ = made_ride(demo_plan("loop-120"), 1)
    made = [write_recording(points, folder / f"made{suffix}") for suffix in SUFFIXES]
    packages = Path(np.__file__).resolve().parent.parent
    real = [path for suffix in SUFFIXES for path in sorted(packages.glob(f"sweat/examples/**/*{suffix}"))]
    return [*made, *real]


def damaged(data: bytes, rng: np.random.Generator) -> bytes:
    """Return data with one to six pieces lost, doubled, or exchanged for odd bytes or for each other."""
    for _ in range(int(rng.integers(1, 7))):
        place, length = int(rng.integers(0, len(data) + 1)), int(rng.choice([1, 4, 12, 300, len(data) // 7]))
        piece = data[place : place + length]
        elsewhere = int(rng.integers(0, len(data) + 1))
        come = (
            b"", piece * 2, ODD_BYTES[int(rng.integers(len(ODD_BYTES)))], rng.bytes(length)[:400],
            data[elsewhere : elsewhere + length],
        )[int(rng.integers(5))]  # fmt: skip
        data = data[:place] + come + data[place + length :]
    return data if rng.integers(10) else data[: int(rng.integers(len(data) + 1))]


def review(recording: Path, plan: Path, folder: Path) -> Tried:
    """Review a recording in a process of its own."""
    said = folder / "said.txt"
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_S + 5, MOST_S + 10))
        out, told = StringIO(), StringIO()
        words = ["review", str(recording), "--plan", str(plan), "--out", str(folder / "out"), "--quiet"]
        with redirect_stdout(out), redirect_stderr(told):
            code = run_command([*words, "--log", str(folder / f"{recording.name}.log")])
        said.write_text(told.getvalue(), encoding="utf-8", errors="backslashreplace")
        os._exit(code)
    _, status, usage = os.wait4(child, 0)
    text = said.read_text(encoding="utf-8") if said.exists() else ""
    said.unlink(missing_ok=True)
    code = os.waitstatus_to_exitcode(status)
    return Tried(code, text, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * 1024 / MB)


def main(files: int = FILES) -> int:
    """Print what became of them; return 1 if anything does not hold."""
    rng, tried, faults = np.random.default_rng(14), [], 0
    start_s = time.monotonic()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plan = folder / "plan.json"
        plan.write_text(plan_text(demo_plan("loop-120")), encoding="utf-8")
        whole = whole_recordings(folder)
        for path in whole[: len(SUFFIXES)]:  # as they are, for all that is loaded late
            review(path, plan, folder)
        for number, path in zip(range(files), cycle(whole), strict=False):
            broken = folder / f"{number}{path.suffix}"
            broken.write_bytes(damaged(path.read_bytes(), rng))
            tried.append(review(broken, plan, folder))
            if tried[-1].fault:
                faults += 1
                sys.stdout.write(f"file {number}, {path.name}: {tried[-1].fault}\n")
            broken.unlink()
    codes = Counter("reviewed" if each.code == 0 else "one message" for each in tried)
    sys.stdout.write(
        f"{files} damaged recordings of {len(whole)} whole ones: {dict(codes)}, {faults} faults; at most"
        f" {max(each.cpu_s for each in tried):.1f} s and {max(each.peak_mb for each in tried):.0f} MB;"
        f" {time.monotonic() - start_s:.0f} s in all\n"
    )
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:2])))
