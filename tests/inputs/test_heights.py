"""Heights of a whole route: from the file, from tiles, filled, levelled and bridged."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from pyproj import Geod

from terrain_fuel.errors import ElevationError
from terrain_fuel.inputs.route import read_route
from terrain_fuel.track import Track
from tests.inputs.made_files import (
    Point,
    gpx_text,
    northward,
    points_text,
    sloping_heights,
    track_text,
    write_text,
    write_tile,
)

WGS84 = Geod(ellps="WGS84")
STEP_M = 111.13  # a thousandth of a degree of latitude near 45 degrees [m]


@pytest.fixture(scope="module")
def tiles(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with one tile that is a plane: 100 m in the south-west, 1200 m a degree."""
    path = tmp_path_factory.mktemp("plane")
    write_tile(path, "N45E007", sloping_heights(), zipped=True)
    return path


def plane_m(track: Track) -> np.ndarray:
    """Return the plane's height under a track [m]."""
    return np.asarray(100.0 + 1200.0 * (track.lat_deg - 45.0 + track.lon_deg - 7.0))


def with_heights(points: Sequence[Point], heights: Mapping[int, float]) -> list[Point]:
    """Return points with heights at some indices."""
    return [(lat, lon, heights.get(i, height)) for i, (lat, lon, height) in enumerate(points)]


def test_the_file_speaks_first(tmp_path: Path, tiles: Path) -> None:
    path = write_text(tmp_path, track_text([(45.1, 7.5, 3.5), (45.2, 7.5, 4.5), (45.3, 7.5, 5.5)]))
    track, relief = read_route(path, tiles)
    assert_allclose(track.elevation_m, [3.5, 4.5, 5.5])
    assert (track.elevation_source, track.height_kind) == ("file", "unknown")
    assert relief is not None


@pytest.mark.parametrize("choice", ["auto", "tiles"])
def test_tiles_fill_a_file_without_heights(tmp_path: Path, tiles: Path, choice: str) -> None:
    path = write_text(tmp_path, track_text(northward(50)))
    track, _ = read_route(path, tiles, heights=choice)  # type: ignore[arg-type]
    assert_allclose(track.elevation_m, plane_m(track), atol=1e-6)
    assert (track.elevation_source, track.height_kind) == ("tiles", "surface_90m")
    assert not track.interpolated.any()


def test_finer_tiles_say_so(tmp_path: Path) -> None:
    write_tile(tmp_path / "tiles", "N45E007", np.full((3601, 3601), 77))
    track, _ = read_route(write_text(tmp_path, track_text(northward(5))), tmp_path / "tiles")
    assert track.height_kind == "surface_30m"


def test_the_coarser_of_two_tiles_says_what_smoothing_is_wanted(tmp_path: Path) -> None:
    write_tile(tmp_path / "tiles", "N45E007", np.full((1201, 1201), 77))
    write_tile(tmp_path / "tiles", "N46E007", np.full((3601, 3601), 78))
    path = write_text(tmp_path, track_text(northward(20, lat=45.99)))
    track, _ = read_route(path, tmp_path / "tiles")
    assert track.height_kind == "surface_90m"
    assert set(track.elevation_m) == {77.0, 78.0}


def test_tiles_when_asked(tmp_path: Path, tiles: Path) -> None:
    path = write_text(tmp_path, track_text([(45.1, 7.5, 3.5), (45.2, 7.5, 4.5)]))
    track, _ = read_route(path, tiles, heights="tiles")
    assert_allclose(track.elevation_m, plane_m(track), atol=1e-6)


def test_only_the_file_when_asked(tmp_path: Path, tiles: Path) -> None:
    points = with_heights(northward(60), {0: 10, 59: 20})
    with pytest.raises(ElevationError, match="58 points in a row"):
        read_route(write_text(tmp_path, track_text(points)), tiles, heights="file")


def test_a_file_of_zeros_has_no_heights_where_tiles_are(tmp_path: Path, tiles: Path) -> None:
    path = write_text(tmp_path, track_text([(lat, lon, 0) for lat, lon, _ in northward(30)]))
    assert read_route(path)[0].elevation_m.tolist() == [0.0] * 30  # the sea front, for all we know
    track, _ = read_route(path, tiles)
    assert track.elevation_source == "tiles"
    assert_allclose(track.elevation_m, plane_m(track), atol=1e-6)


def test_mixed_files_are_filled_without_a_step(tmp_path: Path, tiles: Path) -> None:
    points = northward(60)
    # the file's heights are 40 m above the tile's in the south, 48 m in the north
    known = {i: 100 + 1200 * (points[i][0] - 44.5) + 40 + 8 * i / 59 for i in [*range(20), *range(40, 60)]}
    track, _ = read_route(write_text(tmp_path, track_text(with_heights(points, known))), tiles)
    assert track.elevation_source == "file and tiles"
    assert track.height_kind == "surface_90m"
    assert not track.interpolated.any()
    assert_allclose(track.elevation_m - plane_m(track), 40 + 8 * np.arange(60) / 59, atol=0.01)


def test_a_filled_end_keeps_the_level_of_the_file(tmp_path: Path, tiles: Path) -> None:
    points = northward(60)
    known = {i: 100 + 1200 * (points[i][0] - 44.5) + 40 for i in range(20)}
    track, _ = read_route(write_text(tmp_path, track_text(with_heights(points, known))), tiles)
    assert_allclose(track.elevation_m - plane_m(track), 40.0, atol=1e-6)


@pytest.mark.parametrize(("missing", "fits"), [(17, True), (18, False)])
def test_two_kilometres_can_be_bridged(tmp_path: Path, missing: int, fits: bool) -> None:
    # 17 points missing leave 18 legs of 111.13 m: 2.000 km; they must be a hair under
    points = [(45.1 + i * 0.000999, 7.5, None) for i in range(60)]
    known = {i: 100.0 + i for i in range(60) if not 20 <= i < 20 + missing}
    path = write_text(tmp_path, track_text(with_heights(points, known)))
    if not fits:
        with pytest.raises(ElevationError) as caught:
            read_route(path)
        assert str(caught.value) == (
            "check.gpx: point 21 (2.2 km) has no elevation and no tile covers it; 18 points in a row (2.1 km)"
            " are missing, at most 2 km can be bridged; put the tile N45E007.hgt in a folder and name it"
            " with --elevation, let it be fetched with --online, or export the route with elevation"
        )
        return
    track, _ = read_route(path)
    assert_allclose(track.elevation_m, 100.0 + np.arange(60), atol=0.01)
    assert track.interpolated.tolist() == [20 <= i < 37 for i in range(60)]
    assert track.elevation_source == "file"


def test_a_bridge_is_straight_in_distance_not_in_points(tmp_path: Path) -> None:
    points: list[Point] = [(45.0, 7.0, 100), (45.001, 7.0, None), (45.009, 7.0, None), (45.01, 7.0, 200)]
    track, _ = read_route(write_text(tmp_path, track_text(points)))
    assert_allclose(track.elevation_m, [100, 110, 190, 200], atol=0.01)


def test_a_message_counts_points_as_the_file_does(tmp_path: Path) -> None:
    points = with_heights(northward(60), dict.fromkeys(range(20), 5))
    points = [points[0]] * 3 + points
    with pytest.raises(ElevationError, match=r"point 24 \(2\.2 km\)"):
        read_route(write_text(tmp_path, track_text(points)))


@pytest.mark.parametrize("end", ["start", "finish"])
def test_a_gap_of_a_kilometre_and_a_half_at_an_end_is_no_fault(tmp_path: Path, end: str) -> None:
    # 14 points are missing, 1.56 km; as many in the middle are bridged too
    known = range(14, 60) if end == "start" else range(46)
    points = with_heights(northward(60), {i: 50 + i for i in known})
    track, _ = read_route(write_text(tmp_path, track_text(points)))
    assert int(track.interpolated.sum()) == 14
    assert [note.code for note in track.notes] == ["heights_bridged"]


@pytest.mark.parametrize("end", ["start", "finish"])
def test_the_ends_take_the_nearest_height(tmp_path: Path, end: str) -> None:
    known = range(3, 10) if end == "start" else range(7)
    points = with_heights(northward(10), {i: 50 + i for i in known})
    track, _ = read_route(write_text(tmp_path, track_text(points)))
    missing = ~np.isin(np.arange(10), list(known))
    assert_allclose(track.elevation_m[missing], 53 if end == "start" else 56)
    assert track.interpolated.tolist() == missing.tolist()


def test_a_hole_in_the_tile_is_bridged_and_counted(tmp_path: Path) -> None:
    heights = sloping_heights()
    heights[1000:1010, :] = -32768  # latitudes 45.1592 to 45.1667: 0.83 km of road, and a cell each side
    write_tile(tmp_path / "tiles", "N45E007", heights)
    track, _ = read_route(write_text(tmp_path, track_text(northward(100))), tmp_path / "tiles")
    assert_allclose(track.elevation_m, plane_m(track), atol=0.01)
    void = (track.lat_deg > 45 + 190 / 1200) & (track.lat_deg < 45 + 201 / 1200)
    assert track.interpolated.tolist() == void.tolist()
    assert void.sum() == 9


def test_a_wide_hole_names_the_tile(tmp_path: Path) -> None:
    heights = sloping_heights()
    heights[900:1000, :] = -32768
    write_tile(tmp_path / "tiles", "N45E007", heights)
    with pytest.raises(ElevationError, match=r"N45E007\.hgt"):
        read_route(write_text(tmp_path, track_text(northward(200))), tmp_path / "tiles")


def test_the_message_names_the_tile_that_is_missing(tmp_path: Path, tiles: Path) -> None:
    path = write_text(tmp_path, track_text(northward(60, lat=45.98)))
    with pytest.raises(ElevationError, match=r"point 21 \(2\.2 km\) .* put the tile N46E007\.hgt in"):
        read_route(path, tiles)


def test_a_damaged_tile_stops_heights_but_not_relief(tmp_path: Path) -> None:
    (tmp_path / "tiles").mkdir()
    (tmp_path / "tiles" / "N45E007.hgt").write_bytes(b"torn")
    with pytest.raises(ElevationError, match="is damaged"):
        read_route(write_text(tmp_path, track_text(northward(5))), tmp_path / "tiles")
    points = [(lat, lon, 5) for lat, lon, _ in northward(5)]
    track, relief = read_route(write_text(tmp_path, track_text(points)), tmp_path / "tiles")
    assert track.elevation_source == "file"
    assert relief is None


@pytest.mark.source("Ka13", "cumulative length of the legs, as PROJ computes it")
def test_distance_is_geodesic_and_duplicates_are_dropped(tmp_path: Path) -> None:
    rng = np.random.default_rng(2)
    lat = (46.0 + np.cumsum(rng.normal(1e-4, 1e-4, 500))).round(7)
    lon = (8.0 + np.cumsum(rng.normal(1e-4, 1e-4, 500))).round(7)
    twice = np.sort(np.concatenate([np.arange(500), rng.integers(0, 500, 200)]))
    points = [(lat[i], lon[i], 5) for i in twice]
    track, _ = read_route(write_text(tmp_path, track_text(points)))
    _, _, legs = WGS84.inv(lon[:-1], lat[:-1], lon[1:], lat[1:])
    assert track.lat_deg.size == 500
    assert_allclose(track.distance_m, np.concatenate([[0.0], np.cumsum(legs)]), rtol=0, atol=1e-3)


def test_points_closer_than_a_millimetre_are_one(tmp_path: Path) -> None:
    points = [(45.0, 7.0, 1), (45.000000001, 7.0, 2), (45.0, 7.0, 3), (45.1, 7.0, 4)]
    track, _ = read_route(write_text(tmp_path, track_text(points)))
    assert_allclose(track.elevation_m, [1, 4])


def test_the_date_line_is_no_border(tmp_path: Path) -> None:
    write_tile(tmp_path / "tiles", "S17E179", np.full((1201, 1201), 5))
    write_tile(tmp_path / "tiles", "S17W180", np.full((1201, 1201), 9))
    lon = [179.99, 179.999, 180.0, -179.999, -179.99]
    path = write_text(tmp_path, track_text([(-16.5, x, None) for x in lon]))
    track, relief = read_route(path, tmp_path / "tiles")
    _, _, expected = WGS84.inv(179.99, -16.5, -179.99, -16.5)
    assert_allclose(track.distance_m[-1], expected, rtol=1e-6)
    assert_allclose(track.elevation_m[[0, 1, 3, 4]], [5, 5, 9, 9])
    assert relief is not None


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_over_a_pole(tmp_path: Path, side: float) -> None:
    points = [(side * lat, lon, 2800) for lat, lon in ((89.98, 10), (89.99, 10), (90, 10), (89.99, -170))]
    track, relief = read_route(write_text(tmp_path, track_text(points)), tmp_path)
    _, _, legs = WGS84.inv([10.0] * 3, [89.98, 89.99, 90.0], [10.0, 10.0, -170.0], [89.99, 90.0, 89.99])
    assert_allclose(np.diff(track.distance_m), legs, atol=1e-3)
    assert relief is None


def test_time_and_power_go_with_their_points(tmp_path: Path) -> None:
    points = "".join(
        f'<trkpt lat="{lat}" lon="7"><ele>1</ele><time>2024-06-01T08:00:{second:02d}Z</time>'
        f"<extensions><power>{100 + second}</power></extensions></trkpt>"
        for lat, second in ((45.0, 0), (45.0, 10), (45.1, 20), (45.2, 30))
    )
    path = write_text(tmp_path, gpx_text(f"<trk><trkseg>{points}</trkseg></trk>"))
    track, _ = read_route(path)
    assert track.time_s is not None
    assert track.power_w is not None
    assert track.time_s.tolist() == [0.0, 20.0, 30.0]
    assert track.power_w.tolist() == [100.0, 120.0, 130.0]


def test_segments_are_joined(tmp_path: Path) -> None:
    points = [(lat, lon, 5) for lat, lon, _ in northward(20)]
    whole = read_route(write_text(tmp_path, track_text(points)))[0]
    parts = "".join(f"<trk><trkseg>{points_text(points[i : i + 5])}</trkseg></trk>" for i in range(0, 20, 5))
    joined = read_route(write_text(tmp_path, gpx_text(parts)), track="all")[0]
    assert_allclose(joined.distance_m, whole.distance_m)
