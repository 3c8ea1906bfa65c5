"""A real recorded ride: hill repeats in low mountains with a power meter and a barometric height.

The recording is an example file of the package that tests/data-packages.txt names (MIT licence);
the package itself is never imported.
"""

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path

import numpy as np
from lxml import etree

from terrain_fuel.frozen import FloatArray
from terrain_fuel.track import Track

PACKAGE = "sweat"
RECORDING = "activity_4078723797.tcx"

BODY_MASS_KG, TEMPERATURE_C, DEVICE_ASCENT_M = 81.0, 16.0, 1254.0
"""From the same ride as the device wrote it (FIT file beside it): the rider's mass in the user profile,
the mean of the recorded temperatures, and the ascent the device itself summed up from its barometer."""

PATHS = {
    "lat_deg": "{*}Position/{*}LatitudeDegrees",
    "lon_deg": "{*}Position/{*}LongitudeDegrees",
    "elevation_m": "{*}AltitudeMeters",
    "distance_m": "{*}DistanceMeters",
    "power_w": "{*}Extensions/{*}TPX/{*}Watts",
}


@dataclass(frozen=True, slots=True, eq=False)
class RecordedRide:
    """One record a second for 2 h 19 min and 57.6 km; columns have shape (n,).

    ``time_s`` counts from the first record [s]; ``distance_m`` is the device's own and stands
    still at halts [m]; ``elevation_m`` is barometric in steps of 0.2 m [m]; ``power_w`` is
    measured at the cranks [W].
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    distance_m: FloatArray
    power_w: FloatArray


@cache
def read_recorded_ride() -> RecordedRide:
    """Return the recorded ride.

    Raises
    ------
    RuntimeError
        If the package with the recording is not installed.
    """
    points = etree.parse(recording_path()).findall(".//{*}Trackpoint")
    columns = {
        name: np.array([float(point.findtext(path) or "nan") for point in points])
        for name, path in PATHS.items()
    }
    times = [datetime.fromisoformat(point.findtext("{*}Time") or "").timestamp() for point in points]
    return RecordedRide(time_s=np.array(times) - times[0], **columns)


def recorded_track(with_power: bool = True) -> Track:
    """Return the recorded ride as a track, without the seconds that stood still."""
    ride = read_recorded_ride()
    moved = np.concatenate(([True], np.diff(ride.distance_m) > 0.0))
    return Track(
        name="recorded",
        source=RECORDING,
        lat_deg=ride.lat_deg[moved],
        lon_deg=ride.lon_deg[moved],
        distance_m=ride.distance_m[moved],
        elevation_m=ride.elevation_m[moved],
        interpolated=np.zeros(int(moved.sum()), dtype=np.bool_),
        height_kind="barometer",
        time_s=ride.time_s[moved],
        power_w=ride.power_w[moved] if with_power else None,
    )


def recording_path() -> Path:
    """Return where the recording lies on this machine."""
    try:
        found = [file for file in files(PACKAGE) or () if file.name == RECORDING]
    except PackageNotFoundError:
        found = []
    if not found:
        raise RuntimeError("the recorded ride is missing; run `make test`, which installs it")
    return Path(str(found[0].locate()))
