"""Roads of short bumps under errors: how near an estimate of their ascent could come, how near ours does.

The bound is that of Cramér and Rao for one unknown, how high the bumps are, with their shape and places and
the size and reach of the errors all known. A file tells none of these, so that no method beats it. Where the
bound is a standard deviation of 7 %, at most half of all roads come within 5 %, whoever estimates.

The bound is given twice: with 0.1 m of errors beside the others that know nothing of each other, which
every file has, and without them. Errors as smooth as Gaussian ones have next to no power in the short waves
that the bumps' sharp turns have, and bumps of exactly known shape could be read off there: 0.1 m of anything
else ends that.
"""

from math import erf, sqrt

import numpy as np
from scipy.linalg import solve_toeplitz

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.measure import measure_terrain
from tests.file_forms import SPECTRA, as_file
from tests.road_building import Road
from tests.roads import rolling_plain

SEEDS = tuple(range(401, 413))
SD_M, WITHIN = 3.0, 0.05
ELSE_M = 0.1
"""What else is wrong with heights [m]."""

CORRELATIONS = {
    "exponential 3 m over 30 m": lambda apart_m: np.exp(-apart_m / 30.0),
    "exponential 3 m over 60 m, whole metres": lambda apart_m: np.exp(-apart_m / 60.0),
    "exponential 3 m over 130 m": lambda apart_m: np.exp(-apart_m / 130.0),
    "Gaussian 3 m over 90 m": lambda apart_m: np.exp(-((apart_m / 90.0) ** 2)),
    "white 3 m at 30 m knots": None,
    "white 3 m at 90 m knots": None,
    "nearest 90 m cell, 3 m": None,
}
"""Of errors at two places so far apart; None where knots have errors of their own."""


def least_share(road: Road, name: str, else_m: float = ELSE_M) -> float:
    """Return the least standard deviation of how high the bumps of a road are, as a share.

    Parameters
    ----------
    road, name : the road, and which errors
    else_m : standard deviation of errors beside them that know nothing of each other [m]
    """
    form, correlation = SPECTRA[name], CORRELATIONS[name]
    every_m = form.cell_m if correlation is None else form.spacing_m
    at_m = np.arange(0.0, road.length_m, every_m)
    height_m = np.interp(at_m, road.distance_m, road.elevation_m)
    level = np.column_stack((np.ones(at_m.size), at_m / at_m[-1]))
    bumps_m = height_m - level @ np.linalg.lstsq(level, height_m, rcond=None)[0]
    columns = np.column_stack((bumps_m, level))
    covariance = np.zeros(at_m.size) if correlation is None else SD_M**2 * correlation(at_m)
    covariance[0] = SD_M**2 + form.rounded_m**2 / 12.0 + else_m**2
    known = columns.T @ solve_toeplitz(covariance, columns)
    return float(np.sqrt(np.linalg.inv(known)[0, 0]))


def main() -> None:
    """Print the bound beside what comes of files, and how often the stated spread holds."""
    roads = [rolling_plain(seed) for seed in SEEDS]
    true_m = np.array([climbed(road.elevation_m, 1.0)[0] for road in roads])
    print(f"{len(SEEDS)} roads of twenty bumps of 8 to 16 m, points every 10 m")
    print(f"{'':40}  least sd, alone   ours: mean, sd  within 5 %, at most  within one, two stated spreads")
    held: list[FloatArray] = []
    for name in CORRELATIONS:
        surveys = [as_file(road, SPECTRA[name], seed) for road, seed in zip(roads, SEEDS, strict=True)]
        terrains = [measure_terrain(survey.track) for survey in surveys]
        off_m = np.array([terrain.ascent_m for terrain in terrains]) - true_m
        spreads = np.abs(off_m) / np.array([terrain.ascent_sd_m for terrain in terrains])
        held.append(spreads)
        least = float(np.mean([least_share(road, name) for road in roads]))
        alone = float(np.mean([least_share(road, name, 0.0) for road in roads]))
        most = erf(WITHIN / least / sqrt(2.0))
        shares = off_m / true_m
        print(
            f"{name:40} {100 * least:7.1f} % {100 * alone:5.1f} %"
            f" {100 * shares.mean():+8.1f} {100 * shares.std():5.1f} %"
            f" {np.mean(np.abs(shares) < WITHIN):10.2f} {most:8.2f}"
            f"  {np.mean(spreads < 1.0):.2f} {np.mean(spreads < 2.0):.2f}",
            flush=True,
        )
    every = np.concatenate(held)
    print(
        f"all {every.size}: {np.mean(every < 1.0):.2f} within one spread, {np.mean(every < 2.0):.2f} in two"
    )


if __name__ == "__main__":
    main()
