"""Recordings of strangers: known power, drag and wind, ridden, halted and written down by a receiver."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.limits import speed_limit
from terrain_fuel.pace.momentum import ride_spans
from terrain_fuel.pace.spans import lay_spans, span_grade
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Track
from tests.made_roads import Road, make_track


@dataclass(frozen=True, slots=True)
class Recorded:
    """A recording and what was true: rider, day, time in the saddle [s]."""

    track: Track
    rider: Rider
    day: Day
    moving_s: float


def record(
    road: Road,
    seed: int,
    wind_m_s: float = 0.0,
    halts_s: tuple[float, ...] = (240.0, 95.0),
    jitter_m: float = 0.0,
    paused: bool = False,
    with_power: bool = False,
    drag_m2: float | None = None,
) -> Recorded:
    """Return the recording of a stranger on a made road.

    Parameters
    ----------
    road, seed : where, and the chance in rider, legs, wind's direction and halts' places
    wind_m_s : the wind that blew and that nobody told of
    halts_s : how long each halt lasts [s]
    jitter_m : how far a standing receiver strays between its points, one each 5 s [m]; 0 for a
        device that stands still
    with_power : whether the device knows the power
    drag_m2 : the rider's drag area [m2]; None draws one
    paused : whether the device switched itself off 150 m before each halt and on again 150 m after it
    """
    rng = np.random.default_rng(seed)
    track = make_track(road, step_m=10.0)
    rider = replace(
        Rider(),
        ftp_w=float(rng.uniform(160.0, 280.0)),
        bike=replace(Rider().bike, cda_m2=float(rng.uniform(0.30, 0.44))),
    )
    if drag_m2 is not None:
        rider = replace(rider, bike=replace(rider.bike, cda_m2=drag_m2))
    day = Day(
        effort_flat=float(rng.uniform(0.6, 0.8)),
        effort_climb=float(rng.uniform(0.75, 0.95)),
        wind_m_s=wind_m_s,
        wind_from_deg=float(rng.uniform(0.0, 360.0)),
    )
    terrain = measure_terrain(track)
    profile = terrain.profile
    meant_w = intended_power(terrain, span_grade(profile), rider, day)
    pieces = np.asarray(profile.distance_m[1:] // 2500.0, dtype=np.int_)
    meant_w = meant_w * np.exp(rng.normal(0.0, 0.06, int(pieces[-1]) + 1))[pieces]
    ridden = ride_spans(lay_spans(profile, rider, day, meant_w), speed_limit(profile, rider, day))
    moving_s = np.concatenate(([0.0], np.cumsum(ridden.duration_s)))
    time_s = np.interp(track.distance_m, profile.distance_m, moving_s)
    power_w = np.interp(track.distance_m, profile.distance_m[1:], ridden.wheel_w / 0.97698)
    columns = {
        "lat_deg": track.lat_deg, "lon_deg": track.lon_deg, "elevation_m": track.elevation_m,
        "time_s": time_s, "power_w": power_w,
    }  # fmt: skip
    for at in sorted(rng.choice(np.arange(200, track.distance_m.size - 200), len(halts_s), replace=False))[
        ::-1
    ]:
        columns = _halt(columns, int(at), halts_s[int(at) % len(halts_s)], jitter_m, paused, rng)
    return Recorded(_laid(track, columns, with_power), rider, day, float(moving_s[-1]))


def _halt(
    columns: dict[str, FloatArray],
    at: int,
    lasts_s: float,
    jitter_m: float,
    paused: bool,
    rng: np.random.Generator,
) -> dict[str, FloatArray]:
    """Return the columns with a halt after a point."""
    later = {name: values.copy() for name, values in columns.items()}
    later["time_s"][at + 1 :] += lasts_s
    if paused:
        kept = np.abs(np.arange(later["time_s"].size) - at) > 15
        return {name: values[kept] for name, values in later.items()}
    if jitter_m == 0.0:
        return later
    count = int(lasts_s // 5.0)
    strays = {
        "lat_deg": rng.normal(0.0, jitter_m, count) / 111_000.0,
        "lon_deg": rng.normal(0.0, jitter_m, count) / 77_000.0,
    }
    standing = {name: np.full(count, columns[name][at]) + strays.get(name, 0.0) for name in columns}
    standing["time_s"] = columns["time_s"][at] + 5.0 * np.arange(1, count + 1) - 2.0
    standing["power_w"] = np.zeros(count)
    return {
        name: np.concatenate((later[name][: at + 1], standing[name], later[name][at + 1 :])) for name in later
    }


def _laid(track: Track, columns: dict[str, FloatArray], with_power: bool) -> Track:
    north_m = np.diff(columns["lat_deg"]) * 111_150.0
    east_m = np.diff(columns["lon_deg"]) * 111_412.0 * np.cos(np.radians(columns["lat_deg"][1:]))
    steps_m = np.maximum(np.hypot(north_m, east_m), 0.01)
    power_w = columns["power_w"] if with_power else None
    return replace(
        track,
        lat_deg=columns["lat_deg"],
        lon_deg=columns["lon_deg"],
        elevation_m=columns["elevation_m"],
        time_s=columns["time_s"],
        power_w=power_w,
        distance_m=np.concatenate(([0.0], np.cumsum(steps_m))),
        interpolated=np.zeros(columns["time_s"].size, dtype=np.bool_),
        height_kind="barometer",
        waypoints=(),
    )
