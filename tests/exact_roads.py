"""Measured roads given outright, node by node, so that what is ridden on them is known exactly."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.model import Profile, Stretch, Terrain
from terrain_fuel.track import Track

METRES_A_DEGREE = 111_195.0


def exact_terrain(
    grade: ArrayLike,
    step_m: float = 10.0,
    heading_deg: ArrayLike = 0.0,
    radius_m: ArrayLike = np.inf,
    start_elevation_m: float = 0.0,
    stretches: Sequence[Stretch] = (),
) -> Terrain:
    """Return a road whose spans have just these grades.

    Parameters
    ----------
    grade : shape (n - 1,), rise over run of each span
    step_m : length of each span [m]
    heading_deg, radius_m : one number, or one a node, shape (n,)
    stretches : what the road is divided into; by default one flat, so that efforts go by grade alone
    """
    spans = np.asarray(grade, dtype=np.float64)
    count = spans.size + 1
    distance = np.arange(count, dtype=np.float64) * step_m
    elevation = start_elevation_m + np.concatenate(([0.0], np.cumsum(spans * step_m)))
    zeros, never = np.zeros(count), np.zeros(count, dtype=np.bool_)
    lat = 46.0 + distance / METRES_A_DEGREE
    track = Track("exact", "exact.gpx", lat, zeros, distance, elevation, never)
    profile = Profile(
        step_m=step_m,
        distance_m=distance,
        lat_deg=lat,
        lon_deg=zeros,
        heading_deg=zeros + np.asarray(heading_deg),
        elevation_m=elevation,
        elevation_sd_m=zeros,
        grade=np.append(spans, spans[-1]),
        grade_sd=zeros,
        radius_m=zeros + np.asarray(radius_m),
        interpolated=never,
    )
    whole = Stretch("flat", 0.0, float(distance[-1]), float(elevation[-1] - elevation[0]), 0.0, 0.0)
    rise = np.diff(elevation)
    return Terrain(
        track,
        profile,
        tuple(stretches) or (whole,),
        (),
        (),
        float(rise[rise > 0].sum()),
        float(-rise[rise < 0].sum()),
    )


def eased(at_m: FloatArray, knots: Sequence[tuple[float, float]]) -> FloatArray:
    """Return grades that change evenly between knots of (distance [m], grade)."""
    places, grades = zip(*knots, strict=True)
    return np.asarray(np.interp(at_m, places, grades))
