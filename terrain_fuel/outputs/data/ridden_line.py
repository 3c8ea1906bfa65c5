"""The route's written points with the plan's clock: what a course file holds of the road."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.outputs.data.date_line import east_deg
from terrain_fuel.outputs.data.thinned import points_to_write
from terrain_fuel.plan import Plan


def ridden_line(plan: Plan, whole: bool = False) -> Iterator[tuple[float, float, float, float, float]]:
    """Yield clock [s], latitude, longitude [degrees], height and distance [m] of the points that are written.

    Parameters
    ----------
    plan : the finished plan
    whole : True for every point of the route, False for as many as its line and profile need
    """
    track = plan.terrain.track
    written = points_to_write(track, whole)
    along_m = track.distance_m[written] * plan.terrain.length_m / track.length_m
    clock_s = np.interp(along_m, plan.pace.distance_m, plan.pace.clock_s)
    places = (track.lat_deg[written], east_deg(track.lon_deg[written]), track.elevation_m[written])
    columns = (clock_s, *places, along_m)
    yield from zip(*(column.tolist() for column in columns), strict=True)
