"""The whole command as a rider runs it, side by side with a yardstick in one run: CPU, ratio and memory.

The demo's loop stands beside the imports of the libraries around it, long files beside gpxpy's parse of the
same file. Both sides are whole processes, taken in turn; the least of a few rounds counts. Both find their
bytecode and what they keep in the user's cache folder from a round before, as on every run but the first.
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

RIDES = ((2_000, 20.0), (20_000, 10.0), (200_000, 2.0))
"""Points and metres between them: 40, 200 and 400 km."""

ROUNDS = 3
DEMO = Path(__file__).resolve().parent.parent / "routes"
IMPORTS = "import numpy, scipy.ndimage, gpxpy, shapely, folium"
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


def run_process(code: str, *words: str, kept: str) -> tuple[float, float, int]:
    """Run Python code as a whole process; return its CPU time [s], peak memory [MB] and exit code."""
    surroundings = {**os.environ, "PYTHONPYCACHEPREFIX": kept, "XDG_CACHE_HOME": kept}
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    child = subprocess.Popen(
        [sys.executable, "-c", code, *words], stdout=subprocess.DEVNULL, env=surroundings
    )
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    return usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1000.0, child.returncode


def print_row(name: str, plan: tuple[str, ...], yardstick: tuple[str, ...], kept: str) -> None:
    """Run the command and its yardstick in turn and print the row of both; the first round is not counted."""
    rounds = [
        (run_process(PLAN, "plan", *plan, "--quiet", kept=kept), run_process(*yardstick, kept=kept))
        for _ in range(ROUNDS + 1)
    ][1:]
    planned = [each for each, _ in rounds]
    plan_s, other_s = min(each[0] for each in planned), min(other[0] for _, other in rounds)
    plan_mb, code = max(each[1] for each in planned), planned[0][2]
    print(f"{name:<16} {plan_s:>7.2f} {other_s:>8.2f} {plan_s / other_s:>6.2f} {plan_mb:>8.0f} {code:>5}")


def demo_words() -> tuple[str, ...]:
    """Return the words after ``plan`` for the demo's loop with its settings and tiles."""
    settings = (word for name in ("rider", "pantry", "day") for word in (f"--{name}", f"{DEMO / name}.toml"))
    return (str(DEMO / "loop-120.gpx"), *settings, "--elevation", str(DEMO / "tiles"))


def main() -> None:
    """Print the table; start-up and imports are in the figures of both sides."""
    print(f"{'ride':<16} {'plan s':>7} {'beside s':>8} {'ratio':>6} {'plan MB':>8} {'exit':>5}")
    with tempfile.TemporaryDirectory() as folder:
        print_row("loop / imports", (*demo_words(), "--out", f"{folder}/loop"), (IMPORTS,), f"{folder}/kept")
        for points, spacing_m in RIDES:
            path = Path(folder) / f"{points}.gpx"
            write_road(path, points, spacing_m)
            words = (str(path), "--out", f"{folder}/{points}")
            print_row(f"{points} / parse", words, (PARSE, str(path)), f"{folder}/kept")


if __name__ == "__main__":
    main()
