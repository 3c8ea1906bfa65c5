"""Many riders abreast ride as each of them alone does."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from terrain_fuel.day import Day
from terrain_fuel.mapped.model import MappedRoad, Section
from terrain_fuel.pace.abreast import HABITS, Abreast, RiddenAbreast, open_road, ride_abreast
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Bike, Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from tests.demo import demo_route
from tests.road_building import Road, build_road
from tests.road_building import Section as Part
from tests.roads import mountain_pass, rollers

RIDERS = 8
WINDY = Day(temperature_c=27.0, humidity_pct=70.0, wind_m_s=5.0, wind_from_deg=200.0)


def riders(count: int = RIDERS) -> Abreast:
    rng = np.random.default_rng(11)
    return Abreast(
        total_mass_kg=rng.uniform(60.0, 130.0, count),
        ftp_w=rng.uniform(110.0, 380.0, count),
        effort_flat=rng.uniform(0.45, 0.9, count),
        effort_climb=rng.uniform(0.5, 1.0, count),
        cda_m2=rng.uniform(0.25, 0.5, count),
        crr=rng.uniform(0.003, 0.009, count),
        drafting_share=rng.uniform(0.0, 0.8, count),
        habit=np.arange(count) % len(HABITS),
        drivetrain_efficiency=0.97698,
    )


def some_of(all_of_them: Abreast, which: slice) -> Abreast:
    columns = {
        name: getattr(all_of_them, name)[which]
        for name in Abreast.__dataclass_fields__
        if name != "drivetrain_efficiency"
    }
    return Abreast(**columns, drivetrain_efficiency=all_of_them.drivetrain_efficiency)


def alone(abreast: Abreast, number: int) -> Rider:
    bike = Bike(
        bike_mass_kg=9.0,
        carried_mass_kg=3.0,
        cda_m2=float(abreast.cda_m2[number]),
        crr=float(abreast.crr[number]),
        drafting_share=float(abreast.drafting_share[number]),
    )
    return Rider(
        body_mass_kg=float(abreast.total_mass_kg[number]) - 12.0,
        ftp_w=float(abreast.ftp_w[number]),
        descending=HABITS[int(abreast.habit[number])],
        bike=bike,
    )


def legs(terrain: Terrain) -> "np.ndarray[tuple[int], np.dtype[np.intp]]":
    last = terrain.profile.distance_m.size - 1
    return np.unique(np.append(np.arange(37, last, 37), last))


def short_rises() -> Road:
    """Return level road with short steep rises, at which riders push harder than on a climb."""
    parts = [Part(700.0, 0.0, "flat")]
    for _ in range(6):
        parts += [Part(240.0, 0.058), Part(240.0, -0.058), Part(600.0, 0.0)]
    return build_road("short rises", parts)


@pytest.fixture(scope="module", params=["demo loop", "pass", "short rises", "rollers on gravel"])
def ridden(request: pytest.FixtureRequest) -> tuple[Terrain, Day, Abreast, RiddenAbreast]:
    if request.param == "demo loop":
        terrain, day = measure_terrain(*demo_route("loop-120")), WINDY
    elif request.param == "pass":
        terrain, day = measure_terrain(mountain_pass(4).survey().track), replace(WINDY, surface_wet=True)
    elif request.param == "short rises":
        terrain, day = measure_terrain(short_rises().survey().track), Day(effort_climb=0.8)
        assert open_road(terrain, day).slopes.short.any()
    else:
        gravel = MappedRoad(sections=(Section("surface", 2_000.0, 5_000.0, "gravel"),))
        terrain, day = measure_terrain(replace(rollers(3).survey().track, mapped=gravel)), Day()
    field = riders()
    return terrain, day, field, ride_abreast(open_road(terrain, day), field, legs(terrain))


def test_everyone_is_everywhere_when_a_rider_alone_would_be(
    ridden: tuple[Terrain, Day, Abreast, RiddenAbreast],
) -> None:
    # the same equations, solved span by span instead of all at once; only at the foot of walls, where the one
    # cuts long spans into parts and the other does not, do they differ at all
    terrain, day, field, found = ridden
    ends = legs(terrain)
    clock = np.cumsum(found.duration_s, axis=0)
    for number in range(field.count):
        flat, climb = float(field.effort_flat[number]), float(field.effort_climb[number])
        own_day = replace(day, effort_flat=flat, effort_climb=climb)
        pace = set_pace(terrain, alone(field, number), own_day)
        assert_allclose(clock[:, number], pace.moving_s[ends], atol=0.3, rtol=0.0)
        assert_allclose(found.work_j[:, number].sum() / 0.97698, pace.work_j, rtol=3e-4)


def test_the_way_through_still_air_is_the_road() -> None:
    terrain = measure_terrain(rollers(3).survey().track)
    found = ride_abreast(open_road(terrain, Day()), riders(2), legs(terrain))
    assert_allclose(found.air_m.sum(axis=0), terrain.length_m)


def test_the_way_through_wind_is_that_of_road_and_wind_together() -> None:
    terrain = measure_terrain(rollers(3).survey().track)
    road = open_road(terrain, WINDY)
    found = ride_abreast(road, riders(2), np.arange(1, road.length_m.size + 1))
    against_m = road.length_m[:, None] + road.headwind_m_s[:, None] * found.duration_s
    across_m = road.crosswind_m_s[:, None] * found.duration_s
    assert_allclose(found.air_m, np.hypot(against_m, across_m))
    assert np.ptp(road.headwind_m_s) > 2.0


def test_nobody_is_ridden_otherwise_for_who_rides_beside() -> None:
    terrain = measure_terrain(mountain_pass(4).survey().track)
    road, everyone = open_road(terrain, WINDY), riders(13)
    whole = ride_abreast(road, everyone, legs(terrain))
    for which in (slice(0, 1), slice(1, 6), slice(6, 13)):
        part = ride_abreast(road, some_of(everyone, which), legs(terrain))
        assert_array_equal(part.duration_s, whole.duration_s[:, which])
        assert_array_equal(part.work_j, whole.work_j[:, which])
        assert_array_equal(part.air_m, whole.air_m[:, which])
