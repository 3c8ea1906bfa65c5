"""The road's own line in the file: as long as the road, with every point and mark of the plan on it."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.checker.fault import Fault, route_fault, say_km
from terrain_fuel.checker.ground import aside_m_of, steps_m_of
from terrain_fuel.checker.plan_file import PlanFile

END_M = 0.5
STRAIGHT_M, STRAIGHT_SHARE = 10.0, 0.02  # a device may count its own distance
ALONG_M, BESIDE_M = 60.0, 15.0  # the line is thinned to 2 m, and points stand on steps of the road
MARK_M = 1.0
TIED_M = 0.001


def check_line(plan: PlanFile) -> Iterator[Fault]:
    """The line runs over the whole road, and no piece of it is longer straight than along the road."""
    if plan.line is None:
        return
    along_m, places = plan.line
    if abs(along_m[0]) > END_M or abs(along_m[-1] - plan.length_m) > END_M:
        said = f"runs from {along_m[0]:.0f} to {along_m[-1]:.0f} m; the road is {plan.length_m:.0f} m long"
        yield route_fault("route.line", said, 0.0, float(along_m[-1]) - plan.length_m)
    falls = np.flatnonzero(np.diff(along_m) < 0)
    if falls.size:
        yield route_fault("route.line", f"distance_m falls at [{falls[0] + 1}]", float(along_m[falls[0]]))
    off_earth = np.flatnonzero(np.any(np.abs(places) > [90.0, 180.0], axis=1))
    if off_earth.size:
        lat, lon = places[off_earth[0]]
        said = f"[{off_earth[0]}] is latitude {lat:g}, longitude {lon:g}; there is no such place"
        yield route_fault("route.line", said, float(along_m[off_earth[0]]))
        return
    straight_m, apart_m = np.linalg.norm(steps_m_of(places), axis=1), np.abs(np.diff(along_m))
    over_m = straight_m - (1.0 + STRAIGHT_SHARE) * apart_m - STRAIGHT_M
    if over_m.max() > 0:
        worst = int(over_m.argmax())
        between = f"from [{worst}] to [{worst + 1}] it is {straight_m[worst]:.0f} m straight"
        said = f"{between}, and {apart_m[worst]:.0f} m along the road; no road is shorter than straight"
        yield route_fault("route.line", said, float(along_m[worst]), float(over_m[worst]))


def check_points_on_line(plan: PlanFile) -> Iterator[Fault]:
    """Each point's latitude and longitude lie on the line where its distance says."""
    if plan.line is None:
        return
    along_m, places = plan.line
    if np.diff(along_m).min() < 0:
        return  # told elsewhere
    for point in plan.points:
        if not along_m[0] <= point.distance_m <= along_m[-1]:
            continue  # told elsewhere
        aside_m = aside_m_of(places, along_m, point.distance_m, (point.lat, point.lon), ALONG_M)
        if not aside_m <= BESIDE_M:
            where = f"{point.called} lies {aside_m:.0f} m from the line at {say_km(point.distance_m)}"
            yield route_fault("fuel_points", f"{where}; at most {BESIDE_M:.0f}", point.distance_m, aside_m)


def check_marks(plan: PlanFile) -> Iterator[Fault]:
    """Waypoints lie on the road, one after the other."""
    before_m = -MARK_M
    for mark in plan.data["route"].get("waypoints", []):
        at_m = mark["distance_m"]
        if not -MARK_M <= at_m <= plan.length_m + MARK_M:
            said = f"{mark['name']!r} at {at_m:.0f} m is off the road of {plan.length_m:.0f} m"
            yield route_fault("route.waypoints", said, at_m)
        elif at_m < before_m - TIED_M:
            said = f"{mark['name']!r} at {say_km(at_m)} stands behind {say_km(before_m)}; they must rise"
            yield route_fault("route.waypoints", said, at_m, before_m - at_m)
        before_m = at_m
