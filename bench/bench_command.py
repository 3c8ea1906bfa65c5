"""The whole command beside gpxpy's parse of the same file, in one run: ratio, memory and growth."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

RIDES = ((2_000, 20.0), (20_000, 10.0), (200_000, 2.0))
"""Points and metres between them: 40, 200 and 400 km."""

PARSE = "import sys, gpxpy; gpxpy.parse(open(sys.argv[1], encoding='utf-8'))"
PLAN = "import sys; from terrain_fuel.cli.main import main; sys.exit(main(sys.argv[1:]))"
DEGREES_PER_M = 1.0 / 111_200.0


def write_road(path: Path, points: int, spacing_m: float) -> None:
    """Write a road of hills and bends, with heights, as a GPX file."""
    along_m = np.arange(points) * spacing_m
    heading = 0.9 * np.sin(along_m / 900.0) + 0.5 * np.sin(along_m / 5_000.0)
    lat = 40.0 + np.cumsum(np.cos(heading)) * spacing_m * DEGREES_PER_M
    lon = 20.0 + np.cumsum(np.sin(heading)) * spacing_m * DEGREES_PER_M
    height = 500.0 + 180.0 * np.sin(along_m / 3_200.0) + 40.0 * np.sin(along_m / 700.0)
    body = "".join(
        f'<trkpt lat="{a:.7f}" lon="{b:.7f}"><ele>{c:.1f}</ele></trkpt>'
        for a, b, c in zip(lat, lon, height, strict=True)
    )
    path.write_text(
        '<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" creator="bench"'
        f' xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{body}</trkseg></trk></gpx>',
        encoding="utf-8",
    )


def run_process(code: str, *words: str) -> tuple[float, float, int]:
    """Run Python code as a whole process; return its wall time [s], peak memory [MB] and exit code."""
    started = time.perf_counter()
    child = subprocess.Popen([sys.executable, "-c", code, *words], stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return time.perf_counter() - started, usage.ru_maxrss / 1000.0, child.returncode


def main() -> None:
    """Print the table; both sides are whole processes, start-up and imports included."""
    print("whole command / gpxpy parse of the same file, whole processes")
    print("  points    km  plan s  parse s  ratio  plan MB  exit  growth")
    before = 0.0
    with tempfile.TemporaryDirectory() as folder:
        for points, spacing_m in RIDES:
            path = Path(folder) / f"{points}.gpx"
            write_road(path, points, spacing_m)
            parse_s, _, _ = run_process(PARSE, str(path))
            plan_s, plan_mb, code = run_process(
                PLAN, "plan", str(path), "--out", f"{folder}/{points}", "--quiet"
            )
            growth = f"{plan_s / before:.1f}x" if before else ""
            before = plan_s
            print(
                f"{points:>8} {points * spacing_m / 1000:>5.0f} {plan_s:>7.2f} {parse_s:>8.2f}"
                f" {plan_s / parse_s:>6.2f} {plan_mb:>8.0f} {code:>5} {growth:>7}"
            )


if __name__ == "__main__":
    main()
