"""Reading routes and heights beside the libraries under them, in one run.

Prints ratios, not times of record: the machine and its load are the same for both sides.
"""

import math
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import gpxpy
import numpy as np
from srtm.data import GeoElevationData
from srtm.utils import FileHandler

from terrain_fuel.inputs.elevation import heights_at
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.tiles import TileFolders

COUNTS = (2_000, 20_000, 200_000)
TILES = Path(__file__).resolve().parent.parent / "routes" / "tiles"
LOOK_UPS = 200_000
THEIR_LOOK_UPS = 20_000

PEAK = """
import re, sys
from pathlib import Path
{work}
print(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
"""
OURS = "from terrain_fuel.inputs.route import read_route; read_route(Path(sys.argv[1]))"
THEIRS = "import gpxpy; gpxpy.parse(Path(sys.argv[1]).read_text())"
NOTHING = ("import terrain_fuel.inputs.route", "import gpxpy")


def write_route(path: Path, points: int) -> None:
    """Write a winding road of that many points with heights and times, about 15 m apart."""
    along = np.arange(points)
    lat = 45.0 + 0.0001 * along * 0.5 + 0.002 * np.sin(along / 90.0)
    lat = 45.0 + (lat - 45.0) % 30.0
    lon = 7.0 + 0.0001 * along * 0.4 + 0.002 * np.cos(along / 70.0)
    height = 400.0 + 200.0 * np.sin(along / 800.0)
    body = "".join(
        f'<trkpt lat="{a:.7f}" lon="{b:.7f}"><ele>{c:.1f}</ele></trkpt>'
        for a, b, c in zip(lat, lon, height, strict=True)
    )
    path.write_text(
        '<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" creator="bench"'
        f' xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>{body}</trkseg></trk></gpx>'
    )


def seconds(work: Callable[[], object], rounds: int = 3) -> float:
    """Return the shortest of a few times [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def peak_mb(work: str, path: Path) -> float:
    """Return the peak memory of a fresh process that does one thing [MB]; as Linux counts it, in kB."""
    code = PEAK.format(work=work)
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    return int(done.stdout) / 1000.0


def bench_routes() -> None:
    """Print read_route against gpxpy's parse of the same file."""
    print("route: read_route / gpxpy.parse")
    print(f"{'points':>9} {'ours s':>8} {'gpxpy s':>8} {'ratio':>6} {'ours MB':>8} {'gpxpy MB':>8}")
    ours_s = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "road.gpx"
        base_mb = [peak_mb(work, path) for work in NOTHING]
        for count in COUNTS:
            write_route(path, count)
            text = path.read_text()
            rounds = 1 if count > 100_000 else 3
            ours = seconds(lambda: read_route(path), rounds)
            theirs = seconds(lambda text=text: gpxpy.parse(text), rounds)  # type: ignore[misc]
            memory = [peak_mb(work, path) - base for work, base in zip((OURS, THEIRS), base_mb, strict=True)]
            ours_s.append(ours)
            print(
                f"{count:>9} {ours:>8.3f} {theirs:>8.3f} {ours / theirs:>6.3f}"
                f" {memory[0]:>8.0f} {memory[1]:>8.0f}"
            )
    growth = math.log(ours_s[-1] / ours_s[0]) / math.log(COUNTS[-1] / COUNTS[0])
    print(f"time grows as points ** {growth:.2f}")
    print(f"memory is above {base_mb[0]:.0f} and {base_mb[1]:.0f} MB of imports\n")


def bench_tiles() -> None:
    """Print our tile look-up against SRTM.py's own, both offline, the tile decoded before."""
    rng = np.random.default_rng(1)
    lat, lon = rng.uniform(45.2, 45.8, LOOK_UPS), rng.uniform(-6.8, -6.2, LOOK_UPS)
    folders = TileFolders(TILES)
    theirs = GeoElevationData({"N45W007.hgt": ""}, {}, FileHandler(str(TILES)))
    folders.read(45, -7)
    theirs.get_elevation(45.5, -6.5)
    ours_s = seconds(lambda: heights_at(lat, lon, folders.read)) / LOOK_UPS
    places = list(zip(lat[:THEIR_LOOK_UPS].tolist(), lon[:THEIR_LOOK_UPS].tolist(), strict=True))
    theirs_s = seconds(lambda: [theirs.get_elevation(*place) for place in places]) / THEIR_LOOK_UPS
    smooth_s = seconds(lambda: [theirs.get_elevation(*place, approximate=True) for place in places], 1)
    print("tile look-up: ours (bilinear) / SRTM.py get_elevation (floor)")
    print(
        f"ours {ours_s * 1e9:.0f} ns, SRTM.py {theirs_s * 1e9:.0f} ns a point: ratio {ours_s / theirs_s:.3f};"
        f" against its approximate mode {ours_s / (smooth_s / THEIR_LOOK_UPS):.4f}\n"
    )


def main() -> None:
    """Print every ratio."""
    bench_tiles()
    bench_routes()


if __name__ == "__main__":
    main()
