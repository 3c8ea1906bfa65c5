"""A GPX track as a recording, with the extensions for power, heart rate, cadence and temperature."""

import re

from lxml import etree

from terrain_fuel.inputs.recordings.columns import RawRecording
from terrain_fuel.inputs.recordings.xml_points import point_columns
from terrain_fuel.text import plain_text

LEAVES = {
    "ele": "elevation_m", "time": "time", "power": "power_w", "PowerInWatts": "power_w", "watts": "power_w",
    "hr": "heart_bpm", "heartrate": "heart_bpm", "cad": "cadence_rpm", "cadence": "cadence_rpm",
    "atemp": "temperature_c", "temp": "temperature_c",
}  # fmt: skip
"""Elements of a point and of the extensions that programs write into it, in whatever namespace."""

ANOTHER_SPORT = re.compile(
    r"\b(run|jog|walk|hik|trek|foot|swim|row|kayak|canoe|paddl|sail|surf|ski|snow|skat|climb|danc|yoga)",
    re.IGNORECASE,
)
BICYCLE = re.compile(r"bik|cycl|ride|riding|mtb|gravel", re.IGNORECASE)
"""A track's type is anybody's words [GPX11]_: it is of another sport only where it says so."""


def read_gpx_recording(root: etree._Element, name: str) -> RawRecording:
    """Return what the tracks of a GPX file [GPX11]_ recorded."""
    seconds, columns = point_columns(root, "trkpt", LEAVES, ("trkseg",))
    sport = (root.findtext("{*}trk/{*}type") or "").strip()
    named = plain_text(root.findtext("{*}trk/{*}name")) or plain_text(root.findtext("{*}metadata/{*}name"))
    if BICYCLE.search(sport) or not ANOTHER_SPORT.search(sport):
        sport = ""
    return RawRecording("GPX", named or name, seconds, columns, sport=plain_text(sport))
