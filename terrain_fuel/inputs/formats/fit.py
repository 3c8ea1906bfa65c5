"""FIT files as bare columns: courses, or the records of a recording."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

import numpy as np

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.fit_file import DEGREES_A_SEMICIRCLE, read_fit
from terrain_fuel.inputs.formats.gpx_points import Texts, degrees, heights, number, powers
from terrain_fuel.inputs.formats.raw_route import RawRoute, RawWaypoint
from terrain_fuel.inputs.formats.waypoint_places import (
    is_ours,
    places_of_the_road,
    refuse_too_many,
    waypoint_place,
)
from terrain_fuel.text import plain_text

TURNS = frozenset(
    ("left", "right", "straight", "left_fork", "right_fork", "middle_fork", "slight_left", "slight_right",
     "sharp_left", "sharp_right", "u_turn", "segment_start", "segment_end")
)  # fmt: skip
"""Course points of these types tell which way to go: no places to plan with."""

Message = Mapping[str, Any]


def fit_route(data: bytes, source: str) -> RawRoute:
    """Return the columns and course points of a FIT file [FIT]_.

    Parameters
    ----------
    data : what the file holds
    source : the file's name, for messages

    Returns
    -------
    RawRoute
        All records that have a position, as one track. Times are those of a recording: a course's are
        made up.

    Raises
    ------
    TrackError
        If the file is cut off or damaged, or a height is impossible.
    """
    file = read_fit(data, source, ("file_id", "course", "course_point", "record"))
    if file.damage:
        raise TrackError(
            f"{source}: is damaged or cut off: {file.damage}; download or export it again",
            fact("refused_damaged"),
        )
    waypoints = _course_points(file.messages["course_point"], source)
    ours = any(is_ours(str(head.get("product_name", ""))) for head in file.messages["file_id"])
    records = [record for record in file.messages["record"] if _is_placed(record)]
    is_recording = file.kind == "activity"
    name = next(
        (plain_text(str(course["name"])) for course in file.messages["course"] if "name" in course), ""
    )
    return RawRoute(
        name=name,
        source=source,
        lat_deg=degrees([_degrees(record, "position_lat") for record in records], "latitude", 90.0, source),
        lon_deg=degrees(
            [_degrees(record, "position_long") for record in records], "longitude", 180.0, source
        ),
        elevation_m=heights(
            [record.get("enhanced_altitude", record.get("altitude")) for record in records], source
        ),
        time_s=_times(records) if is_recording else None,
        power_w=_powers(records) if is_recording else None,
        waypoints=places_of_the_road(waypoints) if ours else waypoints,
        piece_starts=(0,) if records else (),
        piece_tracks=(1,) if records else (),
        track_names=(name,) if records else (),
    )


def _is_placed(message: Message) -> bool:
    return isinstance(message.get("position_lat"), int) and isinstance(message.get("position_long"), int)


def _degrees(message: Message, key: str) -> float:
    return float(message[key]) * DEGREES_A_SEMICIRCLE


def _times(records: Sequence[Message]) -> FloatArray | None:
    stamps = [record.get("timestamp") for record in records]
    seconds = np.array([stamp.timestamp() if isinstance(stamp, datetime) else np.nan for stamp in stamps])
    known = seconds[~np.isnan(seconds)]
    return seconds - known[0] if known.size else None


def _powers(records: Sequence[Message]) -> FloatArray | None:
    given: Texts = [number(record.get("power")) for record in records]
    return powers(given)


def _course_points(points: Sequence[Message], source: str) -> tuple[RawWaypoint, ...]:
    refuse_too_many(len(points), source)
    waypoints = []
    for i, point in enumerate(points):
        kind = str(point.get("type", ""))
        if kind in TURNS or not _is_placed(point):
            continue
        name = plain_text(str(point.get("name", "")))
        place = waypoint_place(
            _degrees(point, "position_lat"), _degrees(point, "position_long"), name or str(i + 1), source
        )
        waypoints.append(RawWaypoint(name, *place, type=plain_text(kind.replace("_", " "))))
    return tuple(waypoints)
