"""The forms in which a road's heights come to a user: what went wrong with them, and how they are written.

A form says where points stand, which errors the heights have and how they are rounded. `as_file` writes a
road in a form as GPX text and reads it back by the door that every route enters by: nothing but the text
passes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.signal import lfilter

from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.route import read_route
from tests.road_building import Road, Survey, make_track, write_gpx

ErrorOf = Callable[[FloatArray, np.random.Generator], FloatArray]
"""Errors [m] at places along the road [m]."""


@dataclass(frozen=True, slots=True)
class FileForm:
    """How a file holds the heights of a road.

    Parameters
    ----------
    spacing_m : between points [m]
    error : errors of the heights at the points, or at the cells
    cell_m : heights are those of cells so long, 0 for the road's own [m]
    nearest : heights are those of the nearest cell, else of a line between two
    rounded_m : heights are multiples of this [m]
    jitter_m : standard deviation of positions north and east [m]
    speed_m_s : points have times, 0 for none [m/s]
    """

    spacing_m: float = 10.0
    error: ErrorOf | None = None
    cell_m: float = 0.0
    nearest: bool = False
    rounded_m: float = 0.01
    jitter_m: float = 0.0
    speed_m_s: float = 0.0


def white(sd_m: float) -> ErrorOf:
    """Return errors that know nothing of each other."""
    return lambda at_m, rng: rng.normal(0.0, sd_m, at_m.size)


def exponential(sd_m: float, reach_m: float) -> ErrorOf:
    """Return errors whose correlation fades as exp(-distance / reach)."""

    def errors(at_m: FloatArray, rng: np.random.Generator) -> FloatArray:
        keep = np.exp(-1.0 / reach_m)
        drawn = rng.normal(0.0, sd_m * np.sqrt(1.0 - keep**2), int(at_m[-1]) + 2)
        drawn[0] = rng.normal(0.0, sd_m)
        return np.asarray(np.interp(at_m, np.arange(drawn.size), lfilter([1.0], [1.0, -keep], drawn)))

    return errors


def gaussian(sd_m: float, reach_m: float) -> ErrorOf:
    """Return errors whose correlation fades as exp(-(distance / reach)^2)."""

    def errors(at_m: FloatArray, rng: np.random.Generator) -> FloatArray:
        drawn = gaussian_filter1d(rng.normal(size=int(at_m[-1]) + 2), reach_m / 2.0)
        # a Gaussian of standard deviation s leaves white noise a variance of 1 / (2 sqrt(pi) s)
        scale = sd_m * np.sqrt(np.sqrt(np.pi) * reach_m)
        return np.asarray(np.interp(at_m, np.arange(drawn.size), scale * drawn))

    return errors


def beside_the_road(cell_m: float) -> ErrorOf:
    """Return errors of cells whose middle lies beside a road on a hillside.

    The hillside leans by 10 % (one standard deviation), which changes over 500 m; the middle of a cell
    lies up to half a cell to either side.
    """

    def errors(at_m: FloatArray, rng: np.random.Generator) -> FloatArray:
        lean = gaussian(0.10, 500.0)(at_m, rng)
        return np.asarray(lean * rng.uniform(-cell_m / 2, cell_m / 2, at_m.size))

    return errors


def barometric(at_m: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return errors of a barometer: the air of the day, the warmth of the device, its own noise."""
    waves = ((5.0, rng.uniform(60e3, 80e3)), (0.5, rng.uniform(6e3, 8e3)))
    drift = sum(size * np.sin(2 * np.pi * (at_m / length + rng.uniform())) for size, length in waves)
    return np.asarray(drift + rng.normal(0.0, 0.3, at_m.size))


SPECTRA = {
    "clean": FileForm(),
    "clean, whole metres": FileForm(rounded_m=1.0),
    "white 3 m at 30 m knots": FileForm(error=white(3.0), cell_m=30.0),
    "white 3 m at 30 m knots, whole metres": FileForm(error=white(3.0), cell_m=30.0, rounded_m=1.0),
    "white 3 m at 90 m knots": FileForm(error=white(3.0), cell_m=90.0),
    "white 3 m at 90 m knots, whole metres": FileForm(error=white(3.0), cell_m=90.0, rounded_m=1.0),
    "Gaussian 3 m over 30 m": FileForm(error=gaussian(3.0, 30.0)),
    "Gaussian 3 m over 90 m": FileForm(error=gaussian(3.0, 90.0)),
    "exponential 3 m over 30 m": FileForm(error=exponential(3.0, 30.0)),
    "exponential 3 m over 60 m, whole metres": FileForm(error=exponential(3.0, 60.0), rounded_m=1.0),
    "exponential 3 m over 130 m": FileForm(error=exponential(3.0, 130.0)),
    "nearest 30 m cell, 3 m": FileForm(error=white(3.0), cell_m=30.0, nearest=True),
    "nearest 90 m cell, 3 m": FileForm(error=white(3.0), cell_m=90.0, nearest=True, rounded_m=1.0),
    "white 1 m at 30 m knots": FileForm(error=white(1.0), cell_m=30.0),
    "barometer": FileForm(5.0, barometric, rounded_m=0.2, jitter_m=1.0, speed_m_s=7.0),
}
"""Errors of 3 m or less."""

HARD_SPECTRA = {
    "exponential 5 m over 60 m": FileForm(error=exponential(5.0, 60.0)),
    "white 5 m at 90 m knots": FileForm(error=white(5.0), cell_m=90.0),
    "90 m cells beside the road": FileForm(error=beside_the_road(90.0), cell_m=90.0),
}
"""Errors that no method takes away wholly."""

SAME_GROUND = {
    "every 5 m": FileForm(5.0),
    "every 10 m, whole metres": FileForm(rounded_m=1.0),
    "every 25 m": FileForm(25.0),
    "every 50 m": FileForm(50.0),
    "every 50 m, whole metres": FileForm(50.0, rounded_m=1.0),
    "every 100 m": FileForm(100.0),
    "every 150 m": FileForm(150.0),
    "30 m cells": FileForm(cell_m=30.0, rounded_m=1.0),
    "90 m cells": FileForm(cell_m=90.0, rounded_m=1.0),
    "nearest 30 m cell": FileForm(cell_m=30.0, nearest=True, rounded_m=1.0),
    "nearest 90 m cell": FileForm(5.0, cell_m=90.0, nearest=True, rounded_m=1.0),
    "1 m of noise at 30 m knots": FileForm(error=white(1.0), cell_m=30.0, rounded_m=1.0),
    "barometer": FileForm(5.0, barometric, rounded_m=0.2, jitter_m=1.0, speed_m_s=7.0),
}
"""One ground as thirteen programs and devices would write it."""


def as_file(road: Road, form: FileForm, seed: int = 0) -> Survey:
    """Return a road as read from a file of a form, with the true place of every point."""
    rng = np.random.default_rng(seed)
    count = max(round(road.length_m / form.spacing_m), 1) + 1
    at_m = np.linspace(0.0, road.length_m, count)
    lat, lon = np.interp(at_m, road.distance_m, road.lat_deg), np.interp(at_m, road.distance_m, road.lon_deg)
    lat = lat + rng.normal(0.0, form.jitter_m, count) / 111_200.0
    lon = lon + rng.normal(0.0, form.jitter_m, count) / (111_300.0 * np.cos(np.radians(lat)))
    height = np.round(_heights(road, at_m, form, rng) / form.rounded_m) * form.rounded_m
    time_s = at_m / form.speed_m_s if form.speed_m_s else None
    with TemporaryDirectory() as folder:
        made = make_track(road.name, lat, lon, height, time_s=time_s)
        track, _ = read_route(write_gpx(made, Path(folder) / "road.gpx"))
    return Survey(road, track, at_m)


def _heights(road: Road, at_m: FloatArray, form: FileForm, rng: np.random.Generator) -> FloatArray:
    known_m: FloatArray = at_m
    if form.cell_m:
        cells = int(road.length_m / form.cell_m) + 3
        known_m = np.asarray(form.cell_m * (np.arange(cells) - rng.uniform()), dtype=np.float64)
    height = np.interp(known_m, road.distance_m, road.elevation_m)
    if form.error is not None:
        height = height + form.error(np.maximum(known_m, 0.0), rng)
    if form.nearest:
        return np.asarray(height[np.rint((at_m - known_m[0]) / form.cell_m).astype(int)])
    return np.asarray(np.interp(at_m, known_m, height))
