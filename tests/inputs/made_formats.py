"""One road in every format that riders have, made for the checks: by hand, and FIT by another library."""

import json
from collections.abc import Sequence
from datetime import UTC, datetime

from fit_tool.fit_file_builder import FitFileBuilder
from fit_tool.profile.messages.course_message import CourseMessage
from fit_tool.profile.messages.course_point_message import CoursePointMessage
from fit_tool.profile.messages.file_id_message import FileIdMessage
from fit_tool.profile.messages.record_message import RecordMessage
from fit_tool.profile.profile_type import CoursePoint, FileType, Manufacturer, Sport

from tests.inputs.made_files import Point, gpx_text, points_text

START_S = datetime(2027, 5, 8, 8, 0, tzinfo=UTC).timestamp()
TAP = (45.002, 7.001)


def gpx_bytes(points: Sequence[Point], name: str = "Hill") -> bytes:
    """Return a GPX file with a tap."""
    tap = f'<wpt lat="{TAP[0]}" lon="{TAP[1]}"><name>Tap</name><type>water</type></wpt>'
    track = f"<trk><name>{name}</name><trkseg>{points_text(points)}</trkseg></trk>"
    return gpx_text(tap + track).encode()


def _position(lat: float, lon: float) -> str:
    return (
        f"<Position><LatitudeDegrees>{lat}</LatitudeDegrees>"
        f"<LongitudeDegrees>{lon}</LongitudeDegrees></Position>"
    )


def tcx_bytes(points: Sequence[Point], name: str = "Hill", recorded: bool = False) -> bytes:
    """Return a TCX course with a tap and a turn, or a recording of the same road."""
    track = "".join(
        f"<Trackpoint><Time>2027-05-08T08:{i // 60:02d}:{i % 60:02d}Z</Time>{_position(lat, lon)}"
        f"{'' if height is None else f'<AltitudeMeters>{height}</AltitudeMeters>'}"
        f"{'<Extensions><x:TPX><x:Watts>200</x:Watts></x:TPX></Extensions>' if recorded else ''}</Trackpoint>"
        for i, (lat, lon, height) in enumerate(points)
    )
    course_points = "".join(
        f"<CoursePoint><Name>{called}</Name><Time>2027-05-08T08:00:00Z</Time>{_position(*TAP)}"
        f"<PointType>{kind}</PointType></CoursePoint>"
        for called, kind in (("Tap", "Water"), ("go left", "Left"))
    )
    body = (
        f"<Activities><Activity Sport='Biking'><Lap><Track>{track}</Track></Lap></Activity></Activities>"
        if recorded
        else f"<Courses><Course><Name>{name}</Name><Track>{track}</Track>{course_points}</Course></Courses>"
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?><TrainingCenterDatabase xmlns='
        '"http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2" xmlns:x='
        f'"http://www.garmin.com/xmlschemas/ActivityExtension/v2">{body}</TrainingCenterDatabase>'
    ).encode()


def kml_bytes(points: Sequence[Point], name: str = "Hill") -> bytes:
    """Return a KML file with a line and a tap."""
    line = "\n".join(
        ",".join(str(part) for part in (lon, lat, height) if part is not None) for lat, lon, height in points
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document>'
        f"<name>file</name><Placemark><name>{name}</name><LineString><altitudeMode>absolute</altitudeMode>"
        f"<coordinates>\n{line}\n</coordinates></LineString></Placemark><Placemark><name>Tap</name>"
        f"<description>water</description><Point><coordinates>{TAP[1]},{TAP[0]},0</coordinates></Point>"
        "</Placemark></Document></kml>"
    ).encode()


def geojson_bytes(points: Sequence[Point], name: str = "Hill") -> bytes:
    """Return a GeoJSON file with a line and a tap."""
    line = [[part for part in (lon, lat, height) if part is not None] for lat, lon, height in points]
    features = [
        {
            "type": "Feature",
            "properties": {"name": name},
            "geometry": {"type": "LineString", "coordinates": line},
        },
        {
            "type": "Feature",
            "properties": {"name": "Tap", "type": "water"},
            "geometry": {"type": "Point", "coordinates": [TAP[1], TAP[0]]},
        },
    ]
    return json.dumps({"type": "FeatureCollection", "features": features}).encode()


def fit_bytes(points: Sequence[Point], name: str = "Hill", recorded: bool = False, tap: str = "Tap") -> bytes:
    """Return a FIT course with a tap and a turn, or a recording of the same road; written by fit-tool."""
    builder = FitFileBuilder(auto_define=True, min_string_size=50)
    head = FileIdMessage()
    head.type = FileType.ACTIVITY if recorded else FileType.COURSE
    head.manufacturer = Manufacturer.DEVELOPMENT.value
    head.product, head.serial_number = 0, 1
    head.time_created = round(START_S * 1000)
    builder.add(head)
    if not recorded:
        course = CourseMessage()
        course.course_name, course.sport = name, Sport.CYCLING
        builder.add(course)
    for i, (lat, lon, height) in enumerate(points):
        record = RecordMessage()
        record.timestamp = round((START_S + i) * 1000)
        record.position_lat, record.position_long = lat, lon
        if height is not None:
            record.altitude = float(height)
        if recorded:
            record.power = 200
        builder.add(record)
    for called, kind in ((tap, CoursePoint.WATER), ("left", CoursePoint.LEFT)):
        if not recorded:
            point = CoursePointMessage()
            point.timestamp = round(START_S * 1000)
            point.position_lat, point.position_long = TAP
            point.course_point_name, point.type = called, kind
            builder.add(point)
    made: bytes = builder.build().to_bytes()
    return made


FORMATS = {
    "gpx": gpx_bytes, "tcx": tcx_bytes, "kml": kml_bytes, "geojson": geojson_bytes, "fit": fit_bytes,
}  # fmt: skip
