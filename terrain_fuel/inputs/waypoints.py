"""Waypoints tied to the road: each place gets the distance at which the rider passes it."""

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.gpx_names import RawWaypoint
from terrain_fuel.inputs.waypoint_kinds import waypoint_kind
from terrain_fuel.track import Waypoint

BESIDE_ROAD_M = 250.0
"""Farther off than this a waypoint is a mere place: common practice (no source)."""

SAME_ROAD_M = 50.0
"""A later pass counts if it comes about as near as the nearest: common practice (no source)."""

NEXT_PASS_M = 1000.0
"""Passes closer along the road than this are one, as on a staircase of hairpins."""


def tie_waypoints(
    waypoints: tuple[RawWaypoint, ...], lat_deg: FloatArray, lon_deg: FloatArray, distance_m: FloatArray
) -> tuple[Waypoint, ...]:
    """Return the waypoints with their distances along the road, in road order.

    Parameters
    ----------
    waypoints : as the file gives them
    lat_deg, lon_deg : the road's points, shape (n,) [degrees]
    distance_m : geodesic distance along the road, shape (n,) [m]

    Returns
    -------
    tuple of Waypoint
        One for every time the road passes the place. A waypoint farther than `BESIDE_ROAD_M`
        from the road appears once, as a "place": nothing is planned there.

    Notes
    -----
    Straight legs between neighbours in earth-centred coordinates: no chart, so the date line
    and the poles are no special cases; a leg of 10 km sags 2 m
    below the ellipsoid, one of 1 km 2 cm.
    """
    points = earth_centred_m(lat_deg, lon_deg)
    legs_m = np.linalg.norm(np.diff(points, axis=0), axis=1)
    found = []
    for waypoint in waypoints:
        place = earth_centred_m(waypoint.lat_deg, waypoint.lon_deg)
        for at_m, offset_m in _passes(points, legs_m, distance_m, place):
            near = offset_m <= BESIDE_ROAD_M
            found.append(
                Waypoint(
                    name=waypoint.name,
                    kind=waypoint_kind(waypoint) if near else "place",
                    lat_deg=waypoint.lat_deg,
                    lon_deg=waypoint.lon_deg,
                    distance_m=at_m,
                    offset_m=offset_m,
                    symbol=waypoint.symbol,
                    type=waypoint.type,
                    comment=waypoint.comment,
                )
            )
    return tuple(sorted(found, key=lambda tied: tied.distance_m))


def _passes(
    points: FloatArray, legs_m: FloatArray, distance_m: FloatArray, place: FloatArray
) -> list[tuple[float, float]]:
    """Return (distance along the road, distance off it) of every pass, the nearest at least [m]."""
    legs = _legs_within_reach(points, legs_m, place)
    start, along = points[legs], points[legs + 1] - points[legs]
    share = np.einsum("ij,ij->i", place - start, along) / np.einsum("ij,ij->i", along, along)
    share = np.clip(share, 0.0, 1.0)
    offset = np.linalg.norm(start + share[:, None] * along - place, axis=1)
    at = distance_m[legs] + share * (distance_m[legs + 1] - distance_m[legs])
    nearest = float(offset.min())
    if nearest > BESIDE_ROAD_M:
        i = int(offset.argmin())
        return [(float(at[i]), nearest)]
    close = offset <= min(nearest + SAME_ROAD_M, BESIDE_ROAD_M)
    at, offset = at[close], offset[close]
    new_pass = np.flatnonzero(np.diff(at) > NEXT_PASS_M) + 1
    best = [int(group[offset[group].argmin()]) for group in np.split(np.arange(at.size), new_pass)]
    return [(float(at[i]), float(offset[i])) for i in best]


def _legs_within_reach(points: FloatArray, legs_m: FloatArray, place: FloatArray) -> NDArray[np.intp]:
    """Return the legs that could hold the nearest place or a pass, in road order, shape (k,)."""
    from_points = np.linalg.norm(points - place, axis=1)
    # no leg comes nearer than half of what its two ends and its length leave
    nearest_possible = 0.5 * (from_points[:-1] + from_points[1:] - legs_m)
    reach = max(float(from_points.min()), BESIDE_ROAD_M)
    return np.flatnonzero(nearest_possible <= reach)
