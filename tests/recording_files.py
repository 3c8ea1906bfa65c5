"""Recordings written as FIT, TCX and GPX by the tests' own writers, from the same columns."""

import struct
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from terrain_fuel.frozen import FloatArray

FIT_EPOCH = datetime(1989, 12, 31, tzinfo=UTC)
"""FIT counts seconds from here: the protocol's documentation, from memory."""

SEMICIRCLES = 2**31 / 180.0


@dataclass(frozen=True, slots=True, eq=False)
class Points:
    """What a device writes down; columns of shape (n,), NaN where it knows nothing."""

    start: datetime
    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    distance_m: FloatArray
    power_w: FloatArray
    heart_bpm: FloatArray
    temperature_c: FloatArray
    pauses_s: Sequence[tuple[float, float]] = field(default=())

    def moment(self, time_s: float) -> datetime:
        return self.start + timedelta(seconds=float(time_s))


def write_recording(points: Points, path: Path) -> Path:
    """Write the points in the format of the path's suffix."""
    writers = {".fit": fit_bytes, ".tcx": tcx_bytes, ".gpx": gpx_bytes}
    path.write_bytes(writers[path.suffix](points))
    return path


def gpx_bytes(points: Points) -> bytes:
    rows = [
        f'<trkpt lat="{points.lat_deg[i]:.7f}" lon="{points.lon_deg[i]:.7f}">'
        f"<ele>{points.elevation_m[i]:.1f}</ele><time>{points.moment(points.time_s[i]).isoformat()}</time>"
        f"<extensions><power>{points.power_w[i]:.0f}</power><x:TrackPointExtension>"
        f"<x:atemp>{points.temperature_c[i]:.0f}</x:atemp><x:hr>{points.heart_bpm[i]:.0f}</x:hr>"
        "</x:TrackPointExtension></extensions></trkpt>"
        for i in range(points.time_s.size)
    ]
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"'
        ' xmlns:x="urn:extension"><trk><name>made</name><type>cycling</type>'
        f"<trkseg>{''.join(rows)}</trkseg></trk></gpx>"
    ).encode()


def tcx_bytes(points: Points) -> bytes:
    rows = [
        f"<Trackpoint><Time>{points.moment(points.time_s[i]).isoformat()}</Time>"
        f"<Position><LatitudeDegrees>{points.lat_deg[i]:.7f}</LatitudeDegrees>"
        f"<LongitudeDegrees>{points.lon_deg[i]:.7f}</LongitudeDegrees></Position>"
        f"<AltitudeMeters>{points.elevation_m[i]:.1f}</AltitudeMeters>"
        f"<DistanceMeters>{points.distance_m[i]:.2f}</DistanceMeters>"
        f"<HeartRateBpm><Value>{points.heart_bpm[i]:.0f}</Value></HeartRateBpm>"
        f"<Extensions><x:TPX><x:Watts>{points.power_w[i]:.0f}</x:Watts></x:TPX></Extensions></Trackpoint>"
        for i in range(points.time_s.size)
    ]
    return (
        '<?xml version="1.0"?><TrainingCenterDatabase xmlns="urn:tcx" xmlns:x="urn:extension"><Activities>'
        '<Activity Sport="Biking"><Id>made</Id><Lap>'
        f"<DistanceMeters>{points.distance_m[-1]:.1f}</DistanceMeters>"
        f"<Track>{''.join(rows)}</Track></Lap></Activity></Activities></TrainingCenterDatabase>"
    ).encode()


# name, global number, fields as (number, size, base type, struct letter)
_FILE_ID = (0, ((0, 1, 0x00, "B"), (4, 4, 0x86, "I")))
_EVENT = (21, ((253, 4, 0x86, "I"), (0, 1, 0x00, "B"), (1, 1, 0x00, "B")))
_RECORD = (
    20,
    (
        (253, 4, 0x86, "I"), (0, 4, 0x85, "i"), (1, 4, 0x85, "i"), (2, 2, 0x84, "H"), (5, 4, 0x86, "I"),
        (7, 2, 0x84, "H"), (3, 1, 0x02, "B"), (13, 1, 0x01, "b"),
    ),
)  # fmt: skip
_SESSION = (
    18,
    (
        (253, 4, 0x86, "I"), (2, 4, 0x86, "I"), (5, 1, 0x00, "B"), (8, 4, 0x86, "I"), (9, 4, 0x86, "I"),
        (20, 2, 0x84, "H"), (16, 1, 0x02, "B"), (22, 2, 0x84, "H"),
    ),
)  # fmt: skip


def fit_bytes(points: Points, sport: int = 2, ascent_m: float = 0.0) -> bytes:
    """Return an activity: file_id, timer events, records, one session; sport 2 is cycling."""
    seconds = [round((points.moment(t) - FIT_EPOCH).total_seconds()) for t in points.time_s.tolist()]
    body = _defined(0, _FILE_ID) + _message(0, _FILE_ID, (4, seconds[0]))
    body += _defined(1, _EVENT) + _message(1, _EVENT, (seconds[0], 0, 0))
    body += _defined(2, _RECORD)
    pauses = [
        (round((points.moment(t) - FIT_EPOCH).total_seconds()), kind)
        for pause in points.pauses_s
        for t, kind in zip(pause, (4, 0), strict=True)
    ]
    for i, moment in enumerate(seconds):
        while pauses and pauses[0][0] <= moment:
            when, kind = pauses.pop(0)
            body += _message(1, _EVENT, (when, 0, kind))
        body += _message(2, _RECORD, (moment, *_record(points, i)))
    body += _message(1, _EVENT, (seconds[-1], 0, 4)) + _defined(3, _SESSION)
    paused_s = sum(until - since for since, until in points.pauses_s)
    timer_ms = round(1000 * (points.time_s[-1] - paused_s))
    means = (float(np.nanmean(points.power_w)), float(np.nanmean(points.heart_bpm)))
    body += _message(
        3,
        _SESSION,
        (seconds[-1], seconds[0], sport, timer_ms, round(100 * float(points.distance_m[-1])), round(means[0]),
         round(means[1]), round(ascent_m)),
    )  # fmt: skip
    head = struct.pack("<BBHI4s", 14, 0x20, 2132, len(body), b".FIT")
    whole = head + struct.pack("<H", _crc(head)) + body
    return whole + struct.pack("<H", _crc(whole))


def _record(points: Points, i: int) -> tuple[int, ...]:
    return (
        round(points.lat_deg[i] * SEMICIRCLES), round(points.lon_deg[i] * SEMICIRCLES),
        round((points.elevation_m[i] + 500.0) * 5.0), round(100.0 * points.distance_m[i]),
        round(points.power_w[i]), round(points.heart_bpm[i]), round(points.temperature_c[i]),
    )  # fmt: skip


Kind = tuple[int, tuple[tuple[int, int, int, str], ...]]


def _defined(local: int, kind: Kind) -> bytes:
    number, fields = kind
    listed = b"".join(struct.pack("<BBB", *each[:3]) for each in fields)
    return struct.pack("<BBBHB", 0x40 | local, 0, 0, number, len(fields)) + listed


def _message(local: int, kind: Kind, values: Sequence[int]) -> bytes:
    return struct.pack("<B" + "".join(each[3] for each in kind[1]), local, *values)


_CRC_TABLE = (
    0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401,
    0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400,
)  # fmt: skip


def _crc(data: bytes) -> int:
    """Return the protocol's checksum: CRC-16 with the reflected polynomial 0xA001, four bits at a time."""
    crc = 0
    for byte in data:
        crc = (crc >> 4) ^ _CRC_TABLE[(crc ^ byte) & 0xF]
        crc = (crc >> 4) ^ _CRC_TABLE[(crc ^ (byte >> 4)) & 0xF]
    return crc
