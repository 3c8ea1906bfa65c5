"""Any legal track gives finite terrain whose stretches tile the road."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from pyproj import Geod

from terrain_fuel.flags.descents import is_technical
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track
from tests.cautions import cautions_of
from tests.road_building import Section, build_road, make_track, write_gpx
from tests.roads import flat_road
from tests.terrain.true_ends import measure

GEOD = Geod(ellps="WGS84")


def assert_sound(terrain: Terrain) -> None:
    profile, stretches = terrain.profile, terrain.stretches
    assert profile.distance_m[0] == 0.0
    assert profile.distance_m[-1] == terrain.track.length_m
    assert np.all(np.diff(profile.distance_m) > 0.0)
    for column in (
        profile.lat_deg,
        profile.lon_deg,
        profile.elevation_m,
        profile.elevation_sd_m,
        profile.grade,
        profile.grade_sd,
        profile.heading_deg,
    ):
        assert np.isfinite(column).all()
    assert np.all(profile.heading_deg >= 0.0)
    assert np.all(profile.heading_deg < 360.0)
    assert not np.any(profile.radius_m <= 0.0)
    assert stretches[0].start_m == 0.0
    assert stretches[-1].end_m == terrain.length_m == terrain.track.length_m
    assert all(a.end_m == b.start_m for a, b in itertools.pairwise(stretches))
    assert all(stretch.length_m > 0.0 for stretch in stretches)
    total = sum(stretch.gain_m for stretch in stretches)
    assert_allclose(total, profile.elevation_m[-1] - profile.elevation_m[0], atol=1e-6)
    assert_allclose(terrain.ascent_m - terrain.descent_m, total, atol=1e-6)
    assert terrain.ascent_m >= 0.0
    assert terrain.descent_m >= 0.0
    for caution in cautions_of(terrain):
        assert 0.0 <= caution.start_m < caution.end_m <= terrain.length_m
        assert caution.note
    for corner in terrain.corners:
        assert 0.0 <= corner.start_m < corner.end_m <= terrain.length_m
        assert corner.radius_m > 0.0


def walk(lat: float, lon: float, azimuths: FloatArray, legs_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Walk leg by leg over the ellipsoid."""
    lats, lons = [lat], [lon]
    for azimuth, leg in zip(azimuths.tolist(), legs_m.tolist(), strict=True):
        lon, lat, _ = GEOD.fwd(lon, lat, azimuth, leg)
        lats.append(lat)
        lons.append(lon)
    return np.array(lats), np.array(lons)


@pytest.mark.slow
@settings(deadline=None, derandomize=True, max_examples=60)
@given(
    st.sampled_from([(0.0, 0.0), (46.0, 8.0), (-41.0, 179.999), (89.999, 0.0), (-89.9, 100.0)]),
    st.lists(
        st.tuples(st.floats(-180.0, 180.0), st.floats(0.5, 400.0), st.floats(-60.0, 60.0)),
        min_size=1,
        max_size=80,
    ),
    st.sampled_from(["unknown", "barometer", "surface_30m"]),
)
def test_any_walk(place: tuple[float, float], legs: list[tuple[float, float, float]], kind: str) -> None:
    turns, lengths, rises = (np.array(column) for column in zip(*legs, strict=True))
    lat, lon = walk(*place, np.cumsum(turns), lengths)
    assert_sound(measure(make_track("walk", lat, lon, np.cumsum([500.0, *rises]), kind)))


@pytest.mark.parametrize("count", [2, 3, 4, 7])
@pytest.mark.parametrize("length_m", [20.0, 90.0, 700.0, 100_000.0])
def test_few_points(count: int, length_m: float) -> None:
    lat, lon = walk(46.0, 8.0, np.full(count - 1, 30.0), np.full(count - 1, length_m / (count - 1)))
    assert_sound(measure(make_track("few", lat, lon, np.linspace(400.0, 401.0, count))))


def test_flat_sea_level() -> None:
    terrain = measure(flat_road(400_000.0).survey(100.0).track)
    assert_sound(terrain)
    assert [stretch.kind for stretch in terrain.stretches] == ["flat"]
    assert terrain.ascent_m == 0.0
    assert_allclose(terrain.profile.grade, 0.0, atol=1e-12)


def test_nothing_but_hairpins() -> None:
    road = build_road(
        "all hairpins", [Section(12_000.0, -0.08, "descent", 9.0, 175.0, 60.0)], start_elevation_m=2000.0
    )
    terrain = measure(road.survey(5.0).track)
    assert_sound(terrain)
    assert sum(corner.hairpin for corner in terrain.corners) > 0.95 * len(road.bends)
    assert is_technical(terrain.stretches[0], cautions_of(terrain))


def test_there_and_back() -> None:
    out = build_road("out", [Section(3000.0, 0.06, "climb", 30.0, 90.0, 300.0)]).survey(10.0).track
    both = np.concatenate((np.arange(out.lat_deg.size), np.arange(out.lat_deg.size - 1)[::-1]))
    terrain = measure(
        make_track("there and back", out.lat_deg[both], out.lon_deg[both], out.elevation_m[both])
    )
    assert_sound(terrain)
    assert [stretch.kind for stretch in terrain.stretches] == ["climb", "descent"]
    assert_allclose(terrain.stretches[0].end_m, out.length_m, atol=15.0)


def test_the_pole_itself() -> None:
    lat = np.concatenate((np.linspace(89.9, 90.0, 200), np.linspace(90.0, 89.9, 200)[1:]))
    lon = np.concatenate((np.full(200, 20.0), np.full(199, -160.0)))
    terrain = measure(make_track("over the pole", lat, lon, np.full(399, 10.0)))
    assert_sound(terrain)
    assert not any(corner.hairpin for corner in terrain.corners)


def test_across_the_date_line() -> None:
    sections = [
        Section(4000.0, 0.05, "climb", 40.0, 60.0, 400.0),
        Section(4000.0, -0.05, "descent", 40.0, 60.0, 400.0),
    ]
    here = build_road("here", sections, origin_deg=(-17.0, 100.0), heading_deg=90.0)
    there = build_road("there", sections, origin_deg=(-17.0, 179.98), heading_deg=90.0)
    a, b = measure(here.survey(10.0).track), measure(there.survey(10.0).track)
    assert_sound(b)
    assert b.profile.lon_deg.min() < -179.0
    assert_allclose([c.radius_m for c in a.corners], [c.radius_m for c in b.corners], rtol=1e-3)
    assert_allclose(a.profile.heading_deg[5:-5], b.profile.heading_deg[5:-5], atol=0.01)


def test_bridged_heights_are_known_to_be_doubtful() -> None:
    track = build_road("void", [Section(6000.0, 0.04, "climb")]).survey(10.0).track
    void = (track.distance_m > 2000.0) & (track.distance_m < 3000.0)
    bridged = Track(
        name="void",
        source="void.gpx",
        lat_deg=track.lat_deg,
        lon_deg=track.lon_deg,
        distance_m=track.distance_m,
        elevation_m=track.elevation_m,
        interpolated=void,
    )
    profile = measure(bridged).profile
    inside = (profile.distance_m > 2050.0) & (profile.distance_m < 2950.0)
    assert profile.interpolated[inside].all()
    assert not profile.interpolated[profile.distance_m < 1950.0].any()
    assert profile.grade_sd[inside].min() > 2.0 * profile.grade_sd[0]
    assert profile.elevation_sd_m[inside].min() > 2.0 * profile.elevation_sd_m[0]


def test_uncertainty_of_grade_is_honest() -> None:
    survey = build_road("even", [Section(20_000.0, 0.03, "climb")]).survey(10.0, "surface", seed=4)
    profile = measure(survey.track).profile
    inner = slice(100, -100)
    error = profile.grade[inner] - 0.03
    assert 0.5 < error.std() / profile.grade_sd[inner].mean() < 1.5


def test_written_roads_are_read_back(tmp_path: object) -> None:
    import gpxpy

    track = build_road("written", [Section(1000.0, 0.03, "climb")]).survey(10.0).track
    path = write_gpx(track, tmp_path / "written.gpx")  # type: ignore[operator]
    points = gpxpy.parse(path.read_text(encoding="utf-8")).tracks[0].segments[0].points
    assert_allclose([point.latitude for point in points], track.lat_deg, atol=1e-8)
    heights = np.array([point.elevation for point in points], dtype=float)
    assert_allclose(heights, track.elevation_m, atol=0.006)
