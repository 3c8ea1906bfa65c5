"""The plan against its route: length, the place of each point, and refills where something is to be had."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from lxml import etree

from terrain_fuel.checker.fault import Fault, route_fault
from terrain_fuel.checker.ground import Columns, along_m_of, aside_m_of, from_m, steps_m_of
from terrain_fuel.checker.plan_file import PlanFile
from terrain_fuel.errors import TrackError
from terrain_fuel.file_kinds import GPX, other_kind
from terrain_fuel.regular_file import read_regular

LENGTH_SHARE = 0.01
ALONG_M, BESIDE_M = 60.0, 30.0
WAYPOINT_M = 600.0
TANGLES = ((120.0, 25.0, 8), (20.0, 7.0, 6))  # so long a way, no farther from a place, in more points
SHORT_M = 25.0  # a halt takes more than a hundredth from a road of some metres
MOST_STRAYS, STRAY_M = 5, 2000.0
LARGEST_BYTES = 64_000_000


def check_route(plan: PlanFile, gpx: Path) -> Iterator[Fault]:
    """Return where the plan does not fit the route.

    Raises
    ------
    TrackError
        If the route cannot be read.
    """
    road, waypoints = _read_positions(gpx)
    left_out = plan.data["route"].get("left_out", [])
    untrue = [piece for piece in left_out if not _may_be_left_out(road, piece)]
    for piece in untrue:
        which = f"points {piece['first_point']} to {piece['last_point']}"
        yield route_fault("route", f"{which} are left out, but they belong to the road", 0.0, 0.0)
    if untrue:
        return
    road = np.delete(road, [i for piece in left_out for i in _indices(piece)], axis=0)
    along_m = along_m_of(road)
    off_m = plan.length_m - float(along_m[-1])
    for tangle in TANGLES:
        if off_m < -LENGTH_SHARE * along_m[-1]:
            road = without_halts(road, *tangle)
            along_m = along_m_of(road)
            off_m = plan.length_m - float(along_m[-1])
    if abs(off_m) > max(LENGTH_SHARE * along_m[-1], SHORT_M):
        said = f"the plan is for {plan.length_m:.0f} m, the route is {along_m[-1]:.0f} m long; 1 % may differ"
        yield route_fault("route", said, 0.0, off_m)
        return
    scale = float(along_m[-1]) / plan.length_m
    for point in plan.points:
        at_m = point.distance_m * scale
        slack_m = ALONG_M + LENGTH_SHARE * at_m
        aside_m = aside_m_of(road, along_m, at_m, (point.lat, point.lon), slack_m)
        if aside_m > BESIDE_M:
            said = (
                f"{point.called} lies {aside_m:.0f} m from the road near its distance; at most {BESIDE_M:.0f}"
            )
            yield route_fault("fuel_points", said, point.distance_m, aside_m)
    yield from _check_refills(plan, waypoints)


def _indices(piece: Mapping[str, Any]) -> range:
    return range(int(piece["first_point"]) - 1, int(piece["last_point"]))


def _may_be_left_out(road: Columns, piece: Mapping[str, Any]) -> bool:
    """Return True for a few points far from both neighbours, and for points that stand there before."""
    first, last = int(piece["first_point"]) - 1, int(piece["last_point"]) - 1
    if not 0 < first <= last < len(road):
        return False
    if piece["repeats"]:
        before = {place.tobytes() for place in road[:first]}
        return all(place.tobytes() in before for place in road[first : last + 1])
    if last + 1 == len(road) or last - first >= MOST_STRAYS:
        return False
    ends = np.array([road[first - 1], road[first], road[last], road[last + 1]])
    steps_m = np.linalg.norm(steps_m_of(ends), axis=1)
    return bool(min(steps_m[0], steps_m[2]) > STRAY_M)


def _check_refills(plan: PlanFile, waypoints: Columns) -> Iterator[Fault]:
    """A bottle is filled at a waypoint, a feed of the day or a place of the map, or poured over."""
    feeds_m = [1000.0 * feed["at_km"] for feed in plan.data["day"].get("feed", [])]
    feeds_m += [float(place["at_m"]) for place in plan.data.get("map", {}).get("places", [])]
    for point in plan.points:
        if point.action != "refill" or "pour_over" in point.rules:
            continue
        if any(abs(at_m - point.distance_m) <= WAYPOINT_M for at_m in feeds_m):
            continue
        here = np.array([[point.lat, point.lon]])
        near = [float(np.linalg.norm(steps_m_of(np.vstack([here, place])))) for place in waypoints]
        if not near or min(near) > WAYPOINT_M:
            said = f"{point.called} stands where neither the route nor the day has anything to fill from"
            yield route_fault("fuel_points", said, point.distance_m, min(near, default=plan.length_m))


def _read_positions(gpx: Path) -> tuple[Columns, Columns]:
    """Return the road and the waypoints as rows of latitude and longitude [degrees]."""
    data = read_regular(gpx, LARGEST_BYTES, TrackError, "the plan's route", "the checker reads no more")
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    try:
        root = etree.fromstring(data, parser)
    except (etree.XMLSyntaxError, ValueError):
        said = "is not XML that the checker reads, which is GPX with one track"
        raise _no_road(gpx, data, said) from None
    road = _positions(_line(root, "trk", "trkpt"), gpx)
    if len(road) < 2:
        road = _positions(_line(root, "rte", "rtept"), gpx)
    if len(road) < 2:
        said = f"{len(road)} track points in it; the checker reads GPX alone, and a road needs two"
        raise _no_road(gpx, data, said)
    marks = (point.getparent() for point in root.iterfind(".//{*}rtept/{*}*") if _is_mark(point))
    return road, _positions((*root.iter("{*}wpt"), *(point for point in marks if point is not None)), gpx)


def _no_road(gpx: Path, data: bytes, said: str) -> TrackError:
    """Return what is wrong with a file without a road: what it is, if that is known and another kind."""
    kind = other_kind(data, GPX)
    if kind is not None:
        said = f"is {kind.called}; the checker reads GPX alone"
    return TrackError(
        f"{gpx}: {said}; name the plan's route, or the fuel-points.gpx that was written with the plan"
    )


def _is_mark(element: "etree._Element") -> bool:
    """Return whether an element is what a point of a route is marked with, as waypoints are."""
    return str(element.tag).rpartition("}")[2] in ("sym", "type")


def _line(root: "etree._Element", line: str, point: str) -> "list[etree._Element]":
    """Return the points of all lines in order; a line of one point beside others is no road."""
    of_lines = [list(each.iter(f"{{*}}{point}")) for each in root.iter(f"{{*}}{line}")]
    dots = {points[0] for points in of_lines if len(points) == 1}
    points = list(root.iter(f"{{*}}{point}"))
    return [each for each in points if each not in dots] if len(points) > len(dots) else points


def _positions(elements: "Iterable[etree._Element]", gpx: Path) -> Columns:
    rows = []
    for element in elements:
        try:
            rows.append((float(element.get("lat", "")), float(element.get("lon", ""))))
        except ValueError as error:
            tag = str(element.tag).rpartition("}")[2]
            raise TrackError(f"{gpx}: a {tag} has no position; name the plan's route") from error
    return np.array(rows, dtype=np.float64).reshape(-1, 2)


def without_halts(road: Columns, way_m: float, around_m: float, points: int) -> Columns:
    """Return the road without the tangles that a device records while it stands.

    Where the road goes a way in more than so many points and never comes farther away from a place than
    around it, it goes straight on from there to where it first does.
    """
    along_m = along_m_of(road)
    kept, last = [0], 0
    while last < len(road) - 1:
        stop = int(np.searchsorted(along_m, along_m[last] + way_m, side="right"))
        around = np.linalg.norm(from_m(road[last], road[last + 1 : stop]), axis=1)
        following = last + 1
        if around.size > points and around.max() < around_m:
            away = np.linalg.norm(from_m(road[last], road[stop:]), axis=1) >= around_m
            following = stop + int(np.argmax(away)) if away.any() else len(road) - 1
        kept.append(following)
        last = following
    return road[kept]
