"""Two real recorded rides: hill repeats in low mountains with a power meter, and 36 km of flat country
without one; both with a barometric height.

The recordings are example files of the package that tests/data-packages.txt names (MIT licence);
the package itself is never imported.
"""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path

import numpy as np
from lxml import etree

from terrain_fuel.calibrate import calibrate_ride
from terrain_fuel.day import Day
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.pace.windows import lay_windows
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track

PACKAGE = "sweat"
RECORDING = "activity_4078723797.tcx"
FLAT_RECORDING = "activity_4801048867.tcx"
"""The package holds no third road ride of 5 km and more: a run, a test of 0.7 km, and indoor rides."""

BODY_MASS_KG, TEMPERATURE_C, DEVICE_ASCENT_M = 81.0, 16.0, 1254.0
"""From the same ride as the device wrote it (FIT file beside it): the rider's mass in the user profile,
the mean of the recorded temperatures, and the ascent the device itself summed up from its barometer."""

START = datetime(2027, 5, 8, 8, 0, tzinfo=UTC)
"""An invented start for the files written from it."""

PATHS = {
    "lat_deg": "{*}Position/{*}LatitudeDegrees",
    "lon_deg": "{*}Position/{*}LongitudeDegrees",
    "elevation_m": "{*}AltitudeMeters",
    "distance_m": "{*}DistanceMeters",
    "power_w": "{*}Extensions/{*}TPX/{*}Watts",
}


@dataclass(frozen=True, slots=True, eq=False)
class RecordedRide:
    """One record a second, for 2 h 19 min and 57.6 km or 1 h 26 min and 36.3 km; columns have shape (n,).

    ``time_s`` counts from the first record [s]; ``distance_m`` is the device's own and stands
    still at halts [m]; ``elevation_m`` is barometric in steps of 0.2 m [m]; ``power_w`` is
    measured at the cranks [W], NaN on the flat ride.
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    elevation_m: FloatArray
    distance_m: FloatArray
    power_w: FloatArray


@cache
def read_recorded_ride(recording: str = RECORDING) -> RecordedRide:
    """Return a recorded ride.

    Raises
    ------
    RuntimeError
        If the package with the recording is not installed.
    """
    points = etree.parse(recording_path(recording)).findall(".//{*}Trackpoint")
    columns = {
        name: np.array([float(point.findtext(path) or "nan") for point in points])
        for name, path in PATHS.items()
    }
    times = [datetime.fromisoformat(point.findtext("{*}Time") or "").timestamp() for point in points]
    return RecordedRide(time_s=np.array(times) - times[0], **columns)


def recorded_track(with_power: bool = True, recording: str = RECORDING) -> Track:
    """Return a recorded ride as a track, without the seconds that stood still."""
    ride = read_recorded_ride(recording)
    moved = np.concatenate(([True], np.diff(ride.distance_m) > 0.0))
    return Track(
        name="recorded",
        source=recording,
        lat_deg=ride.lat_deg[moved],
        lon_deg=ride.lon_deg[moved],
        distance_m=ride.distance_m[moved],
        elevation_m=ride.elevation_m[moved],
        interpolated=np.zeros(int(moved.sum()), dtype=np.bool_),
        height_kind="barometer",
        time_s=ride.time_s[moved],
        power_w=ride.power_w[moved] if with_power else None,
    )


def recording_path(recording: str = RECORDING) -> Path:
    """Return where the recording lies on this machine."""
    try:
        found = [file for file in files(PACKAGE) or () if file.name == recording]
    except PackageNotFoundError:
        found = []
    if not found:
        raise RuntimeError("the recorded ride is missing; run `make test`, which installs it")
    return Path(str(found[0].locate()))


def half_of(track: Track, second: bool) -> Track:
    """Return one half of a recording as a recording of its own."""
    middle = int(np.searchsorted(track.distance_m, 0.5 * track.length_m))
    part = slice(middle, None) if second else slice(0, middle + 1)
    assert track.time_s is not None
    return replace(
        track,
        lat_deg=track.lat_deg[part],
        lon_deg=track.lon_deg[part],
        elevation_m=track.elevation_m[part],
        interpolated=track.interpolated[part],
        power_w=None if track.power_w is None else track.power_w[part],
        distance_m=track.distance_m[part] - track.distance_m[part][0],
        time_s=track.time_s[part] - track.time_s[part][0],
    )


def windows_met(recording: str, body_mass_kg: float, second: bool) -> BoolArray:
    """Return whether the clock of one half of a recording lies inside the windows of a plan made from the
    other half: one place each ten minutes, shape (k,).

    Notes
    -----
    The plan knows power, drag and mass, as after a ride with a recording; it knows nothing of wind and
    of halts, and the recording's power is not used.
    """
    track = recorded_track(with_power=False, recording=recording)
    rider = replace(Rider(), body_mass_kg=body_mass_kg)
    known, road = half_of(track, not second), half_of(track, second)
    found = calibrate_ride(known, rider, Day())
    rider = replace(rider, ftp_w=250.0, bike=replace(rider.bike, cda_m2=found.cda_m2))
    day = Day(effort_flat=found.flat_w / 250.0, effort_climb=found.climb_w / 250.0)
    windows = lay_windows(set_pace(measure_terrain(road), rider, day))
    assert road.time_s is not None
    clock_s = np.arange(600.0, road.time_s[-1], 600.0)
    edges = np.array([windows.at(float(m)) for m in np.interp(clock_s, road.time_s, road.distance_m)])
    return np.asarray((edges[:, 0] <= clock_s) & (clock_s <= edges[:, 1]))


def recorded_gpx(with_power: bool) -> str:
    """Return the hilly ride as a GPX file with times, every fifth second, and power if wanted."""
    ride = read_recorded_ride()
    points = [
        f'<trkpt lat="{ride.lat_deg[i]:.7f}" lon="{ride.lon_deg[i]:.7f}"><ele>{ride.elevation_m[i]:.1f}</ele>'
        f"<time>{(START + timedelta(seconds=float(ride.time_s[i]))).isoformat()}</time>"
        + (
            f"<extensions><power>{ride.power_w[i : i + 5].mean():.0f}</power></extensions>"
            if with_power
            else ""
        )
        + "</trkpt>"
        for i in range(0, ride.time_s.size, 5)
    ]
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{''.join(points)}</trkseg></trk></gpx>"
    )
