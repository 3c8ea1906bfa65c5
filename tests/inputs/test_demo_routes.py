"""The demo: invented roads that are what the documentation says of them."""

import gpxpy
import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal
from shapely import LineString

from routes.make_demo import FOLDER, LOOP, PLANS, SEED, lay, pick
from terrain_fuel.equations.geodesy import earth_centred_m, geodesic_m
from terrain_fuel.inputs.download import MIRROR_SETTING, tile_address
from terrain_fuel.inputs.elevation import heights_at
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.tiles import TileFolders
from terrain_fuel.track import Track

TILES = FOLDER / "tiles"


@pytest.fixture(scope="module")
def demo() -> dict[str, Track]:
    """Return the three demo routes by file name."""
    return {plan.file: read_route(FOLDER / plan.file, TILES)[0] for plan in PLANS}


def flat_m(track: Track) -> np.ndarray:
    """Return positions on the plane that touches the ellipsoid in the route's middle, shape (n, 2) [m]."""
    points = earth_centred_m(track.lat_deg, track.lon_deg)
    middle = points.mean(axis=0)
    east = np.cross([0.0, 0.0, 1.0], middle)
    north = np.cross(middle, east)
    axes = np.column_stack([east / np.linalg.norm(east), north / np.linalg.norm(north)])
    return np.asarray((points - middle) @ axes)


@pytest.mark.parametrize(
    ("file", "length_km", "ascent_m"),
    [("loop-120.gpx", (117, 123), (850, 1100)), ("rolling-60.gpx", (58, 62), (300, 450)),
     ("long-200.gpx", (197, 203), (2100, 2400))],
)  # fmt: skip
def test_how_long_and_how_high(
    demo: dict[str, Track], file: str, length_km: tuple[float, float], ascent_m: tuple[float, float]
) -> None:
    track = demo[file]
    assert length_km[0] < track.distance_m[-1] / 1000 < length_km[1]
    even = np.interp(np.arange(0, track.distance_m[-1], 200.0), track.distance_m, track.elevation_m)
    assert ascent_m[0] < np.maximum(np.diff(even), 0).sum() < ascent_m[1]


@pytest.mark.parametrize("file", [plan.file for plan in PLANS])
def test_a_loop_that_does_not_cross_itself(demo: dict[str, Track], file: str) -> None:
    track = demo[file]
    closing, _ = geodesic_m(track.lat_deg[0], track.lon_deg[0], track.lat_deg[-1], track.lon_deg[-1])
    assert closing < 5.0
    assert LineString(flat_m(track)[:-1]).is_simple
    assert track.waypoints[0].name == track.waypoints[-1].name  # the same village


def test_points_are_close_enough_to_tell_bends(demo: dict[str, Track]) -> None:
    for track in demo.values():
        legs = np.diff(track.distance_m)
        assert legs.max() < 25.0
        assert 15.0 < np.median(legs) < 25.0


def test_roads_lie_on_the_ground(demo: dict[str, Track]) -> None:
    read = TileFolders(TILES).read
    for file in ("loop-120.gpx", "long-200.gpx"):
        ground, _ = heights_at(demo[file].lat_deg, demo[file].lon_deg, read)
        # the loop's hairpins are closer together than the tile's heights
        assert np.abs(ground - demo[file].elevation_m).max() < 6.0
        assert np.median(np.abs(ground - demo[file].elevation_m)) < 0.5


@pytest.mark.parametrize("file", [plan.file for plan in PLANS])
def test_gpxpy_sees_the_same_road(demo: dict[str, Track], file: str) -> None:
    theirs = gpxpy.parse((FOLDER / file).read_text(encoding="utf-8"))
    assert_array_equal([point.latitude for point in theirs.walk(only_points=True)], demo[file].lat_deg)
    # on a sphere: the ellipsoid's radii differ from its radius by up to 0.6 %
    assert_allclose(theirs.length_2d(), demo[file].distance_m[-1], rtol=0.006)
    assert theirs.tracks[0].name == demo[file].name
    assert {point.name for point in theirs.waypoints} == {point.name for point in demo[file].waypoints}


def test_where_the_heights_come_from(demo: dict[str, Track]) -> None:
    assert [demo[plan.file].elevation_source for plan in PLANS] == ["file", "tiles", "file"]
    assert "<ele>" not in (FOLDER / "rolling-60.gpx").read_text(encoding="utf-8")


def test_nobody_rides_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(MIRROR_SETTING, raising=False)
    assert tile_address("N45W007.hgt") is None  # no land: no tile is published


def test_the_hairpins_of_the_loop(demo: dict[str, Track]) -> None:
    track = demo["loop-120.gpx"]
    ahead = np.diff(flat_m(track), axis=0)
    turn = np.diff(np.unwrap(np.arctan2(ahead[:, 1], ahead[:, 0])))
    at = track.distance_m[1:-1]
    bends = [
        abs(turn[(at > place - 35) & (at < place + 35)].sum()) for place in np.arange(62_000, 65_500, 5.0)
    ]
    tight = np.degrees(bends) > 135
    assert np.count_nonzero(np.diff(tight.astype(int)) == 1) == 8


def test_waypoints_of_every_kind_a_plan_uses(demo: dict[str, Track]) -> None:
    kinds = {point.kind for track in demo.values() for point in track.waypoints}
    assert kinds >= {"refill", "feed", "no_stop", "summit", "place"}
    for track in demo.values():
        assert max(point.offset_m for point in track.waypoints) < 10.0
    refills = [p.distance_m for p in demo["long-200.gpx"].waypoints if p.kind in ("refill", "feed")]
    gaps_km = np.diff([0.0, *refills, 200_000.0]) / 1000
    assert gaps_km.max() < 50.0


def test_the_script_lays_the_same_road_again(demo: dict[str, Track]) -> None:
    lat, lon, heights = lay(LOOP, np.random.default_rng(SEED))
    chosen = pick(lat, lon)
    track = demo[LOOP.file]
    assert_allclose(track.lat_deg, lat[chosen], rtol=0, atol=1e-7)
    assert_allclose(track.lon_deg, lon[chosen], rtol=0, atol=1e-7)
    assert_allclose(track.elevation_m, heights[chosen], rtol=0, atol=0.051)
