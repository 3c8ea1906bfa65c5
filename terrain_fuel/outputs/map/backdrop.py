"""What lies behind the road on the map: a shaded picture, contours and slope strokes, or nothing."""

import math
from base64 import b64encode
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.drawing.profile_frame import nice_step
from terrain_fuel.outputs.drawing.svg import path_data
from terrain_fuel.outputs.map.contours import contour_lines
from terrain_fuel.outputs.map.mercator import mercator_y
from terrain_fuel.outputs.map.png import shading_png
from terrain_fuel.outputs.map.relief import MapGrid, map_grid, shade
from terrain_fuel.outputs.map.slope_strokes import slope_strokes
from terrain_fuel.outputs.units import Units
from terrain_fuel.track import Relief

MOST_CONTOURS = 16
INDEX_EVERY = 5
"""Every fifth contour is heavier, the custom of topographic maps: common practice (no source)."""

SHORTEST_CELLS = 12
SIMPLIFY_CELLS = 0.15
"""Contours shorter than the one, and bends smaller than the other, are not seen behind a whole route."""


@dataclass(frozen=True, slots=True)
class Backdrop:
    """A picture and lines that share one frame.

    ``south_deg`` … ``east_deg`` bound both; the paths count in cells of a grid of ``columns`` by
    ``rows``. ``contour_step`` is between neighbouring contours, in the rider's units of height. ``around``
    is the land that the sheet lies in, where it is known.
    """

    image_url: str
    columns: int
    rows: int
    south_deg: float
    north_deg: float
    west_deg: float
    east_deg: float
    contours: str
    index_contours: str
    strokes: str
    contour_step: int
    around: "Shading | None" = None


@dataclass(frozen=True, slots=True)
class Shading:
    """A picture of shading and its south, west, north and east [degrees]."""

    image_url: str
    frame_deg: tuple[float, float, float, float]


@lru_cache(maxsize=2)
def draw_backdrop(relief: Relief, units: Units) -> Backdrop:
    """Return a relief as picture and lines, contours at even steps of the rider's units of height.

    The last two are kept: a road whose plan changes keeps its ground.
    """
    grid = map_grid(relief)
    rows, columns = grid.elevation_m.shape
    step = nice_step(
        float(np.nanmax(grid.elevation_m) - np.nanmin(grid.elevation_m)) / units.height_m, MOST_CONTOURS
    )
    plain, index = _contours(grid, step, units)
    strokes = slope_strokes(grid, (*plain, *index), step * units.height_m)
    return Backdrop(
        _picture(shade(grid)), columns, rows,
        grid.south_deg, grid.north_deg, grid.west_deg, grid.east_deg,
        _path(plain), _path(index), path_data(strokes), step,
        None if relief.around is None else _around(map_grid(relief.around), grid),
    )  # fmt: skip


def _picture(light: FloatArray) -> str:
    """Return shading as an address that holds the picture."""
    return f"data:image/png;base64,{b64encode(shading_png(light)).decode('ascii')}"


def _around(land: MapGrid, sheet: MapGrid) -> Shading:
    """Return the shading of the land around a sheet, clear where the sheet lies."""
    light = np.array(shade(land))
    rows, columns = light.shape
    north, south = mercator_y(np.array([land.north_deg, land.south_deg]))
    top, foot = (
        (north - mercator_y(np.array([sheet.north_deg, sheet.south_deg]))) / (north - south) * (rows - 1)
    )
    left, right = (
        (each - land.west_deg) / (land.east_deg - land.west_deg) * (columns - 1)
        for each in (sheet.west_deg, sheet.east_deg)
    )
    light[math.ceil(top) : math.floor(foot) + 1, math.ceil(left) : math.floor(right) + 1] = np.nan
    return Shading(_picture(light), (land.south_deg, land.west_deg, land.north_deg, land.east_deg))


def _contours(
    grid: MapGrid, step: int, units: Units
) -> tuple[tuple[FloatArray, ...], tuple[FloatArray, ...]]:
    low, high = np.nanmin(grid.elevation_m), np.nanmax(grid.elevation_m)
    counts = range(int(low / units.height_m) // step + 1, int(high / units.height_m) // step + 1)
    plain: list[FloatArray] = []
    index: list[FloatArray] = []
    levels = contour_lines(grid.elevation_m, np.array([count * step * units.height_m for count in counts]))
    for count, lines in zip(counts, levels, strict=True):
        drawn = [line for line in lines if len(line) > SHORTEST_CELLS]
        (index if count % INDEX_EVERY == 0 else plain).extend(map(_simplified, drawn))
    return tuple(plain), tuple(index)


def _simplified(line: FloatArray) -> FloatArray:
    thin = shapely.simplify(shapely.linestrings(line), SIMPLIFY_CELLS, preserve_topology=False)
    return np.asarray(shapely.get_coordinates(thin))


def _path(lines: tuple[FloatArray, ...]) -> str:
    return path_data(line.tolist() for line in lines)
