"""TCX files as bare columns: courses, or the activities of a recording."""

from lxml import etree

from terrain_fuel.inputs.formats.gpx_points import Texts, degrees, heights, powers, times
from terrain_fuel.inputs.formats.raw_route import RawRoute, RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import (
    is_ours,
    places_of_the_road,
    refuse_too_many,
    waypoint_place,
)
from terrain_fuel.text import plain_text

TURNS = frozenset(("left", "right", "straight"))
"""Course points of these types tell which way to go: no places to plan with."""


def tcx_route(root: etree._Element, source: str) -> RawRoute:
    """Return the columns and course points of a TCX file [TCX2]_.

    Parameters
    ----------
    root : the file's outermost element
    source : the file's name, for messages

    Returns
    -------
    RawRoute
        The points of all courses in order; of its activities if it has no course. Times are those of
        activities: a course's are made up. Points without a position, as after a pause, are left out.

    Raises
    ------
    TrackError
        If a point or a course point has a position or height that is impossible.
    """
    waypoints = _course_points(root, source)
    if is_ours(root.findtext("{*}Courses/{*}Course/{*}Notes") or ""):
        waypoints = places_of_the_road(waypoints)
    courses = root.findall("{*}Courses/{*}Course")
    holders = courses or root.findall("{*}Activities/{*}Activity")
    lat: Texts = []
    lon: Texts = []
    elevation: Texts = []
    time: Texts = []
    power: Texts = []
    starts: list[int] = []
    tracks: list[int] = []
    names: list[str] = []
    for holder in holders:
        before = len(lat)
        for line in holder.iter("{*}Track"):
            start = len(lat)
            for point in line.iterfind("{*}Trackpoint"):
                place = point.find("{*}Position")
                if place is None:
                    continue
                lat.append(place.findtext("{*}LatitudeDegrees"))
                lon.append(place.findtext("{*}LongitudeDegrees"))
                elevation.append(point.findtext("{*}AltitudeMeters"))
                time.append(point.findtext("{*}Time"))
                power.append(point.findtext("{*}Extensions/{*}TPX/{*}Watts"))
            if len(lat) > start:
                starts.append(start)
                tracks.append(len(names) + 1)
        if len(lat) > before:
            names.append(plain_text(holder.findtext("{*}Name")))
    return RawRoute(
        name=names[0] if len(names) == 1 else "",
        source=source,
        lat_deg=degrees(lat, "latitude", 90.0, source),
        lon_deg=degrees(lon, "longitude", 180.0, source),
        elevation_m=heights(elevation, source),
        time_s=None if courses else times(time),
        power_w=None if courses else powers(power),
        waypoints=waypoints,
        piece_starts=tuple(starts),
        piece_tracks=tuple(tracks),
        track_names=tuple(names),
    )


def _course_points(root: etree._Element, source: str) -> tuple[RawWaypoint, ...]:
    points = root.findall("{*}Courses/{*}Course/{*}CoursePoint")
    refuse_too_many(len(points), source)
    waypoints = []
    for i, point in enumerate(points):
        kind = plain_text(point.findtext("{*}PointType"))
        if kind.casefold() in TURNS:
            continue
        name = plain_text(point.findtext("{*}Name"))
        lat = point.findtext("{*}Position/{*}LatitudeDegrees")
        lon = point.findtext("{*}Position/{*}LongitudeDegrees")
        place = waypoint_place(lat, lon, name or str(i + 1), source)
        waypoints.append(RawWaypoint(name, *place, type=kind, comment=plain_text(point.findtext("{*}Notes"))))
    return tuple(waypoints)
