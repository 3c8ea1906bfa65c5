"""Terrain by the door a user enters: the same roads in many file forms, their ascent, ends and hairpins.

Every road is written as GPX text and read back; nothing else passes. The seeds are not those that
constants were tried on.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.route import read_route
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.file_forms import HARD_SPECTRA, SAME_GROUND, SPECTRA, FileForm, as_file
from tests.real_ground import real_road
from tests.recorded_ride import recording_path
from tests.road_building import Road, Survey, with_uneven_grades
from tests.roads import flat_road, hill_country, mountain_pass, rollers, rolling_plain, valley_road
from tests.terrain.true_ends import end_errors, pair_stretches

SEEDS = (201, 202, 203)
REAL_SEEDS = (21, 22, 23, 24)
LAYOUTS = {"every 10 m": (10.0, 0.0), "every 25 m, jitter 3 m": (25.0, 3.0)}
"""Spacing and position noise of the points [m]."""

COUNTED_FROM_M = 1.0
"""Rises of the truth count from here on [m]."""

ALLOWED_SHARE, ALLOWED_M_PER_KM = 0.05, 1.0

DEVICE_ASCENT_M = {"4078723797_strava.gpx": 1254.0, "4801048867_strava.gpx": 79.0}
"""Ascent that the devices summed up themselves, from the FIT files beside the recordings [m]."""

Build = Callable[[int], Road]


def uneven(build: Build) -> Build:
    """Return a builder of the same roads with grades that waver by half a percent."""
    return lambda seed: with_uneven_grades(build(seed), 0.005, seed)


ROADS: dict[str, Build] = {
    "pass": mountain_pass,
    "hills": hill_country,
    "uneven hills": uneven(hill_country),
    "short hills": rollers,
    "valley": valley_road,
    "real ground": lambda seed: real_road(seed)[0],
    "bumps": rolling_plain,
    "flat": lambda seed: flat_road(60_000.0),
}
BUILT = ("pass", "hills", "uneven hills", "short hills", "valley")
"""Roads whose climbs and descents have ends."""


def truth(road: Road) -> float:
    """Return the ascent of a road as it is [m]."""
    return climbed(road.elevation_m, COUNTED_FROM_M)[0]


def ends_of(survey: Survey, terrain: Terrain) -> list[float]:
    """Return how far the ends of climbs and descents lie from the truth [m]; none where none was found."""
    kinds = {stretch.kind for stretch in survey.road.stretches} - {
        stretch.kind for stretch in terrain.stretches
    }
    return [] if kinds - {"flat"} else end_errors(pair_stretches(survey, terrain))


def hairpins(survey: Survey, terrain: Terrain) -> tuple[int, int, int]:
    """Return how many hairpins were built, how many of them found, and how many invented."""
    arcs = [arc for arc in survey.road.bends if abs(arc.turn_deg) >= 135.0 and arc.radius_m <= 20.0]
    middles = [survey.along_track_m((arc.start_m + arc.end_m) / 2) for arc in arcs]
    found = [corner for corner in terrain.corners if corner.hairpin]
    hit = [any(c.start_m - 10.0 <= middle <= c.end_m + 10.0 for c in found) for middle in middles]
    return len(arcs), sum(hit), len(found) - sum(hit)


def spectra(forms: dict[str, FileForm], spacing_m: float, jitter_m: float) -> None:
    """Print ascent, ends of climbs and hairpins over forms and roads."""
    print(f"{'':40}" + "".join(f"{name:>17}" for name in ROADS) + "   beyond  ends (median m)  hairpins")
    print(f"{'':40}" + f"{'mean %  worst %':>17}" * (len(ROADS) - 1) + f"{'worst m/km':>17}")
    for name, form in forms.items():
        if not form.speed_m_s:
            form = replace(form, spacing_m=spacing_m, jitter_m=jitter_m)
        line, counts, beyond, cases = f"{name:40}", np.zeros(3, dtype=int), 0, 0
        ends: list[float] = []
        for kind, build in ROADS.items():
            shares = []
            for seed in SEEDS:
                survey = as_file(build(seed), form, seed)
                terrain = measure_terrain(survey.track)
                true_m, km = truth(survey.road), survey.road.length_m / 1000.0
                off_m = terrain.ascent_m - true_m
                beyond += abs(off_m) > max(ALLOWED_SHARE * true_m, ALLOWED_M_PER_KM * km)
                cases += 1
                shares.append(off_m / km if kind == "flat" else 100.0 * off_m / true_m)
                if kind != "real ground":  # its bends are as they fall
                    counts += hairpins(survey, terrain)
                if kind in BUILT:
                    ends += ends_of(survey, terrain)
            worst = max(shares, key=abs)
            line += f"{worst:+17.2f}" if kind == "flat" else f"{np.mean(shares):+9.1f}{worst:+8.1f}"
        built, found, false = counts
        print(f"{line}  {beyond:3d}/{cases}  {np.median(ends):4.0f}  {found}/{built} +{false}", flush=True)


def same_ground() -> None:
    """Print how far the ascents of a road lie apart over thirteen forms, and without cells of 90 m."""
    roads = [build(seed) for name, build in ROADS.items() if name != "flat" for seed in SEEDS]
    names = [name for name in ROADS if name != "flat" for _ in SEEDS]
    ascents = np.array(
        [
            [measure_terrain(as_file(road, form, 5).track).ascent_m for road in roads]
            for form in SAME_GROUND.values()
        ]
    )
    fine = np.array([form.cell_m < 90.0 for form in SAME_GROUND.values()])
    for name in dict.fromkeys(names):
        mine = np.array(names) == name
        most, fewer = (_apart(ascents[rows][:, mine]) for rows in (slice(None), fine))
        print(f"same ground, {name:14} {most:5.3f} over {fine.size} forms, {fewer:5.3f} over {fine.sum()}")


def _apart(ascents: FloatArray) -> float:
    return float((ascents.max(axis=0) / ascents.min(axis=0)).max())


def beside_the_road() -> None:
    """Print the ascent of roads whose heights are those of the real ground, which they cut through."""
    for seed in REAL_SEEDS:
        road, ground = real_road(seed)
        built = f"road {truth(road):4.0f} m, ground {climbed(ground, COUNTED_FROM_M)[0]:4.0f} m"
        over = replace(road, elevation_m=ground)
        for name in ("every 10 m, whole metres", "every 50 m", "nearest 90 m cell"):
            terrain = measure_terrain(as_file(over, SAME_GROUND[name], seed).track)
            off = (terrain.ascent_m - truth(road)) / road.length_m * 1000.0
            said = f"{terrain.ascent_m:4.0f} m +- {terrain.ascent_sd_m:3.0f}, {off:+4.1f} m a km"
            print(f"heights of the ground, {name:26} {said}  ({built})")


def recordings() -> None:
    """Print the ascent of recorded rides beside the devices' own."""
    for name, device_m in DEVICE_ASCENT_M.items():
        track, _ = read_route(Path(recording_path()).with_name(name))
        terrain = measure_terrain(track)
        off = 100.0 * (terrain.ascent_m / device_m - 1.0)
        turns = sum(corner.hairpin for corner in terrain.corners)
        print(
            f"recorded ride of {track.length_m / 1000.0:.1f} km: {terrain.ascent_m:.0f} m"
            f" +- {terrain.ascent_sd_m:.0f}, the device {device_m:.0f} m: {off:+.1f} %; {turns} hairpins"
        )


def main() -> None:
    """Print the tables."""
    for layout, (spacing_m, jitter_m) in LAYOUTS.items():
        print(layout)
        spectra({**SPECTRA, **HARD_SPECTRA}, spacing_m, jitter_m)
    same_ground()
    beside_the_road()
    recordings()


if __name__ == "__main__":
    main()
