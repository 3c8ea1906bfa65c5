"""Terrain measured: its time beside a GPX parser's, its cuts beside a library's; ratios within one run."""

import time
from collections.abc import Callable
from functools import partial

import gpxpy
import numpy as np
import ruptures

from terrain_fuel.terrain.axis import cell_means, lay_axis
from terrain_fuel.terrain.partition import LONGEST_M, best_cuts
from terrain_fuel.track import Track
from tests.road_building import gpx_text, make_track
from tests.roads import hill_country
from tests.terrain.true_ends import measure

COUNTS = (2_000, 20_000, 200_000)
SPACING_M = 10.0


def seconds(work: Callable[[], object], rounds: int = 3) -> float:
    """Return the shortest of a few processor times [s]: what else runs on the machine does not count."""
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def winding_track(points: int) -> Track:
    """Return a winding, hilly road of that many points, 10 m apart."""
    along = SPACING_M * np.arange(points)
    lat = 46.0 + along / 111_200.0 * 0.02 + 0.01 * np.sin(along / 1_500.0)
    lon = 8.0 + along / 77_000.0 * 0.04 + 0.01 * np.cos(along / 1_100.0)
    height = 600.0 + 150.0 * np.sin(along / 2_500.0) + np.random.default_rng(0).normal(0.0, 0.3, points)
    return make_track("winding", lat, lon, height)


def times() -> None:
    """Print the time of terrain beside that of parsing the same route, and how it grows."""
    print(f"{'points':>8} {'terrain':>9} {'parse':>9} {'ratio':>6} {'per point':>10}")
    for count in COUNTS:
        track = winding_track(count)
        ours = seconds(partial(measure, track))
        theirs = seconds(partial(gpxpy.parse, gpx_text(track)), 1)
        print(f"{count:8d} {ours:8.3f}s {theirs:8.3f}s {ours / theirs:6.3f} {1e6 * ours / count:8.2f}us")


def cuts() -> None:
    """Print the time of the optimal partition beside the library that finds the same one."""
    track = hill_country(0).survey(10.0, "surface").track
    raw = cell_means(track, lay_axis(track))
    height = raw[: raw.size // 10 * 10].reshape(-1, 10).mean(axis=1)
    signal = np.column_stack((height, np.arange(height.size), np.ones(height.size)))
    ours = seconds(lambda: best_cuts(height, 3, int(LONGEST_M / 100.0), 300.0))
    theirs = seconds(
        lambda: ruptures.Pelt(model="linear", min_size=3, jump=1).fit(signal).predict(pen=300.0), 1
    )
    print(f"optimal partition of {height.size} heights: {ours / theirs:.4f} of the time of ruptures")


def main() -> None:
    """Print the tables."""
    times()
    cuts()


if __name__ == "__main__":
    main()
