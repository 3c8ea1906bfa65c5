"""How an invented road is built from sections, and how a device would record it.

A `Road` is drawn in plan and in profile like a real one: straights and arcs of a circle in plan,
straight grades joined by parabolic vertical curves in profile. `Road.survey` records it as a route
file would hold it, with points at a given spacing, noise in position and the errors of a kind of
height; `Survey.track` is what the package measures, `Survey.road_m` the true place of every point.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

import numpy as np

from terrain_fuel.equations.geodesy import ECCENTRICITY_SQUARED, SEMI_MAJOR_M, geodesic_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import StretchKind
from terrain_fuel.track import Track, Waypoint

Heights = Literal["clean", "barometer", "surface"]

ORIGIN_DEG = (46.30, 8.40)
MORNING = np.datetime64("2027-06-05T07:00:00.000")
NOISE_REACH_M = 60.0
"""Distance over which the errors of a surface model fade to 1/e [m]."""


@dataclass(frozen=True, slots=True)
class TrueStretch:
    """A climb, descent or flat as built [m]."""

    kind: StretchKind
    start_m: float
    end_m: float
    gain_m: float


@dataclass(frozen=True, slots=True)
class Arc:
    """A bend as built: from, to, radius and signed turn, right positive [m, m, m, degrees]."""

    start_m: float
    end_m: float
    radius_m: float
    turn_deg: float


@dataclass(frozen=True, slots=True)
class Section:
    """A part of road with one grade.

    ``bend_radius_m`` and ``bend_turn_deg`` put a bend every ``bend_every_m``, turning left and
    right by turns; ``kind`` is what the rider would call it, None to carry on the one before.
    """

    length_m: float
    grade: float
    kind: StretchKind | None = None
    bend_radius_m: float = 0.0
    bend_turn_deg: float = 0.0
    bend_every_m: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """A road as recorded: the track, and the true distance of every recorded point [m]."""

    road: "Road"
    track: Track
    road_m: FloatArray

    def along_track_m(self, road_m: float) -> float:
        """Return where on the recorded track a true distance lies [m]."""
        return float(np.interp(road_m, self.road_m, self.track.distance_m))

    def along_road_m(self, track_m: float) -> float:
        """Return the true distance of a place on the recorded track [m]."""
        return float(np.interp(track_m, self.track.distance_m, self.road_m))


@dataclass(frozen=True, slots=True, eq=False)
class Road:
    """The truth, every metre."""

    name: str
    distance_m: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    stretches: tuple[TrueStretch, ...]
    bends: tuple[Arc, ...]
    bridges: tuple[tuple[float, float], ...] = field(default=())

    @property
    def length_m(self) -> float:
        """Length [m]."""
        return float(self.distance_m[-1])

    @property
    def ascent_m(self) -> float:
        """Sum of all rises [m]."""
        rise = np.diff(self.elevation_m)
        return float(rise[rise > 0].sum())

    def survey(
        self,
        spacing_m: float = 10.0,
        heights: Heights = "clean",
        position_noise_m: float = 0.0,
        seed: int = 0,
        gorge_m: float = 0.0,
        waypoints: Sequence[Waypoint] = (),
    ) -> Survey:
        """Record the road; ``gorge_m`` is how deep a surface model falls under each bridge [m]."""
        rng = np.random.default_rng(seed)
        count = max(round(self.length_m / spacing_m), 1) + 1
        at = np.linspace(0.0, self.length_m, count)
        lat, lon = np.interp(at, self.distance_m, self.lat_deg), np.interp(at, self.distance_m, self.lon_deg)
        lat = lat + np.degrees(rng.normal(0.0, position_noise_m, count) / SEMI_MAJOR_M)
        lon = lon + np.degrees(
            rng.normal(0.0, position_noise_m, count) / (SEMI_MAJOR_M * np.cos(np.radians(lat)))
        )
        read = _read_heights(np.interp(at, self.distance_m, self.elevation_m), at, heights, rng)
        for start, end in self.bridges:
            middle, half = (start + end) / 2, (end - start) / 2
            read = read - gorge_m * np.clip(1.5 * (1.0 - np.abs(at - middle) / half), 0.0, 1.0)
        track = make_track(self.name, lat, lon, read, waypoints=waypoints)
        return Survey(self, track, at)


def make_track(
    name: str,
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    elevation_m: FloatArray,
    height_kind: str = "unknown",
    waypoints: Sequence[Waypoint] = (),
    time_s: FloatArray | None = None,
) -> Track:
    """Return a track through points, with geodesic distances."""
    legs, _ = geodesic_m(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])
    return Track(
        name=name,
        source=f"{name}.gpx",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        distance_m=np.concatenate(([0.0], np.cumsum(legs))),
        elevation_m=elevation_m,
        interpolated=np.zeros(lat_deg.size, dtype=bool),
        height_kind=height_kind,
        time_s=time_s,
        waypoints=tuple(waypoints),
    )


def _read_heights(
    true_m: FloatArray, at_m: FloatArray, heights: Heights, rng: np.random.Generator
) -> FloatArray:
    if heights == "clean":
        return true_m
    if heights == "surface":
        grid = np.arange(0.0, at_m[-1] + 1.0)
        return np.round(true_m + np.interp(at_m, grid, _faded_noise(grid.size, NOISE_REACH_M, 3.0, rng)))
    # the air pressure of a day and the warming of the device: two slow waves [m]
    waves = ((5.0, rng.uniform(60e3, 80e3)), (0.5, rng.uniform(6e3, 8e3)))
    drift = sum(size * np.sin(2 * np.pi * (at_m / length + rng.uniform())) for size, length in waves)
    jitter = rng.normal(0.0, 0.3, at_m.size)
    return np.asarray(np.round((true_m + drift + jitter) * 5.0) / 5.0)


def _faded_noise(count: int, reach: float, sd: float, rng: np.random.Generator) -> FloatArray:
    """Return noise whose correlation fades as exp(-steps / reach)."""
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / reach)
    white = rng.normal(0.0, sd * np.sqrt(1.0 - keep**2), count)
    white[0] = rng.normal(0.0, sd)
    return np.asarray(lfilter([1.0], [1.0, -keep], white))


def build_road(
    name: str,
    sections: Sequence[Section],
    start_elevation_m: float = 600.0,
    vertical_curve_m: float = 60.0,
    origin_deg: tuple[float, float] = ORIGIN_DEG,
    heading_deg: float = 40.0,
    bridges: Sequence[tuple[float, float]] = (),
) -> Road:
    """Return a road of sections in order, with one point a metre."""
    ends = np.round(np.cumsum([section.length_m for section in sections]))
    road_m = np.arange(0.0, ends[-1] + 1.0)
    grade = np.array([section.grade for section in sections])[
        np.searchsorted(ends, road_m[:-1], side="right").clip(max=len(sections) - 1)
    ]
    elevation = start_elevation_m + np.concatenate(([0.0], np.cumsum(_eased(grade, vertical_curve_m))))
    starts = np.concatenate(([0.0], ends[:-1]))
    arcs = tuple(
        arc for start, end, section in zip(starts, ends, sections, strict=True)
        for arc in _arcs(float(start), float(end), section)
    )  # fmt: skip
    lat, lon = _lay(road_m, _headings(road_m, arcs, heading_deg), origin_deg)
    stretches = _true_stretches(sections, starts, ends, elevation)
    return Road(name, road_m, lat, lon, elevation, stretches, arcs, tuple(bridges))


def _eased(grade: FloatArray, curve_m: float) -> FloatArray:
    """Join grades by vertical curves: a moving mean of the grade is a parabola in height."""
    width = max(int(curve_m) | 1, 1)
    padded = np.pad(grade, width // 2, mode="edge")
    total = np.concatenate(([0.0], np.cumsum(padded)))
    return np.asarray((total[width:] - total[:-width]) / width)


def _arcs(start_m: float, end_m: float, section: Section) -> list[Arc]:
    if section.bend_every_m <= 0.0:
        return []
    length = section.bend_radius_m * np.radians(section.bend_turn_deg)
    first = start_m + (section.bend_every_m - length) / 2
    count = int((end_m - start_m) // section.bend_every_m)
    return [
        Arc(at, at + length, section.bend_radius_m, section.bend_turn_deg * (1 if turn % 2 else -1))
        for turn, at in enumerate((first + np.arange(count) * section.bend_every_m).tolist())
    ]


def _headings(road_m: FloatArray, arcs: Sequence[Arc], heading_deg: float) -> FloatArray:
    """Return the direction of every metre of road [rad]; an arc turns evenly."""
    knots, turned, so_far = [0.0], [0.0], 0.0
    for arc in arcs:
        knots += [arc.start_m, arc.end_m]
        turned += [so_far, so_far + arc.turn_deg]
        so_far += arc.turn_deg
    middle = (road_m[1:] + road_m[:-1]) / 2
    return np.asarray(np.radians(heading_deg + np.interp(middle, knots, turned)))


def _lay(
    road_m: FloatArray, heading: FloatArray, origin_deg: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Walk metre by metre over the ellipsoid."""
    step = np.diff(road_m)
    lat = np.full(road_m.size, np.radians(origin_deg[0]))
    for _ in range(3):
        curve = 1.0 - ECCENTRICITY_SQUARED * np.sin(lat[:-1]) ** 2
        meridian_m = SEMI_MAJOR_M * (1.0 - ECCENTRICITY_SQUARED) / curve**1.5
        lat = lat[0] + np.concatenate(([0.0], np.cumsum(step * np.cos(heading) / meridian_m)))
    middle = (lat[1:] + lat[:-1]) / 2
    parallel_m = SEMI_MAJOR_M / np.sqrt(1.0 - ECCENTRICITY_SQUARED * np.sin(middle) ** 2) * np.cos(middle)
    lon = np.radians(origin_deg[1]) + np.concatenate(([0.0], np.cumsum(step * np.sin(heading) / parallel_m)))
    return np.degrees(lat), np.degrees(lon)


def _true_stretches(
    sections: Sequence[Section], starts: FloatArray, ends: FloatArray, elevation_m: FloatArray
) -> tuple[TrueStretch, ...]:
    out: list[TrueStretch] = []
    for section, start, end in zip(sections, starts.tolist(), ends.tolist(), strict=True):
        gain = float(elevation_m[int(end)] - elevation_m[int(start)])
        if section.kind is None or (out and out[-1].kind == section.kind):
            out[-1] = replace(out[-1], end_m=end, gain_m=out[-1].gain_m + gain)
        else:
            out.append(TrueStretch(section.kind, start, end, gain))
    return tuple(out)


def with_uneven_grades(road: Road, grade_sd: float, seed: int = 0) -> Road:
    """Return the road with grades that waver about those it was built with, over some 200 m.

    The climbs and descents stay what a rider would call them; their gains are taken anew.
    """
    from scipy.ndimage import gaussian_filter1d

    waver = gaussian_filter1d(np.random.default_rng(seed).normal(size=road.distance_m.size), 80.0)
    shift = np.cumsum(waver * grade_sd / waver.std())
    elevation = road.elevation_m + shift - shift[-1] * np.linspace(0.0, 1.0, shift.size)
    stretches = tuple(
        replace(part, gain_m=float(elevation[int(part.end_m)] - elevation[int(part.start_m)]))
        for part in road.stretches
    )
    return replace(road, elevation_m=elevation, stretches=stretches)


def gpx_text(track: Track) -> str:
    """Return a track as GPX 1.1 text; a track with times begins on a summer morning."""
    lines = ['<?xml version="1.0" encoding="UTF-8"?>']
    lines.append('<gpx version="1.1" creator="invented roads" xmlns="http://www.topografix.com/GPX/1/1">')
    for mark in track.waypoints:
        lines.append(f'<wpt lat="{mark.lat_deg:.7f}" lon="{mark.lon_deg:.7f}"><name>{mark.name}</name></wpt>')
    lines.append(f"<trk><name>{track.name}</name><trkseg>")
    times = [""] * track.lat_deg.size
    if track.time_s is not None:
        moments = MORNING + np.round(1000.0 * track.time_s).astype("timedelta64[ms]")
        times = [f"<time>{moment}Z</time>" for moment in moments]
    columns = (track.lat_deg.tolist(), track.lon_deg.tolist(), track.elevation_m.tolist(), times)
    lines += [
        f'<trkpt lat="{lat:.8f}" lon="{lon:.8f}"><ele>{height:.2f}</ele>{time}</trkpt>'
        for lat, lon, height, time in zip(*columns, strict=True)
    ]
    return "\n".join([*lines, "</trkseg></trk>", "</gpx>", ""])


def write_gpx(track: Track, path: Path) -> Path:
    """Write a track as a GPX file and return its path."""
    path.write_text(gpx_text(track), encoding="utf-8")
    return path
