"""Elevation tiles: names, files sound and damaged, heights against real ground and reference libraries."""

import zipfile
from pathlib import Path

import matplotlib.cbook
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from numpy.typing import NDArray
from scipy.interpolate import RegularGridInterpolator
from srtm.data import GeoElevationData
from srtm.utils import FileHandler

from terrain_fuel.errors import ElevationError
from terrain_fuel.inputs.elevation import heights_at, relief_around
from terrain_fuel.inputs.tiles import TileFolders, tile_corners, tile_name
from tests.inputs.made_files import sloping_heights, write_tile

Heights = NDArray[np.int16]
SAMPLE_ROW, SAMPLE_COLUMN = 321, 704  # north edge 36.7325 and west edge -84.41333 on the grid of N36W085


@pytest.fixture(scope="module")
def ground() -> Heights:
    """Return real ground: 344 x 403 heights that lie on the grid of a 3-arc-second tile."""
    sample = np.load(str(matplotlib.cbook.get_sample_data("jacksboro_fault_dem.npz", asfileobj=False)))
    # the sample's borders are cell edges; heights lie in the middle, half a cell inside
    half = sample["dx"] / 2
    north = (37.0 - (sample["ymin"] - half)) * 1200
    west = (sample["xmin"] + half + 85.0) * 1200
    assert_allclose((north, west), (SAMPLE_ROW, SAMPLE_COLUMN), atol=1e-6)
    return np.asarray(sample["elevation"], dtype=np.int16)


@pytest.fixture(scope="module")
def folder(ground: Heights, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder whose one tile holds the real ground and is void elsewhere."""
    heights = np.full((1201, 1201), -32768, dtype=np.int16)
    rows, columns = ground.shape
    heights[SAMPLE_ROW : SAMPLE_ROW + rows, SAMPLE_COLUMN : SAMPLE_COLUMN + columns] = ground
    path = tmp_path_factory.mktemp("tiles")
    write_tile(path, "N36W085", heights)
    return path


def axes(ground: Heights) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the latitudes (falling) and longitudes (rising) of the sample's heights [degrees]."""
    rows, columns = ground.shape
    lat = 37.0 - (SAMPLE_ROW + np.arange(rows)) / 1200
    return lat, -85.0 + (SAMPLE_COLUMN + np.arange(columns)) / 1200


@pytest.mark.source("MPLDEM", "every height of the sample, at its own place")
def test_real_ground_comes_back_height_for_height(ground: Heights, folder: Path) -> None:
    lat, lon = (mesh.ravel() for mesh in np.meshgrid(*axes(ground), indexing="ij"))
    heights, side = heights_at(lat, lon, TileFolders(folder).read)
    assert side == 1201
    assert_array_equal(heights.reshape(ground.shape), ground)


@pytest.mark.source("MPLDEM", "between its heights, as scipy's grid interpolation gives them")
def test_between_heights_as_scipy(ground: Heights, folder: Path) -> None:
    lat_axis, lon_axis = axes(ground)
    rng = np.random.default_rng(5)
    lat = rng.uniform(lat_axis[-1], lat_axis[0], 20_000)
    lon = rng.uniform(lon_axis[0], lon_axis[-1], 20_000)
    reference = RegularGridInterpolator((lat_axis[::-1], lon_axis), ground[::-1].astype(float))
    heights, _ = heights_at(lat, lon, TileFolders(folder).read)
    assert_allclose(heights, reference(np.column_stack([lat, lon])), rtol=0, atol=1e-6)


@pytest.mark.source("HGT", "heights at grid corners, as SRTM.py decodes them")
@pytest.mark.parametrize("zipped", [False, True])
@pytest.mark.parametrize("side", [1201, 3601])
def test_bit_equal_to_srtm_at_corners(tmp_path: Path, side: int, zipped: bool) -> None:
    rng = np.random.default_rng(11)
    heights = rng.integers(-400, 8800, (side, side))
    write_tile(tmp_path, "S07E110", heights, zipped)
    row, column = rng.integers(1, side - 1, (2, 300))
    # their look-up rounds down: a hair inside the cell names the corner itself
    lat, lon = -6.0 - row / (side - 1), 110.0 + column / (side - 1)
    theirs = GeoElevationData({"S07E110.hgt": ""}, {}, FileHandler(str(tmp_path)))
    expected = [theirs.get_elevation(a - 1e-9, b + 1e-9) for a, b in zip(lat, lon, strict=True)]
    ours, found = heights_at(lat, lon, TileFolders(tmp_path).read)
    assert found == side
    assert_array_equal(ours, expected)
    assert_array_equal(ours, heights[row, column])


@pytest.mark.source("HGT", "a file is named after its south-west corner")
@pytest.mark.parametrize(
    ("lat", "lon", "name"),
    [
        (46.5, 9.5, "N46E009.hgt"),
        (46.0, 9.0, "N46E009.hgt"),
        (-0.1, -0.1, "S01W001.hgt"),
        (0.0, 0.0, "N00E000.hgt"),
        (-33.9, 18.4, "S34E018.hgt"),
        (-17.0, 180.0, "S17W180.hgt"),
        (-17.5, -180.0, "S18W180.hgt"),
        (-17.5, 179.99, "S18E179.hgt"),
        (90.0, 12.3, "N89E012.hgt"),
        (-90.0, 12.3, "S90E012.hgt"),
    ],
)
def test_which_tile_holds_a_place(lat: float, lon: float, name: str) -> None:
    (corner,) = tile_corners(np.array([lat]), np.array([lon]))
    assert tile_name(*corner.tolist()) == name


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=50))
@settings(deadline=None, derandomize=True, max_examples=50)
def test_a_plane_is_met_everywhere(plane: Path, places: list[tuple[float, float]]) -> None:
    north, east = np.array(places).T
    heights, _ = heights_at(45.0 + north * 0.999999, -7.0 + east * 0.999999, TileFolders(plane).read)
    assert_allclose(heights, 100.0 + 1200 * 0.999999 * (north + east), rtol=0, atol=1e-5)


@pytest.fixture(scope="module")
def plane(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with one tile that is a plane."""
    path = tmp_path_factory.mktemp("plane")
    write_tile(path, "N45W007", sloping_heights(), zipped=True)
    return path


def test_edges_belong_to_the_tile_that_begins_there(plane: Path) -> None:
    read = TileFolders(plane).read
    lat, lon = np.array([45.0, 45.0, 45.99999999999]), np.array([-7.0, -6.00000000001, -7.0])
    assert_allclose(heights_at(lat, lon, read)[0], [100.0, 1300.0, 1300.0], atol=1e-6)
    assert np.isnan(heights_at(np.array([46.0]), np.array([-7.0]), read)[0]).all()


def test_a_void_harms_only_what_it_touches(tmp_path: Path) -> None:
    heights = sloping_heights()
    heights[600, 600] = -32768
    write_tile(tmp_path, "N45W007", heights)
    lat = 45.5 + np.array([0.0, 0.5, 1.0, 1.0, 0.0]) / 1200
    lon = -6.5 + np.array([0.0, 0.5, 0.0, 0.5, 1.0]) / 1200
    found, _ = heights_at(lat, lon, TileFolders(tmp_path).read)
    assert_allclose(found, [np.nan, np.nan, 1301.0, 1301.5, 1301.0])


@pytest.mark.parametrize("wrong", [-32767, -501, 9001, 32767])
def test_impossible_heights_are_voids(tmp_path: Path, wrong: int) -> None:
    heights = sloping_heights()
    heights[600, 600] = wrong
    write_tile(tmp_path, "N45W007", heights)
    assert np.isnan(heights_at(np.array([45.5]), np.array([-6.5]), TileFolders(tmp_path).read)[0]).all()


@pytest.mark.parametrize(
    "file",
    ["n45w007.hgt", "N45W007.HGT", "N45W007.SRTMGL3.hgt", "N45W007.SRTMGL1.hgt.zip", "n45w007.hgt.zip"],
)
def test_names_under_which_tiles_are_handed_on(tmp_path: Path, file: str) -> None:
    made = write_tile(tmp_path / "made", "N45W007", sloping_heights(), file.endswith("zip"), "any name.hgt")
    made.rename(tmp_path / file)
    tile = TileFolders(tmp_path).read(45, -7)
    assert tile is not None
    assert tile.heights_m[0, 0] == 1300


def test_the_plainest_of_several_names_wins(tmp_path: Path) -> None:
    for name, height in (("N45W007.SRTMGL3", 1), ("N45W007", 2)):
        write_tile(tmp_path, name, np.full((1201, 1201), height))
    write_tile(tmp_path, "N45W007", np.full((1201, 1201), 3), zipped=True)
    tile = TileFolders(tmp_path).read(45, -7)
    assert tile is not None
    assert tile.heights_m[0, 0] == 2


def test_the_first_folder_wins(tmp_path: Path) -> None:
    write_tile(tmp_path / "mine", "N45W007", np.full((1201, 1201), 7))
    write_tile(tmp_path / "cache", "N45W007", np.full((1201, 1201), 8))
    write_tile(tmp_path / "cache", "N45W008", np.full((1201, 1201), 9), zipped=True)
    folders = TileFolders(tmp_path / "mine", tmp_path / "cache")
    first, second = folders.read(45, -7), folders.read(45, -8)
    assert first is not None
    assert second is not None
    assert (first.heights_m[0, 0], second.heights_m[0, 0]) == (7, 9)
    assert folders.read(45, -9) is None


def test_many_tiles_are_read_and_let_go(tmp_path: Path) -> None:
    for i in range(7):
        write_tile(tmp_path, f"N45E00{i}", np.full((1201, 1201), i))
    folders = TileFolders(tmp_path)
    for i in [*range(7), *range(7)]:
        tile = folders.read(45, i)
        assert tile is not None
        assert tile.heights_m[5, 5] == i
    assert len(folders._kept) == 4


def zip_claiming(path: Path, claimed: int) -> None:
    """Write an archive whose one member claims another size than it has."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("N45W007.hgt", b"\0" * 1000)
    data = bytearray(path.read_bytes())
    where = data.rindex(b"PK\x01\x02") + 24
    data[where : where + 4] = claimed.to_bytes(4, "little")
    path.write_bytes(bytes(data))


@pytest.mark.parametrize(
    "fault", ["short", "long", "empty", "web page", "no zip", "empty zip", "torn zip", "claims"]
)
def test_damaged_tiles_are_refused(tmp_path: Path, fault: str) -> None:
    path = tmp_path / "N45W007.hgt.zip"
    if fault in ("short", "long", "empty", "web page"):
        path = tmp_path / "N45W007.hgt"
        sizes = {"short": 2_884_800, "long": 2_884_804, "empty": 0}
        path.write_bytes(b"<html>404</html>" if fault == "web page" else b"\0" * sizes[fault])
    elif fault == "no zip":
        path.write_bytes(b"PK\x03\x04 and no more")
    elif fault == "empty zip":
        zipfile.ZipFile(path, "w").close()
    elif fault == "torn zip":
        write_tile(tmp_path, "N45W007", np.random.default_rng(1).integers(0, 99, (1201, 1201)), zipped=True)
        data = bytearray(path.read_bytes())
        data[1000:2000] = bytes(1000)
        path.write_bytes(bytes(data))
    else:
        zip_claiming(path, 2_884_802)
    with pytest.raises(
        ElevationError, match=rf"^{path.name}: the tile N45W007.hgt is damaged \(.*\); .*; delete"
    ):
        TileFolders(tmp_path).read(45, -7)


def test_an_archive_that_claims_too_much_is_not_unpacked(tmp_path: Path) -> None:
    zip_claiming(tmp_path / "N45W007.hgt.zip", 2_000_000_000)
    with pytest.raises(ElevationError, match="it holds 2000000000 bytes of heights"):
        TileFolders(tmp_path).read(45, -7)


def test_a_missing_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(
        ElevationError, match=r"nowhere: there is no such elevation folder; .*; check its name"
    ):
        TileFolders(tmp_path / "nowhere")


def test_a_folder_that_may_not_be_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(folder: Path) -> None:
        raise PermissionError(13, "Permission denied", str(folder))

    monkeypatch.setattr(Path, "iterdir", refuse)  # the superuser of a build machine may open every folder
    with pytest.raises(ElevationError, match=r"cannot be listed \(Permission denied\); check that"):
        TileFolders(tmp_path)


def test_nothing_is_printed(plane: Path, capfd: pytest.CaptureFixture[str]) -> None:
    TileFolders(plane).read(45, -7)
    assert capfd.readouterr() == ("", "")


def test_relief_lies_on_the_grid_and_reaches_beyond_the_route(plane: Path) -> None:
    lat, lon = np.array([45.40, 45.45, 45.43]), np.array([-6.60, -6.55, -6.50])
    relief = relief_around(lat, lon, TileFolders(plane).read, margin_m=3000.0)
    assert relief is not None
    assert_allclose(relief.lat_deg * 1200, np.round(relief.lat_deg * 1200), atol=1e-9)
    assert_allclose(np.diff(relief.lat_deg), 1 / 1200)
    assert relief.lat_deg[0] < 45.40 - 0.0265
    assert relief.lat_deg[-1] > 45.45 + 0.0265
    assert relief.lon_deg[0] < -6.60 - 0.037  # 3 km are more degrees of longitude up here
    assert_allclose(
        relief.elevation_m,
        100 + 1200 * ((relief.lat_deg[:, None] - 45.0) + (relief.lon_deg[None, :] + 7.0)),
        atol=1e-5,
    )


def test_the_land_around_fills_a_wide_and_a_tall_map_as_far_as_tiles_reach(plane: Path) -> None:
    lat, lon = np.array([45.40, 45.45]), np.array([-6.60, -6.50])
    relief = relief_around(lat, lon, TileFolders(plane).read, margin_m=3000.0)
    assert relief is not None
    assert relief.around is not None
    land = relief.around
    shrink = np.cos(np.radians(45.5))  # a degree of longitude there is so much of one of latitude
    tall, wide = np.ptp(relief.lat_deg), np.ptp(relief.lon_deg) * shrink
    assert np.ptp(land.lon_deg) * shrink >= 2.7 * tall
    assert np.ptp(land.lat_deg) >= 1.7 * wide
    assert_allclose(
        land.elevation_m,
        100 + 1200 * ((land.lat_deg[:, None] - 45.0) + (land.lon_deg[None, :] + 7.0)),
        atol=1e-5,
    )
    edge = relief_around(lat, lon - 0.39, TileFolders(plane).read, margin_m=3000.0)
    assert edge is not None
    assert edge.around is not None
    assert edge.around.lon_deg[0] == pytest.approx(-7.0, abs=0.003)  # no tile beyond


def test_a_wide_relief_is_thinned(plane: Path) -> None:
    lat, lon = np.array([45.1, 45.9]), np.array([-6.9, -6.1])
    relief = relief_around(lat, lon, TileFolders(plane).read)
    assert relief is not None
    assert relief.elevation_m.shape == (relief.lat_deg.size, relief.lon_deg.size)
    assert 300 < max(relief.elevation_m.shape) <= 400


def test_relief_over_a_border_has_holes_where_no_tile_is(plane: Path) -> None:
    lat, lon = np.array([45.5, 45.51]), np.array([-6.01, -6.001])
    relief = relief_around(lat, lon, TileFolders(plane).read)
    assert relief is not None
    east = relief.lon_deg >= -6.0
    assert east.any()
    assert np.isnan(relief.elevation_m[:, east]).all()
    assert np.isfinite(relief.elevation_m[:, ~east]).all()


def test_relief_across_the_date_line_goes_on(tmp_path: Path) -> None:
    write_tile(tmp_path, "S17E179", np.full((1201, 1201), 5))
    write_tile(tmp_path, "S17W180", np.full((1201, 1201), 6))
    lat, lon = np.full(3, -16.5), np.array([179.98, -180.0, -179.98])
    relief = relief_around(lat, lon, TileFolders(tmp_path).read)
    assert relief is not None
    assert relief.lon_deg[0] < 179.98
    assert relief.lon_deg[-1] > 180.02
    assert set(np.unique(relief.elevation_m[:, relief.lon_deg < 180.0])) == {5.0}
    assert set(np.unique(relief.elevation_m[:, relief.lon_deg >= 180.0])) == {6.0}


@pytest.mark.parametrize("lat", [10.0, 86.0])
def test_no_relief_without_tiles_or_near_a_pole(plane: Path, lat: float) -> None:
    assert relief_around(np.array([lat, lat + 0.01]), np.array([0.0, 0.01]), TileFolders(plane).read) is None
