"""A TCX activity as a recording, with the extension for power."""

from lxml import etree

from terrain_fuel.errors import TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.recordings.columns import RawRecording
from terrain_fuel.inputs.recordings.xml_points import point_columns
from terrain_fuel.text import plain_text

LEAVES = {
    "Time": "time", "LatitudeDegrees": "lat_deg", "LongitudeDegrees": "lon_deg",
    "AltitudeMeters": "elevation_m",
    "DistanceMeters": "distance_m", "Value": "heart_bpm", "Cadence": "cadence_rpm", "Watts": "power_w",
    "Temperature": "temperature_c",
}  # fmt: skip
"""Elements of a point [TCX2]_; the one value within a point is its heart rate."""


def read_tcx_recording(root: etree._Element, source: str, name: str) -> RawRecording:
    """Return what the activity of a TCX file recorded; of several the first.

    Raises
    ------
    TrackError
        If it holds no activity.
    """
    activity = root.find("{*}Activities/{*}Activity")
    if activity is None:
        raise TrackError(
            f"{source}: holds no recorded activity; a planned course is none; give the file of the ride",
            fact("refused_planned"),
        )
    seconds, columns = point_columns(activity, "Trackpoint", LEAVES, ("Lap", "Track"))
    named = plain_text(activity.findtext("{*}Notes"))
    return RawRecording("TCX", named or name, seconds, columns, sport=plain_text(activity.get("Sport")))
