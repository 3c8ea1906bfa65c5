"""Ascent by the door a user enters: the road decides, not the file it came in."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.inputs.route import read_route
from terrain_fuel.terrain.ascent import climbed
from terrain_fuel.terrain.measure import measure_terrain
from tests.file_forms import HARD_SPECTRA, SAME_GROUND, SPECTRA, as_file
from tests.real_ground import real_road
from tests.recorded_ride import recording_path
from tests.road_building import Road, with_uneven_grades
from tests.roads import flat_road, hill_country, mountain_pass, rollers, rolling_plain, valley_road


@cache
def road(build: Callable[[int], Road], seed: int) -> Road:
    return build(seed)


def uneven_hills(seed: int) -> Road:
    return with_uneven_grades(hill_country(seed), 0.005, seed)


def built_over_real_ground(seed: int) -> Road:
    return real_road(seed)[0]


def climbs(built: Road) -> float:
    """Return the ascent of a road as it is, of rises from 1 m on [m]."""
    return climbed(built.elevation_m, 1.0)[0]


@pytest.mark.parametrize("name", SPECTRA)
@pytest.mark.parametrize("build", [mountain_pass, uneven_hills, rollers, valley_road])
def test_ascent_whatever_the_errors(name: str, build: Callable[[int], Road]) -> None:
    built = road(build, 4)
    terrain = measure_terrain(as_file(built, SPECTRA[name], 4).track)
    allowed_m = max(0.05 * climbs(built), built.length_m / 1000.0)
    assert abs(terrain.ascent_m - climbs(built)) < allowed_m


@pytest.mark.parametrize("name", SPECTRA)
def test_flat_stays_flat(name: str) -> None:
    terrain = measure_terrain(as_file(road(flat_road, 60_000), SPECTRA[name], 4).track)
    assert terrain.ascent_m < 60.0  # 1 m a km
    assert [stretch.kind for stretch in terrain.stretches] == ["flat"]


@pytest.mark.parametrize("seed", [201, 202, 203])
def test_flat_stays_flat_where_points_are_25_m_apart_and_stray(seed: int) -> None:
    form = replace(SPECTRA["Gaussian 3 m over 30 m"], spacing_m=25.0, jitter_m=3.0)
    assert measure_terrain(as_file(road(flat_road, 60_000), form, seed).track).ascent_m < 60.0  # 1 m a km


@pytest.mark.slow
@pytest.mark.parametrize("build", [mountain_pass, uneven_hills, rollers])
def test_one_ground_in_thirteen_forms(build: Callable[[int], Road]) -> None:
    built = road(build, 6)
    ascents = [measure_terrain(as_file(built, form, 6).track).ascent_m for form in SAME_GROUND.values()]
    assert len(ascents) == 13
    assert max(ascents) < 1.10 * min(ascents)


def test_small_bumps_in_thirteen_forms() -> None:
    built = road(rolling_plain, 6)
    ascents = [measure_terrain(as_file(built, form, 6).track).ascent_m for form in SAME_GROUND.values()]
    assert len(ascents) == 13
    assert max(ascents) < 1.10 * min(ascents)


@pytest.mark.parametrize("seed", [3, 6])
def test_what_coarse_cells_hide_is_said(seed: int) -> None:
    # lines between cells of 90 m over the crests of bumps 350 m apart take a tenth of them, and nothing in
    # the file tells such a road from a blunter one
    built = road(rolling_plain, seed)
    coarse, fine = (
        measure_terrain(as_file(built, SAME_GROUND[name], seed).track) for name in ("90 m cells", "every 5 m")
    )
    assert abs(coarse.ascent_m - climbs(built)) < 2.0 * coarse.ascent_sd_m
    assert coarse.ascent_sd_m > 0.04 * climbs(built)
    assert fine.ascent_sd_m < 0.02 * climbs(built)


@pytest.mark.parametrize("build", [rolling_plain, rollers])
def test_whole_metres_take_nothing_off_crests(build: Callable[[int], Road]) -> None:
    # with slopes drawn from the middle of each tread to the middle of the next, 4 and 2 % were missing
    built = road(build, 203)
    terrain = measure_terrain(as_file(built, SAME_GROUND["every 10 m, whole metres"], 5).track)
    assert_allclose(terrain.ascent_m, climbs(built), rtol=0.02)


@pytest.mark.parametrize(
    ("build", "name", "share"),
    [
        (rollers, "every 100 m", 0.03),
        (rollers, "every 150 m", 0.05),
        (rolling_plain, "every 100 m", 0.06),
        (rolling_plain, "every 150 m", 0.07),
    ],
)
def test_sparse_points_do_not_cut_crests_off(build: Callable[[int], Road], name: str, share: float) -> None:
    # the lines between the points alone leave 5, 8, 11 and 17 % out
    built = road(build, 6)
    terrain = measure_terrain(as_file(built, SAME_GROUND[name], 6).track)
    assert_allclose(terrain.ascent_m, climbs(built), rtol=share)
    rise_m = terrain.profile.elevation_m[-1] - terrain.profile.elevation_m[0]
    assert_allclose(terrain.ascent_m - terrain.descent_m, rise_m, atol=1e-6)


@pytest.mark.source("MPLDEM", "a road that cuts through the sample's ground")
def test_one_real_ground_in_thirteen_forms() -> None:
    built = road(built_over_real_ground, 4)
    ascents = [measure_terrain(as_file(built, form, 6).track).ascent_m for form in SAME_GROUND.values()]
    assert len(ascents) == 13
    assert max(ascents) < 1.10 * min(ascents)


@pytest.mark.source("MPLDEM", "the heights of the sample's ground beside a road that cuts through it")
def test_heights_beside_the_road_are_known_to_be_unsure() -> None:
    off, spreads = [], []
    for seed in (4, 5):
        built, ground_m = real_road(seed)
        # the ground itself climbs twice as much as the road that was built through it
        assert climbed(ground_m, 1.0)[0] > 1.8 * climbs(built)
        over = Road("ground", built.distance_m, built.lat_deg, built.lon_deg, ground_m, (), ())
        terrain = measure_terrain(as_file(over, SAME_GROUND["every 10 m, whole metres"], seed).track)
        off.append((terrain.ascent_m - climbs(built)) / built.length_m * 1000.0)
        spreads.append(terrain.ascent_sd_m / built.length_m * 1000.0)
    assert max(np.abs(off)) < 2.0
    assert min(spreads) > 0.3


@pytest.mark.parametrize("name", ["white 5 m at 90 m knots", "90 m cells beside the road"])
def test_large_errors(name: str) -> None:
    built = road(uneven_hills, 4)
    terrain = measure_terrain(as_file(built, HARD_SPECTRA[name], 4).track)
    assert_allclose(terrain.ascent_m, climbs(built), rtol=0.05)


def test_what_errors_hide_is_said() -> None:
    # bumps of 8 to 16 m every 700 m: seen in clean heights, mostly hidden by 3 m of errors that reach
    # 60 m, and then the spread is wide
    built = road(rolling_plain, 3)
    clean = measure_terrain(as_file(built, SPECTRA["clean"], 3).track)
    assert_allclose(clean.ascent_m, climbs(built), rtol=0.02)
    assert clean.ascent_sd_m < 0.02 * climbs(built)
    noisy = measure_terrain(as_file(built, SPECTRA["exponential 3 m over 60 m, whole metres"], 3).track)
    assert noisy.ascent_sd_m > 5.0 * clean.ascent_sd_m
    assert abs(noisy.ascent_m - climbs(built)) < 3.0 * noisy.ascent_sd_m


@pytest.mark.parametrize(
    ("name", "share"),
    [
        ("exponential 3 m over 30 m", 0.10),
        ("Gaussian 3 m over 90 m", 0.15),
        ("white 3 m at 90 m knots", 0.25),
    ],
)
def test_bumps_that_show_through_their_errors_are_counted(name: str, share: float) -> None:
    # twenty bumps of 8 to 16 m; where reversals count from 4.3 standard deviations on, 30 to 70 % are lost
    built = road(rolling_plain, 201)
    terrain = measure_terrain(as_file(built, SPECTRA[name], 201).track)
    assert_allclose(terrain.ascent_m, climbs(built), rtol=share)


def test_a_staircase_is_no_row_of_bridges() -> None:
    survey = as_file(road(mountain_pass, 4), SPECTRA["nearest 90 m cell, 3 m"], 4)
    assert measure_terrain(survey.track).profile.interpolated.mean() < 0.02


@pytest.mark.parametrize(
    ("recording", "device_m", "share", "m_per_km"),
    [("4078723797_strava.gpx", 1254.0, 0.05, 0.0), ("4801048867_strava.gpx", 79.0, 0.0, 1.0)],
)
def test_recorded_rides_as_their_devices(
    recording: str, device_m: float, share: float, m_per_km: float
) -> None:
    # the devices' own sums stand in the FIT files beside the recordings; the second ride is flat
    track, _ = read_route(recording_path().with_name(recording))
    terrain = measure_terrain(track)
    allowed_m = max(share * device_m, m_per_km * track.length_m / 1000.0)
    assert abs(terrain.ascent_m - device_m) < allowed_m
