"""Open ground, shelter, cold tops, marked places and tunnels, on ground drawn by formula."""

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.testing import assert_allclose

from terrain_fuel.day import Day
from terrain_fuel.flags.exposure import exposed_places, measure_exposure
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Relief, Waypoint
from tests.cautions import cautions_of
from tests.road_building import ORIGIN_DEG, Section, build_road
from tests.roads import flat_road, hill_country
from tests.saying import say

METRES_A_DEGREE = 111_320.0


def ground(height: Callable[[FloatArray, FloatArray], FloatArray], east_deg: float = ORIGIN_DEG[1]) -> Relief:
    """Return 16 km x 16 km of ground around the origin; height from metres north and east."""
    axis = np.arange(-8000.0, 8001.0, 50.0)
    north, east = np.meshgrid(axis, axis, indexing="ij")
    lat = ORIGIN_DEG[0] + axis / METRES_A_DEGREE
    lon = east_deg + axis / (METRES_A_DEGREE * np.cos(np.radians(ORIGIN_DEG[0])))
    return Relief(lat, lon, height(north, east))


def eastward(length_m: float = 6000.0) -> Terrain:
    road = build_road("east", [Section(length_m, 0.0, "flat")], heading_deg=90.0)
    return measure_terrain(road.survey(10.0).track)


def test_openness_of_plane_and_cone() -> None:
    """By hand from the definition of [Yo02]: a plane 90 degrees, a cone's tip 90 and its slope."""
    plane = measure_exposure(eastward().profile, ground(lambda north, east: 0.0 * north + 600.0), Day())
    assert_allclose(plane.openness_deg, 90.0, atol=1e-6)
    assert_allclose(plane.position_m, 0.0, atol=1e-6)
    cone = ground(lambda north, east: 1000.0 - 0.2 * np.hypot(north, east))
    tip = measure_exposure(eastward().profile, cone, Day())
    assert_allclose(tip.openness_deg[0], 90.0 + np.degrees(np.arctan(0.2)), atol=0.3)
    # mean height of a ring of 300 m to 2 km in eight directions, every 100 m: mean distance 1150 m
    assert_allclose(tip.position_m[0], 0.2 * 1150.0, rtol=0.02)
    tilted = measure_exposure(eastward().profile, ground(lambda north, east: 600.0 + 0.1 * north), Day())
    assert_allclose(tilted.openness_deg, 90.0, atol=0.1)  # what rises on one side falls on the other


def test_shelter_of_a_wall() -> None:
    # a bank of 30 m whose crest stands 200 m north of the road
    bank = ground(lambda north, east: 600.0 + np.clip(30.0 - 0.3 * np.abs(north - 200.0), 0.0, 30.0))
    profile = eastward().profile
    north = measure_exposure(profile, bank, Day(wind_m_s=6.0, wind_from_deg=0.0)).shelter_deg
    south = measure_exposure(profile, bank, Day(wind_m_s=6.0, wind_from_deg=180.0)).shelter_deg
    assert north is not None
    assert south is not None
    assert_allclose(north, np.degrees(np.arctan(30.0 / 200.0)), atol=1.0)
    assert_allclose(south, 0.0, atol=0.2)
    assert measure_exposure(profile, bank, Day()).shelter_deg is None


def over_a_ridge() -> Relief:
    """Return level ground with a broad ridge across the road 3 km out: 150 m high."""
    return ground(lambda north, east: 600.0 + 150.0 * np.exp(-(((east - 3000.0) / 500.0) ** 2)))


def test_the_ridge_is_exposed_and_the_valley_is_not() -> None:
    relief = over_a_ridge()
    (place,) = exposed_places(replace(eastward(), relief=relief), Day())
    assert place.kind == "exposed"
    assert not place.hands_on
    assert "may be exposed" in say(place.note)
    assert 2400.0 < place.start_m < 3000.0 < place.end_m < 3600.0


def test_shelter_upwind_takes_it_away() -> None:
    # a knoll of 40 m stands 150 m west of the crest: it shelters from the west alone
    def height(north: FloatArray, east: FloatArray) -> FloatArray:
        ridge = 150.0 * np.exp(-(((east - 3000.0) / 500.0) ** 2))
        return 600.0 + ridge + 40.0 * np.exp(-(((east - 2850.0) / 50.0) ** 2))

    road = replace(eastward(), relief=ground(height))

    def places(day: Day) -> tuple[float, list[str]]:
        found = exposed_places(road, day)
        return sum(place.end_m - place.start_m for place in found), [say(place.note) for place in found]

    still_m, _ = places(Day())
    east_m, east_notes = places(Day(wind_m_s=7.0, wind_from_deg=90.0))
    west_m, _ = places(Day(wind_m_s=7.0, wind_from_deg=270.0))
    assert west_m < east_m <= still_m
    assert all("no shelter from the east" in note for note in east_notes)


def test_no_relief_or_plain_or_void_says_nothing() -> None:
    def on(relief: Relief) -> Terrain:
        return replace(eastward(), relief=relief)

    assert exposed_places(eastward(), Day()) == ()
    assert exposed_places(on(ground(lambda north, east: 0.0 * north)), Day()) == ()
    assert exposed_places(on(ground(lambda north, east: 0.0 * north + np.nan)), Day()) == ()
    assert exposed_places(on(ground(lambda north, east: 0.0 * north, east_deg=40.0)), Day()) == ()


def test_relief_beyond_the_date_line() -> None:
    road = build_road(
        "date line", [Section(6000.0, 0.0, "flat")], heading_deg=90.0, origin_deg=(46.30, 179.98)
    )
    terrain = measure_terrain(road.survey(10.0).track)
    profile = terrain.profile
    assert profile.lon_deg.min() < -179.0 < 179.0 < profile.lon_deg.max()
    here = over_a_ridge()
    moved = Relief(here.lat_deg, here.lon_deg + 179.98 - ORIGIN_DEG[1], here.elevation_m)
    (place,) = exposed_places(replace(terrain, relief=moved), Day())
    (usual,) = exposed_places(replace(eastward(), relief=here), Day())
    assert_allclose((place.start_m, place.end_m), (usual.start_m, usual.end_m), atol=110.0)


def cautions(terrain: Terrain, kind: str, day: Day | None = None) -> list[Caution]:
    return [caution for caution in cautions_of(terrain, day=day) if caution.kind == kind]


def test_cold_tops() -> None:
    track = hill_country(3).survey(10.0).track  # first climb: 300 m, from 400 m
    road = measure_terrain(track)
    assert cautions(road, "cold_summit", Day(temperature_c=18.0)) == []
    first = cautions(road, "cold_summit", Day(temperature_c=9.0))[0]
    climb = next(stretch for stretch in road.stretches if stretch.kind == "climb")
    assert first.start_m < climb.end_m < first.end_m
    assert say(first.note).startswith("About 7 °C at the top, 2 °C colder")  # 9 - 0.3 * 6.5 = 7.05
    # down at 20 to 60 km/h: 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16 gives 4 to 1
    felt_c = int(re.search(r"like (-?\d+) °C on the face", say(first.note)).group(1))  # type: ignore[union-attr]
    assert 1 <= felt_c <= 4
    blown = cautions(road, "cold_summit", Day(temperature_c=9.0, wind_m_s=8.0))[0]
    assert int(re.search(r"like (-?\d+) °C", say(blown.note)).group(1)) < felt_c  # type: ignore[union-attr]
    assert not first.hands_on


def test_marked_places_are_safety_flags() -> None:
    marks = (
        Waypoint("Level crossing", "no_stop", 0.0, 0.0, 3000.0),
        Waypoint("Cattle grid", "caution", 0.0, 0.0, 50.0),
        Waypoint("Village", "place", 0.0, 0.0, 5000.0),
        Waypoint("Spring", "refill", 0.0, 0.0, 6000.0),
        Waypoint("Old tunnel", "tunnel", 0.0, 0.0, 8000.0),
    )
    terrain = measure_terrain(flat_road(10_000.0).survey(10.0, waypoints=marks).track)
    spans = {(c.kind, c.start_m, c.end_m, c.hands_on) for c in cautions_of(terrain)}
    assert spans == {
        ("no_stop", 2900.0, 3100.0, True),
        ("waypoint", 0.0, 150.0, True),
        ("tunnel", 7700.0, 8300.0, True),
    }
    starts_m = [c.start_m for c in cautions_of(terrain)]
    assert starts_m == sorted(starts_m)


def test_a_ridge_that_must_be_a_tunnel() -> None:
    sections = [
        Section(1500, 0.0, "flat"),
        Section(150, 0.4, None),
        Section(150, -0.4, None),
        Section(1500, 0.0, None),
    ]
    track = build_road("ridge", sections, vertical_curve_m=30.0).survey(10.0).track
    terrain = measure_terrain(track)
    (flag,) = cautions(terrain, "tunnel")
    assert flag.hands_on
    assert "look like a tunnel" in say(flag.note)
    assert terrain.ascent_m < 8.0
    named = replace(track, waypoints=(Waypoint("Ridge tunnel", "tunnel", 0.0, 0.0, 1600.0),))
    (known,) = cautions(measure_terrain(named), "tunnel")
    assert say(known.note).startswith("Tunnel:")
    assert known.start_m == flag.start_m
