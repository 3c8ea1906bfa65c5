"""Terrain measured: its time beside a GPX parser's, its cuts beside a library's, its errors beside the truth.

Ratios within one run; errors are of generated roads, whose truth is known.
"""

import time
from collections.abc import Callable
from functools import partial

import gpxpy
import numpy as np
import ruptures

from terrain_fuel.terrain.axis import cell_means, lay_axis
from terrain_fuel.terrain.partition import LONGEST_M, best_cuts
from terrain_fuel.track import Track
from tests.road_building import Heights, Road, gpx_text, make_track, with_uneven_grades
from tests.roads import hill_country, mountain_pass, rollers, rolling_plain, sweeping_descent, valley_road
from tests.terrain.true_ends import end_errors, measure, pair_stretches

COUNTS = (2_000, 20_000, 200_000)
SPACING_M = 10.0
SEEDS = range(12)
LONG_ROADS = (mountain_pass, hill_country, sweeping_descent, valley_road)
POINTS = ((5.0, 0.0), (10.0, 0.0), (25.0, 0.0), (5.0, 3.0), (10.0, 3.0), (25.0, 3.0))


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


def errors(
    heights: Heights, builds: tuple[Callable[[int], Road], ...], spacing_m: float, noise_m: float
) -> str:
    """Return a line of errors of ends, gains and ascent over many roads."""
    ends: list[float] = []
    gains: list[float] = []
    ascents: list[float] = []
    missed = climbs = 0
    for build in builds:
        for seed in SEEDS:
            survey = build(seed).survey(spacing_m, heights, noise_m, seed)
            terrain = measure(survey.track)
            pairs = pair_stretches(survey, terrain) if build is not rolling_plain else []
            ends += end_errors(pairs)
            big = [pair for pair in pairs if pair.built.kind == "climb" and pair.built.gain_m > 80.0]
            gains += [pair.gain_error for pair in big]
            missed += sum(max(pair.start_error_m, pair.end_error_m) > 150.0 for pair in big)
            climbs += len(big)
            ascents.append(terrain.ascent_m / survey.road.ascent_m - 1.0)
    over = sum(gain > 0.03 for gain in gains)
    worst = f"{100 * min(ascents):+5.1f} to {100 * max(ascents):+5.1f} %"
    if not ends:
        return f"ascent {worst}"
    return (
        f"ends {np.mean(ends):5.1f} m mean, {max(ends):4.0f} m worst; of {climbs} climbs"
        f" {missed} off by 150 m, {over} by 3 % of gain; ascent {worst}"
    )


def uneven(build: Callable[[int], Road]) -> Callable[[int], Road]:
    """Return a builder of the same roads with grades that waver by half a percent."""
    return lambda seed: with_uneven_grades(build(seed), 0.005, seed)


def main() -> None:
    """Print the tables."""
    times()
    cuts()
    groups = (
        ("roads", LONG_ROADS),
        ("uneven roads", tuple(uneven(build) for build in LONG_ROADS)),
        ("short hills", (rollers,)),
        ("bumps", (rolling_plain,)),
    )
    for name, builds in groups:
        for heights in ("clean", "barometer", "surface"):
            for spacing, noise in POINTS:
                label = f"{name}, {heights}, every {spacing:g} m, jitter {noise:g} m"
                print(f"{label:46} {errors(heights, builds, spacing, noise)}")


if __name__ == "__main__":
    main()
