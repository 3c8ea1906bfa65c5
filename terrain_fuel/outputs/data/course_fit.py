"""The plan as a FIT course, through fit-tool: the same as the TCX course, for devices that want it so."""

from importlib.util import find_spec
from pathlib import Path
from typing import Any

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.data.course_points import CoursePoint, MarkKind, course_points, course_title
from terrain_fuel.outputs.data.date_line import east_deg
from terrain_fuel.outputs.data.ridden_line import ridden_line
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan

POINT_TYPES: dict[MarkKind, str] = {
    "eat": "FOOD",
    "sip": "SPORTS_DRINK",
    "refill": "WATER",
    "pour_over": "GENERIC",
    "hands_on": "DANGER",
    "summit": "SUMMIT",
}
"""Of the profile's own list, course_point [FIT]_."""

MADE_BY = "terrain-fuel"
LONGEST_NAME_BYTES = 64


def refuse_without_fit_tool() -> None:
    """Raise OutputError if the package that writes FIT files is not installed."""
    if find_spec("fit_tool") is None:
        raise OutputError(
            "course.fit: cannot be written without the package fit-tool; install it with"
            ' pip install "terrain-fuel[fit]", or leave fit out'
        )


def write_fit(plan: Plan, path: Path, sips: bool = False, whole_line: bool = False) -> None:
    """Write the plan as one course.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``course.fit``
    sips : True for a course point at every sip too
    whole_line : True for every point of the route, False for as many as its line and profile need

    Raises
    ------
    OutputError
        If fit-tool is not installed, or the file cannot be written.

    Notes
    -----
    Messages stand in the order that the profile's description of a course file asks for: file_id, course,
    lap, a start, records with course points among them by time, a stop [FIT]_. Each message has the
    time at which the plan is there.
    """
    refuse_without_fit_tool()
    from fit_tool.fit_file_builder import FitFileBuilder
    from fit_tool.profile.messages.course_message import CourseMessage
    from fit_tool.profile.messages.event_message import EventMessage
    from fit_tool.profile.messages.file_id_message import FileIdMessage
    from fit_tool.profile.messages.lap_message import LapMessage
    from fit_tool.profile.messages.record_message import RecordMessage
    from fit_tool.profile.profile_type import Event, EventType, FileType, Manufacturer, Sport

    track, start_ms = plan.terrain.track, round(plan.day.start.timestamp()) * 1000
    elapsed_s = round(plan.totals.elapsed_s)
    builder = FitFileBuilder(auto_define=True, min_string_size=LONGEST_NAME_BYTES)

    head = FileIdMessage()
    head.type, head.manufacturer = FileType.COURSE, Manufacturer.DEVELOPMENT.value
    head.product, head.serial_number, head.time_created = 0, 1, start_ms
    head.product_name = _fitting("; ".join(filter(None, (MADE_BY, attribution(plan)))))
    builder.add(head)
    course = CourseMessage()
    course.course_name, course.sport = _fitting(course_title(plan)), Sport.CYCLING
    builder.add(course)
    lap = LapMessage()
    lap.timestamp = lap.start_time = start_ms
    lap.total_elapsed_time = lap.total_timer_time = float(elapsed_s)
    lap.total_distance = track.length_m
    east = east_deg(track.lon_deg)
    lap.start_position_lat, lap.start_position_long = float(track.lat_deg[0]), float(east[0])
    lap.end_position_lat, lap.end_position_long = float(track.lat_deg[-1]), float(east[-1])
    builder.add(lap)

    def add_event(kind: EventType, time_s: int) -> None:
        event = EventMessage()
        event.event, event.event_type, event.event_group = Event.TIMER, kind, 0
        event.timestamp = start_ms + 1000 * time_s
        builder.add(event)

    add_event(EventType.START, 0)
    on_the_way: list[Any] = []
    for time_s, lat, lon, height_m, at_m in ridden_line(plan, whole_line):
        record = RecordMessage()
        record.timestamp = start_ms + 1000 * round(time_s)
        record.position_lat, record.position_long = lat, lon
        record.altitude, record.distance = height_m, at_m
        on_the_way.append(record)
    on_the_way += [_message(mark, start_ms) for mark in course_points(plan, sips)]
    builder.add_all(sorted(on_the_way, key=lambda message: message.timestamp))
    add_event(EventType.STOP_DISABLE_ALL, elapsed_s)
    write_bytes(Path(path), builder.build().to_bytes())


def _message(mark: CoursePoint, start_ms: int) -> Any:
    from fit_tool.profile.messages.course_point_message import CoursePointMessage
    from fit_tool.profile.profile_type import CoursePoint as PointType

    point = CoursePointMessage()
    point.timestamp = start_ms + 1000 * round(mark.time_s)
    point.position_lat, point.position_long = mark.lat_deg, mark.lon_deg
    point.distance = mark.distance_m
    point.type = PointType[POINT_TYPES[mark.kind]]
    point.course_point_name = _fitting(mark.short)
    return point


def _fitting(text: str) -> str:
    """Return as much of a text as the field holds, in whole letters."""
    return text.encode()[: LONGEST_NAME_BYTES - 1].decode(errors="ignore")
