"""Relief behind the road against reference libraries: shading, contours, projection, the picture."""

import io
from base64 import b64decode
from pathlib import Path

import matplotlib
import numpy as np
import pytest
from matplotlib.colors import LightSource
from matplotlib.image import imread
from numpy.testing import assert_allclose, assert_array_equal
from pyproj import Transformer
from scipy.ndimage import map_coordinates

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.map.backdrop import draw_backdrop
from terrain_fuel.outputs.map.contours import contour_lines
from terrain_fuel.outputs.map.mercator import mercator_lat_deg, mercator_y
from terrain_fuel.outputs.map.png import LEVELS, shading_png
from terrain_fuel.outputs.map.relief import MapGrid, map_grid, shade, slopes
from terrain_fuel.outputs.map.slope_strokes import slope_strokes
from terrain_fuel.outputs.units import KILOMETRES, MILES
from terrain_fuel.track import Relief


def real_heights() -> FloatArray:
    """Return a real elevation model of about 90 m cells, north first [m]."""
    path = Path(matplotlib.get_data_path(), "sample_data", "jacksboro_fault_dem.npz")
    with np.load(path) as held:
        return np.asarray(held["elevation"], dtype=np.float64)


def grid_of(heights: FloatArray, cell_m: float = 90.0) -> MapGrid:
    return MapGrid(heights, np.full(heights.shape[0], cell_m), 36.2, 36.6, -84.4, -84.0)


@pytest.mark.source("MPLDEM", "whole grid, against matplotlib's LightSource")
def test_shading_is_that_of_a_reference_library() -> None:
    heights = real_heights()
    ours = shade(grid_of(heights), exaggeration=1.2)
    theirs = LightSource(azdeg=315, altdeg=45).hillshade(heights, vert_exag=1.2, dx=90.0, dy=90.0)
    # theirs is stretched to 0..1; undo that with the ends of ours
    stretched = (ours - ours.min()) / (ours.max() - ours.min())
    assert_allclose(stretched, theirs, atol=2e-3)


@pytest.mark.source("MPLDEM", "six levels of its north-west corner")
def test_contours_cross_every_side_that_climbs_through_their_height_once() -> None:
    heights = real_heights()[:180, :200]
    # heights are whole metres, so no level runs through a grid point
    levels = np.rint(np.quantile(heights, np.linspace(0.05, 0.95, 6))) + 0.37
    for level, lines in zip(levels.tolist(), contour_lines(heights, levels), strict=True):
        crossings = np.concatenate([line[:-1] if (line[0] == line[-1]).all() else line for line in lines])
        column, row = np.array(crossings).T
        assert_allclose(map_coordinates(heights, [row, column], order=1, mode="nearest"), level, atol=1e-6)
        above = heights > level
        sides = np.count_nonzero(np.diff(above, axis=0)) + np.count_nonzero(np.diff(above, axis=1))
        assert len(np.unique(np.round(crossings, 9), axis=0)) == len(crossings) == sides


def test_contours_of_a_cone_are_circles_and_close() -> None:
    y, x = np.mgrid[-40:41, -40:41].astype(float)
    ((line,),) = contour_lines(100.0 - np.hypot(x, y), np.array([75.0]))
    assert (line[0] == line[-1]).all()
    radius = np.hypot(*(np.array(line) - 40.0).T)
    # linear interpolation on a cone of unit cells is off by at most 1/(8 r)
    assert_allclose(radius, 25.0, atol=1 / (8 * 25.0) + 1e-9)


def test_no_contour_crosses_a_void_or_a_plain() -> None:
    heights = np.full((20, 20), 5.0)
    assert contour_lines(heights, np.array([7.0])) == ((),)
    heights = np.tile(np.arange(20.0), (20, 1))
    heights[8:12, :] = np.nan
    (lines,) = contour_lines(heights, np.array([9.5]))
    assert len(lines) == 2
    for line in lines:
        rows = np.array(line)[:, 1]
        assert not np.any((rows > 7) & (rows < 12))


@pytest.mark.parametrize("lat_deg", [-80.0, -33.3, 0.0, 46.5, 71.0])
def test_projection_is_web_mercator(lat_deg: float) -> None:
    to_map = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    _, northing = to_map.transform(0.0, lat_deg)
    # EPSG:3857 uses the equator's radius of WGS 84, 6378137 m
    assert_allclose(mercator_y(lat_deg) * 6378137.0, northing, atol=1e-6 * 6378137.0)
    assert_allclose(mercator_lat_deg(mercator_y(lat_deg)), lat_deg, atol=1e-9)


def test_heights_lie_on_the_map_where_they_lie_on_the_ground() -> None:
    lat, lon = np.linspace(59.0, 61.0, 201), np.linspace(10.0, 12.0, 201)
    # a plane in latitude and longitude: bilinear reading must give it back exactly
    grid = map_grid(Relief(lat, lon, 300.0 * lat[:, None] + 200.0 * lon[None, :]))
    rows, columns = grid.elevation_m.shape
    at = mercator_lat_deg(np.linspace(mercator_y(61.0), mercator_y(59.0), rows))
    expected = 300.0 * at[:, None] + 200.0 * np.linspace(10.0, 12.0, columns)[None, :]
    assert_allclose(grid.elevation_m, expected, rtol=1e-9)
    assert rows > 1.8 * columns  # at 60 degrees a degree of longitude is half as long
    east, north = slopes(grid)
    # 200 m a degree of longitude at 60 degrees (55.6 km), 300 m a degree of latitude (111.2 km)
    assert_allclose(east[rows // 2, 5:-5], 200.0 / 55_600.0, rtol=0.01)
    assert_allclose(north[rows // 2, 5:-5], 300.0 / 111_195.0, rtol=0.01)


def test_picture_decodes_to_the_shading() -> None:
    light = np.linspace(-1.0, 1.0, 63).reshape(7, 9)
    light[3, 4] = np.nan
    png = shading_png(light, most_opaque=0.5)
    pixels = imread(io.BytesIO(png), format="png")
    assert pixels.shape == (7, 9, 4)
    steps = np.rint(np.nan_to_num(light) * LEVELS)
    assert_allclose(pixels[..., 3], 0.5 * np.abs(steps) / LEVELS, atol=0.5 / 255 + 1e-6)
    assert np.all(pixels[steps < 0][:, 0] < 0.5)
    assert np.all(pixels[steps > 0][:, 0] > 0.9)
    assert png == shading_png(light, most_opaque=0.5)


def test_slope_strokes_run_downhill_and_end_before_the_next_contour() -> None:
    heights = real_heights()[:150, :150]
    grid = grid_of(heights)
    step = 50.0
    levels = np.arange(np.ceil(heights.min() / step) * step, heights.max(), step)
    contours = tuple(line for lines in contour_lines(heights, levels) for line in lines)
    strokes = slope_strokes(grid, contours, step)
    assert len(strokes) > 500
    ends = np.array(strokes)
    inside = np.all((ends > 0) & (ends < 149), axis=(1, 2))
    column, row = ends[inside][..., 0], ends[inside][..., 1]
    start, end = map_coordinates(heights, [row.T, column.T], order=1)
    # a stroke is straight, so in a narrow gully its end may climb the other side
    assert np.mean(start > end) > 0.95
    assert np.quantile(start - end, 0.99) < 1.5 * step


def test_backdrop_is_the_same_each_time_and_knows_its_step() -> None:
    heights = real_heights()
    rows, columns = heights.shape
    relief = Relief(np.linspace(36.2, 36.5, rows), np.linspace(-84.4, -84.0, columns), heights[::-1])
    one, other = draw_backdrop(relief, KILOMETRES), draw_backdrop(relief, KILOMETRES)
    assert one == other
    span = heights.max() - heights.min()
    assert span / 16 <= one.contour_step <= span / 4
    assert draw_backdrop(relief, MILES).contour_step % 10 == 0


def test_a_relief_with_voids_is_drawn_around_them() -> None:
    heights = real_heights()[:100, :100].copy()
    heights[40:60, 40:60] = np.nan
    relief = Relief(np.linspace(36.2, 36.3, 100), np.linspace(-84.4, -84.3, 100), heights)
    drawn = draw_backdrop(relief, KILOMETRES)
    assert drawn.contours
    assert "nan" not in drawn.contours + drawn.index_contours + drawn.strokes
    light = shade(map_grid(relief))
    rows, columns = (int(0.5 * size) for size in light.shape)
    assert_array_equal(np.isnan(light[rows - 3 : rows + 3, columns - 3 : columns + 3]), True)


def test_the_land_around_is_clear_where_the_sheet_lies_and_shaded_beside_it() -> None:
    heights = real_heights()[:300:3, :400:4][::-1]
    lat, lon = np.linspace(36.2, 36.5, 100), np.linspace(-84.4, -84.0, 100)
    sheet = Relief(lat[40:60], lon[30:70], heights[40:60, 30:70], Relief(lat, lon, heights))
    around = draw_backdrop(sheet, KILOMETRES).around
    assert around is not None
    assert around.frame_deg == pytest.approx((36.2, -84.4, 36.5, -84.0))
    ink = imread(io.BytesIO(b64decode(around.image_url.partition(",")[2])))[..., 3] > 0
    rows, columns = ink.shape
    north, south = rows * 0.40, rows * 0.60
    inside = ink[int(north) + 2 : int(south) - 2, int(0.3 * columns) + 2 : int(0.7 * columns) - 2]
    assert not inside.any()
    assert ink[:, : int(0.28 * columns)].mean() > 0.7
