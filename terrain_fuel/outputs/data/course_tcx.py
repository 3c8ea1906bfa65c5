"""The plan as a TCX course: the road with the time at each point, and what is to be done on the way."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from lxml import etree

from terrain_fuel.outputs.data.course_points import MarkKind, course_points
from terrain_fuel.outputs.data.thinned import points_to_write
from terrain_fuel.outputs.data.xml_text import allowed_text
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

NAMESPACE = "http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2"
MADE_BY = "terrain-fuel"

POINT_TYPES: dict[MarkKind, str] = {
    "eat": "Food",
    "sip": "Generic",
    "refill": "Water",
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
    namespaces: dict[str, str] = {None: NAMESPACE}  # type: ignore[dict-item]  # the default namespace
    root = etree.Element(f"{{{NAMESPACE}}}TrainingCenterDatabase", nsmap=namespaces)
    course = _child(_child(root, "Courses"), "Course")
    _child(course, "Name", plan.name[:NAME_LETTERS].strip())
    lap = _child(course, "Lap")
    _child(lap, "TotalTimeSeconds", f"{plan.totals.elapsed_s:.0f}")
    _child(lap, "DistanceMeters", f"{track.length_m:.1f}")
    for tag, i in (("BeginPosition", 0), ("EndPosition", -1)):
        _add_place(lap, float(track.lat_deg[i]), float(track.lon_deg[i]), tag)
    _child(lap, "Intensity", "Active")
    line = _child(course, "Track")
    written = points_to_write(track, whole_line)
    along_m = track.distance_m[written] * plan.terrain.length_m / track.length_m
    clock_s = np.interp(along_m, plan.pace.distance_m, plan.pace.clock_s)
    columns = (clock_s, track.lat_deg[written], track.lon_deg[written], track.elevation_m[written], along_m)
    for time_s, lat, lon, height_m, at_m in zip(*(column.tolist() for column in columns), strict=True):
        point = _child(line, "Trackpoint")
        _child(point, "Time", _moment(plan, time_s))
        _add_place(point, lat, lon)
        _child(point, "AltitudeMeters", f"{height_m:.1f}")
        _child(point, "DistanceMeters", f"{at_m:.1f}")
    _child(course, "Notes", MADE_BY)
    for mark in course_points(plan, sips):
        point = _child(course, "CoursePoint")
        _child(point, "Name", mark.short)
        _child(point, "Time", _moment(plan, mark.time_s))
        _add_place(point, mark.lat_deg, mark.lon_deg)
        _child(point, "AltitudeMeters", f"{mark.elevation_m:.1f}")
        _child(point, "PointType", POINT_TYPES[mark.kind])
        _child(point, "Notes", mark.comment)
    content: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    write_bytes(Path(path), content)


def _moment(plan: Plan, time_s: float) -> str:
    moment: datetime = plan.day.at(round(time_s)).astimezone(UTC)
    return f"{moment:%Y-%m-%dT%H:%M:%SZ}"


def _add_place(parent: etree._Element, lat_deg: float, lon_deg: float, tag: str = "Position") -> None:
    place = _child(parent, tag)
    _child(place, "LatitudeDegrees", f"{lat_deg:.6f}")
    _child(place, "LongitudeDegrees", f"{lon_deg:.6f}")


def _child(parent: etree._Element, tag: str, text: str | None = None) -> etree._Element:
    element = etree.SubElement(parent, f"{{{NAMESPACE}}}{tag}")
    if text is not None:
        element.text = allowed_text(text)
    return element
