"""The plan as a TCX course: the road with the time at each point, and what is to be done on the way."""

from datetime import UTC, datetime
from pathlib import Path

from lxml import etree

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.data.course_points import MarkKind, course_points, course_title
from terrain_fuel.outputs.data.date_line import east_deg
from terrain_fuel.outputs.data.ridden_line import ridden_line
from terrain_fuel.outputs.data.xml_text import add_child, document_bytes, new_root
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

NAMESPACE = "http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2"
MADE_BY = "terrain-fuel"

POINT_TYPES: dict[MarkKind, str] = {
    "eat": "Food",
    "sip": "Generic",
    "refill": "Water",
    "pour_over": "Generic",
    "hands_on": "Danger",
    "summit": "Summit",
}
"""Of the schema's own list, CoursePointType_t [TCX2]_."""

NAME_LETTERS = 15


def write_tcx(plan: Plan, path: Path, sips: bool = False, whole_line: bool = False) -> None:
    """Write the plan as one course.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``course.tcx``
    sips : True for a course point at every sip too
    whole_line : True for every point of the route, False for as many as its line and profile need

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    Elements stand in the order of the schema; a course point's name has ten letters at most [TCX2]_.
    """
    track = plan.terrain.track
    root = new_root(NAMESPACE, "TrainingCenterDatabase")
    course = add_child(add_child(root, "Courses"), "Course")
    add_child(course, "Name", course_title(plan)[:NAME_LETTERS].strip())
    lap = add_child(course, "Lap")
    add_child(lap, "TotalTimeSeconds", f"{plan.totals.elapsed_s:.0f}")
    add_child(lap, "DistanceMeters", f"{track.length_m:.1f}")
    for tag, i in (("BeginPosition", 0), ("EndPosition", -1)):
        _add_place(lap, float(track.lat_deg[i]), float(east_deg(track.lon_deg[i])), tag)
    add_child(lap, "Intensity", "Active")
    line = add_child(course, "Track")
    for time_s, lat, lon, height_m, at_m in ridden_line(plan, whole_line):
        point = add_child(line, "Trackpoint")
        add_child(point, "Time", _moment(plan, time_s))
        _add_place(point, lat, lon)
        add_child(point, "AltitudeMeters", f"{height_m:.1f}")
        add_child(point, "DistanceMeters", f"{at_m:.1f}")
    add_child(course, "Notes", "; ".join(filter(None, (MADE_BY, attribution(plan)))))
    for mark in course_points(plan, sips):
        point = add_child(course, "CoursePoint")
        add_child(point, "Name", mark.short)
        add_child(point, "Time", _moment(plan, mark.time_s))
        _add_place(point, mark.lat_deg, mark.lon_deg)
        add_child(point, "AltitudeMeters", f"{mark.elevation_m:.1f}")
        add_child(point, "PointType", POINT_TYPES[mark.kind])
        add_child(point, "Notes", mark.comment)
    write_bytes(Path(path), document_bytes(root))


def _moment(plan: Plan, time_s: float) -> str:
    moment: datetime = plan.day.at(round(time_s)).astimezone(UTC)
    return f"{moment:%Y-%m-%dT%H:%M:%SZ}"


def _add_place(parent: etree._Element, lat_deg: float, lon_deg: float, tag: str = "Position") -> None:
    place = add_child(parent, tag)
    add_child(place, "LatitudeDegrees", f"{lat_deg:.6f}")
    add_child(place, "LongitudeDegrees", f"{lon_deg:.6f}")
