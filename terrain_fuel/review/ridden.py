"""A recording laid out as a road: where it was ridden when, where it stood, what was given on it."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import convolve1d

from terrain_fuel.calibrate.riding import FASTEST_M_S, riding_time, without_rests
from terrain_fuel.equations.geodesy import geodesic_m
from terrain_fuel.errors import TrackError
from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns
from terrain_fuel.recorded import RecordedRide
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track

SHORTEST_HALT_S = 45.0
"""A shorter halt is a junction [s]: common practice (no source)."""

ONE_HALT_M, ONE_HALT_S = 40.0, 60.0
"""Halts so near in road and time are one."""

LEAST_STEP_M = 0.05
"""Points with less road between them are one place."""

KNOWN_SHARE = 0.9
"""So much of a ride must carry the device's own distance for it to be used."""

LONGEST_BRIDGE_S = 10.0
"""Over a longer gap a sensor's value is not carried on [s]."""

MOST_M = 2_000_000.0

REST_SHARE = 0.1
"""A span of which less road is left than this fell together with a rest."""

AROUND_POINTS = 15
"""The speed into and out of a rest is that of so many points before and after it."""


@dataclass(frozen=True, slots=True)
class Halt:
    """A halt: from when on [s], how long [s], where on the ridden road [m]."""

    start_s: float
    lasts_s: float
    ridden_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Ridden:
    """A recording as a road.

    Parameters
    ----------
    recorded : RecordedRide
    terrain : Terrain or None
        The ridden road; None where no place was recorded.
    track : Track or None
        Its points, those of a rest at one place.
    clock_s : array, shape (m,)
        When each of the track's points was passed, since the first of the recording [s].
    moving_s : array, shape (m,)
        Time in the saddle until then [s].
    halts : tuple of Halt
    """

    recorded: RecordedRide
    terrain: Terrain | None
    track: Track | None
    clock_s: FloatArray
    moving_s: FloatArray
    halts: tuple[Halt, ...]

    def __post_init__(self) -> None:
        freeze_columns(self, dict.fromkeys(("clock_s", "moving_s"), np.float64))

    @property
    def moving_time_s(self) -> float:
        """Time in the saddle [s]."""
        return float(self.moving_s[-1])

    @property
    def distance_m(self) -> float:
        """Length of the ridden road [m]."""
        return self.track.length_m if self.track is not None else 0.0

    def at_clock_m(self, clock_s: float) -> float:
        """Return how far the rider had come [m]."""
        return float(np.interp(clock_s, self.clock_s, self._road_m))

    def arrival_s(self, ridden_m: float) -> float:
        """Return when a place of the ridden road was reached [s]."""
        return float(np.interp(ridden_m, self._road_m, self.clock_s))

    @property
    def _road_m(self) -> FloatArray:
        return self.track.distance_m if self.track is not None else np.zeros(self.clock_s.size)


def lay_ride(recorded: RecordedRide) -> Ridden:
    """Return a recording as a road, or without one where it knows no places."""
    track = recorded_track(recorded) if recorded.has_positions else None
    if track is None:
        still = _in_a_room(recorded)
        return Ridden(recorded, None, None, recorded.time_s, still, _halts_in_pauses(recorded))
    calm = without_rests(track)
    lasted = riding_time(calm)
    moving_s = np.concatenate(([0.0], np.cumsum(lasted)))
    assert calm.time_s is not None
    return Ridden(recorded, measure_terrain(calm), calm, calm.time_s, moving_s, _halts(calm, lasted))


def recorded_track(recorded: RecordedRide) -> Track | None:
    """Return the points of a recording as a track with times and power, None if it never moved."""
    known = np.isfinite(recorded.lat_deg) & np.isfinite(recorded.lon_deg)
    first, last = np.flatnonzero(known)[[0, -1]]
    part = slice(int(first), int(last) + 1)
    time_s = recorded.time_s[part]
    lat, lon = (
        np.interp(time_s, recorded.time_s[known], of[known]) for of in (recorded.lat_deg, recorded.lon_deg)
    )
    road_m = _road(recorded, part, lat, lon)
    moved = _moved(road_m)
    if moved.sum() < 3:
        return None
    return Track(
        name=recorded.name,
        source=recorded.source,
        lat_deg=lat[moved],
        lon_deg=lon[moved],
        distance_m=road_m[moved] - road_m[moved][0],
        elevation_m=_bridged(time_s, recorded.elevation_m[part])[moved],
        interpolated=np.isnan(recorded.elevation_m[part])[moved],
        height_kind="barometer" if recorded.format != "GPX" else "unknown",
        time_s=time_s[moved],
        power_w=None if recorded.power_w is None else _mean_power(recorded, part, moved),
    )


def _road(recorded: RecordedRide, part: slice, lat: FloatArray, lon: FloatArray) -> FloatArray:
    """Return the road ridden until each point [m]: the device's own, or else from place to place."""
    time_s = recorded.time_s[part]
    most_m = min(MOST_M, FASTEST_M_S * float(time_s[-1] - time_s[0]))
    if recorded.distance_m is not None:
        own = recorded.distance_m[part]
        known = np.isfinite(own)
        if known.mean() >= KNOWN_SHARE and 0.0 < np.nanmax(own) - np.nanmin(own) < most_m:
            return np.maximum.accumulate(np.interp(time_s, time_s[known], own[known]))
    steps_m, _ = geodesic_m(lat[:-1], lon[:-1], lat[1:], lon[1:])
    road_m = np.concatenate(([0.0], np.cumsum(steps_m)))
    if road_m[-1] > most_m:
        raise TrackError(
            f"{recorded.source}: its places lie {road_m[-1] / 1000:.0f} km apart in"
            f" {(time_s[-1] - time_s[0]) / 3600:.1f} h; allowed are {most_m / 1000:.0f} km;"
            " export the recording again"
        )
    return road_m


def _moved(road_m: FloatArray) -> BoolArray:
    """Return which points lie farther on than the last that did, the first one too."""
    kept = np.zeros(road_m.size, dtype=np.bool_)
    last = -np.inf
    for index, here in enumerate(road_m.tolist()):
        if here - last >= LEAST_STEP_M:
            kept[index], last = True, here
    return kept


def _bridged(time_s: FloatArray, values: FloatArray) -> FloatArray:
    known = np.isfinite(values)
    return np.interp(time_s, time_s[known], values[known]) if known.any() else np.zeros(time_s.size)


def _mean_power(recorded: RecordedRide, part: slice, moved: BoolArray) -> FloatArray:
    """Return the mean power from each kept point to the one before, so that no work is lost [W]."""
    assert recorded.power_w is not None
    time_s = recorded.time_s[part]
    work_j = work_by_clock_j(recorded.time_s, recorded.power_w)[part][moved]
    took_s = np.diff(time_s[moved])
    return np.concatenate(([0.0], np.diff(work_j) / took_s))


def work_by_clock_j(time_s: FloatArray, power_w: FloatArray) -> FloatArray:
    """Return the work done until each point [J], none counted over gaps, shape (n,)."""
    took_s = np.diff(time_s)
    counted = np.where(took_s <= LONGEST_BRIDGE_S, np.nan_to_num(power_w[1:]) * took_s, 0.0)
    return np.concatenate(([0.0], np.cumsum(counted)))


def _halts(calm: Track, lasted: FloatArray) -> tuple[Halt, ...]:
    """Return the halts of a ride: where the clock went on and the road did not."""
    assert calm.time_s is not None
    took = np.diff(calm.time_s)
    around_s = _road_around_s(calm, lasted)
    stood = took - lasted - around_s
    halts: list[Halt] = []
    for span in np.flatnonzero(stood > 5.0).tolist():
        at_m, lasts_s = float(calm.distance_m[span]), float(stood[span])
        # a gap with road in it: nobody knows where in it the rider stood
        start_s = float(calm.time_s[span] + 0.5 * around_s[span])
        if halts and _is_one(halts[-1], start_s, at_m):
            before = halts.pop()
            start_s, at_m = before.start_s, before.ridden_m
            lasts_s = before.lasts_s + lasts_s
        halts.append(Halt(start_s, lasts_s, at_m))
    return tuple(halt for halt in halts if halt.lasts_s >= SHORTEST_HALT_S)


def _road_around_s(calm: Track, lasted: FloatArray) -> FloatArray:
    """Return how long the road took that fell together with a rest [s], for each span."""
    metres, _ = geodesic_m(calm.lat_deg[:-1], calm.lon_deg[:-1], calm.lat_deg[1:], calm.lon_deg[1:])
    lost_m = np.maximum(metres - np.diff(calm.distance_m), 0.0)
    kernel = np.ones(2 * AROUND_POINTS + 1)
    road_m = convolve1d(np.diff(calm.distance_m), kernel, mode="constant")
    ridden_s = convolve1d(lasted, kernel, mode="constant")
    fell = np.diff(calm.distance_m) < REST_SHARE * metres
    return np.asarray(np.where(fell, lost_m * ridden_s / np.maximum(road_m, 1.0), 0.0))


def _is_one(before: Halt, start_s: float, at_m: float) -> bool:
    gap_s = start_s - (before.start_s + before.lasts_s)
    return at_m - before.ridden_m < ONE_HALT_M and gap_s < ONE_HALT_S


def _in_a_room(recorded: RecordedRide) -> FloatArray:
    """Return the time until each point without pauses [s]."""
    still = recorded.time_s.copy()
    for since, until in recorded.pauses_s:
        still -= np.clip(recorded.time_s - since, 0.0, until - since)
    return still


def _halts_in_pauses(recorded: RecordedRide) -> tuple[Halt, ...]:
    return tuple(
        Halt(since, until - since, 0.0)
        for since, until in recorded.pauses_s
        if until - since >= SHORTEST_HALT_S
    )
