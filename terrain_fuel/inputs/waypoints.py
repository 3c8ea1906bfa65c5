"""Waypoints tied to the road: each place gets the distance at which the rider passes it."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from shapely import STRtree, linestrings
from shapely import points as shapely_points

from terrain_fuel.equations.geodesy import earth_centred_m
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.formats.raw_route import RawWaypoint
from terrain_fuel.inputs.waypoint_kinds import waypoint_kind
from terrain_fuel.track import Waypoint

BESIDE_ROAD_M = 250.0
"""Farther off than this a waypoint is a mere place: common practice (no source)."""

SAME_ROAD_M = 50.0
"""A later pass counts if it comes about as near as the nearest: common practice (no source)."""

NEXT_PASS_M = 1000.0
"""Passes closer along the road than this are one, as on a staircase of hairpins."""

ROUNDING_M = 0.01
"""Added to a reach so that rounding leaves nothing out."""

CROWDED = 1000
"""More places than this are thinned, so that no list of all taps of a country holds a plan up."""

CROWD_M = 250.0
"""Of a crowd one of each kind stays in so much road: nobody stops more often."""

CAUTIONS = ("no_stop", "caution", "tunnel")

Numbers = NDArray[np.intp]


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
    if not waypoints:
        return ()
    places_deg = np.array([(waypoint.lat_deg, waypoint.lon_deg) for waypoint in waypoints])
    passed = passes(earth_centred_m(lat_deg, lon_deg), distance_m, earth_centred_m(*places_deg.T))
    found = [
        Waypoint(
            name=waypoint.name,
            kind=waypoint_kind(waypoint) if offset_m <= BESIDE_ROAD_M else "place",
            lat_deg=waypoint.lat_deg,
            lon_deg=waypoint.lon_deg,
            distance_m=at_m,
            offset_m=offset_m,
            symbol=waypoint.symbol,
            type=waypoint.type,
            comment=waypoint.comment,
        )
        for waypoint, at_m, offset_m in ((waypoints[i], at_m, offset_m) for i, at_m, offset_m in passed)
    ]
    return tuple(sorted(found, key=lambda tied: tied.distance_m))


def thin_crowd(waypoints: tuple[Waypoint, ...]) -> tuple[Waypoint, ...]:
    """Return the waypoints, of a crowd the first of each kind in every 250 m of road; no caution is lost."""
    if len(waypoints) <= CROWDED:
        return waypoints
    cautions = [tied for tied in waypoints if tied.kind in CAUTIONS]
    places = [tied for tied in reversed(waypoints) if tied.kind not in CAUTIONS]
    first = {(tied.kind, tied.distance_m // CROWD_M): tied for tied in places}
    return tuple(sorted([*cautions, *first.values()], key=lambda tied: tied.distance_m))


def passes(
    points: FloatArray, distance_m: FloatArray, places: FloatArray
) -> Iterator[tuple[int, float, float]]:
    """Return (place, distance along the road, distance off it) of every pass, the nearest at least [m]."""
    place, leg = _pairs_within_reach(points, places)
    offset, share = _aside(points, leg, places[place])
    at = distance_m[leg] + share * (distance_m[leg + 1] - distance_m[leg])
    nearest = np.full(len(places), np.inf)
    np.minimum.at(nearest, place, offset)
    beside = nearest <= BESIDE_ROAD_M
    farthest = np.where(beside, np.minimum(nearest + SAME_ROAD_M, BESIDE_ROAD_M), nearest)
    close = offset <= farthest[place]
    place, at, offset = place[close], at[close], offset[close]
    another = np.diff(at, prepend=0.0) > NEXT_PASS_M
    starts = (np.diff(place, prepend=-1) > 0) | (another & beside[place])
    of_pass = np.cumsum(starts) - 1
    # the nearest of each pass, the first of equals
    by_offset = np.lexsort((offset, of_pass))
    best = by_offset[np.flatnonzero(np.diff(of_pass[by_offset], prepend=-1))]
    return zip(place[best].tolist(), at[best].tolist(), offset[best].tolist(), strict=True)


def _pairs_within_reach(points: FloatArray, places: FloatArray) -> tuple[Numbers, Numbers]:
    """Return places and legs that may hold a pass or the nearest, by place and then in road order.

    Notes
    -----
    Looked at from above the middle of the road nothing lies farther apart than it does, however
    far round the globe it is: what is out of reach on that picture is out of reach.
    """
    middle = points.mean(axis=0)
    flat = np.linalg.svd(middle[None, :])[2][1:].T
    ends = (points - middle) @ flat
    tree = STRtree(np.asarray(linestrings(np.stack([ends[:-1], ends[1:]], axis=1))))
    seen = shapely_points((places - middle) @ flat)
    _, near = tree.query_nearest(seen, all_matches=False)
    at_most, _ = _aside(points, near, places)
    reach = np.where(at_most <= BESIDE_ROAD_M, at_most + SAME_ROAD_M, at_most)
    place, leg = tree.query(seen, predicate="dwithin", distance=reach + ROUNDING_M)
    order = np.lexsort((leg, place))
    return place[order], leg[order]


def _aside(points: FloatArray, leg: Numbers, places: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return how far each place lies from its leg [m] and at which share of the leg, shapes (k,)."""
    start, along = points[leg], points[leg + 1] - points[leg]
    share = np.einsum("ij,ij->i", places - start, along) / np.einsum("ij,ij->i", along, along)
    share = np.clip(share, 0.0, 1.0)
    return np.linalg.norm(start + share[:, None] * along - places, axis=1), share
