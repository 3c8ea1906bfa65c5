"""Steady power and drag fitted to the moving speed of a recording, judged on a part held out."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from terrain_fuel.calibrate.lines import settings_lines
from terrain_fuel.day import Day
from terrain_fuel.errors import TrackError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.model import WALKING_PACE_M_S, Pace
from terrain_fuel.pace.ride import ride_with_power, set_pace
from terrain_fuel.pace.spans import span_grade
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track

BLOCK_M = 500.0
"""Times are compared over blocks of this length [m]: longer than a corner, shorter than a hill."""

SHORTEST_M = 5_000.0
"""A shorter recording says too little [m]."""

FASTEST_M_S = 35.0
"""No span is taken to have been ridden faster: GPS jumps are [m/s]."""

SLOWEST_RIDE_KMH, FASTEST_RIDE_KMH = 8.0, 60.0
"""Mean moving speeds that a road ride may have."""

DRAG_SD, POWER_SD = 0.15, 0.5
"""How far drag and power are likely to be from where the fit begins, as natural logarithms: drag on
the hoods 0.30 to 0.40 m2 [Wi04]_; power is nearly free."""

BLOCK_SD = 0.10
"""Share by which a block's time differs for reasons the model does not see; common practice (no source)."""

DRAG_BOUNDS_M2 = (0.15, 0.90)
FTP_BOUNDS_W = (50.0, 600.0)


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a recording says about its rider.

    ``rider`` is the rider with ``ftp_w`` and ``cda_m2`` as fitted to the whole recording;
    ``ftp_w`` is the FTP at which the day's efforts ride like it, ``flat_w`` and ``climb_w`` those
    efforts [W]. ``held_out_error`` is how much longer (positive) or shorter the second half takes
    when fitted on the first half only, ``block_error`` the root mean square of the same for each
    half kilometre: shares of the time. ``power_measured`` tells that the recording held power, so
    that drag alone was fitted.
    """

    rider: Rider
    ftp_w: float
    cda_m2: float
    flat_w: float
    climb_w: float
    distance_m: float
    moving_time_s: float
    held_out_s: float
    held_out_error: float
    block_error: float
    power_measured: bool

    @property
    def moving_speed_m_s(self) -> float:
        """Mean speed while moving [m/s]."""
        return self.distance_m / self.moving_time_s

    @property
    def sentence(self) -> Fact:
        """What was found and how well it fits."""
        return fact(
            "calibrated_by_ride",
            speed_m_s=self.moving_speed_m_s,
            flat_w=self.flat_w,
            climb_w=self.climb_w,
            drag_m2=self.cda_m2,
            fitted=fact("fitted_drag") if self.power_measured else fact("fitted_power_and_drag"),
            off_share=abs(self.held_out_error),
            way=fact("slower") if self.held_out_error > 0 else fact("faster"),
            held_out_s=self.held_out_s,
            block_share=self.block_error,
        )

    @property
    def settings_lines(self) -> tuple[str, ...]:
        """Lines for the rider's settings file."""
        return settings_lines(self.ftp_w, self.cda_m2)


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """A measured road with the moving time at its nodes [s] and, where measured, power per span [W]."""

    terrain: Terrain
    moving_s: FloatArray
    pedal_w: FloatArray | None


def calibrate_ride(track: Track, rider: Rider, day: Day) -> Calibration:
    """Return steady power and drag fitted to a recording's moving speed.

    Parameters
    ----------
    track : a recording with ``time_s``; its ``power_w``, if any, is used instead of fitting power
    rider : mass, bicycle and habit downhill; ``ftp_w`` and ``cda_m2`` are where the fit begins
    day : the weather of the ride, and the shape of the effort: climbs against flats

    Raises
    ------
    TrackError
        If the recording has no times, is too short to say anything, or is no road ride.

    Notes
    -----
    Power decides the climbs, power and drag the flats, drag the descents; mass must be given.
    Wind that is not in ``day`` is taken for drag. Halts are left out: no span takes longer than at
    walking pace.
    """
    recording = read_recording(track, rider, day)
    length_m = recording.terrain.length_m
    first, second, whole = (0.0, length_m / 2), (length_m / 2, length_m), (0.0, length_m)
    ridden_half = _ride(recording, _fit(recording, rider, day, first), day)
    fitted = _fit(recording, rider, day, whole)
    held_out = _block_times(ridden_half.moving_s, recording, second)
    recorded = _block_times(recording.moving_s, recording, second)
    return Calibration(
        rider=fitted,
        ftp_w=fitted.ftp_w,
        cda_m2=fitted.bike.cda_m2,
        flat_w=fitted.ftp_w * day.effort_flat,
        climb_w=fitted.ftp_w * day.effort_climb,
        distance_m=length_m,
        moving_time_s=float(recording.moving_s[-1]),
        held_out_s=float(recorded.sum()),
        held_out_error=float(held_out.sum() / recorded.sum() - 1.0),
        block_error=float(np.sqrt(np.mean((held_out / recorded - 1.0) ** 2))),
        power_measured=recording.pedal_w is not None,
    )


def read_recording(track: Track, rider: Rider, day: Day) -> Recording:
    """Return the measured road of a recording with its moving time and power."""
    if track.time_s is None:
        raise TrackError(
            f"{track.source}: its points have no times; a recording of a ride has them; export the ridden"
            " track, not the planned route"
        )
    if track.length_m < SHORTEST_M:
        raise TrackError(
            f"{track.source}: is {track.length_m / 1000:.1f} km long; at least {SHORTEST_M / 1000:.0f} km are"
            " needed to tell power from drag; use a longer ride"
        )
    length = np.diff(track.distance_m)
    lasted = np.clip(np.diff(track.time_s), length / FASTEST_M_S, length / WALKING_PACE_M_S)
    moving = np.concatenate(([0.0], np.cumsum(lasted)))
    speed_kmh = 3.6 * track.length_m / float(moving[-1])
    if not SLOWEST_RIDE_KMH <= speed_kmh <= FASTEST_RIDE_KMH:
        raise TrackError(
            f"{track.source}: moves at {speed_kmh:.1f} km/h on average; a road ride has"
            f" {SLOWEST_RIDE_KMH:g} to {FASTEST_RIDE_KMH:g} km/h; use the recording of a ride"
        )
    terrain = measure_terrain(track)
    at_nodes = np.interp(terrain.profile.distance_m, track.distance_m, moving)
    if track.power_w is None:
        return Recording(terrain, at_nodes, None)
    work = np.concatenate(([0.0], np.cumsum(np.nan_to_num(track.power_w[1:]) * lasted)))
    done = np.diff(np.interp(terrain.profile.distance_m, track.distance_m, work))
    spent = np.maximum(np.diff(at_nodes), np.finfo(float).tiny)
    return Recording(terrain, at_nodes, np.asarray(done / spent))


def _ride(recording: Recording, rider: Rider, day: Day) -> Pace:
    """Return the modelled ride: with the measured power where there is one, else as intended."""
    if recording.pedal_w is None:
        return set_pace(recording.terrain, rider, day)
    return ride_with_power(recording.terrain, rider, day, recording.pedal_w)


def _fit(recording: Recording, rider: Rider, day: Day, part_m: tuple[float, float]) -> Rider:
    """Return the rider whose modelled times are nearest to the recorded ones on a part of the road."""
    recorded = _block_times(recording.moving_s, recording, part_m)
    free_power = recording.pedal_w is None
    begin = np.log([rider.bike.cda_m2, rider.ftp_w][: 1 + free_power])
    spread = np.array([DRAG_SD, POWER_SD])[: 1 + free_power]

    def misses(logs: FloatArray) -> FloatArray:
        ridden = _ride(recording, _changed(rider, logs), day)
        off = np.log(_block_times(ridden.moving_s, recording, part_m) / recorded) / BLOCK_SD
        return np.concatenate((off, (logs - begin) / spread))

    bounds = np.log([DRAG_BOUNDS_M2, FTP_BOUNDS_W][: 1 + free_power]).T
    begun_at = np.clip(begin, bounds[0] + 1e-6, bounds[1] - 1e-6)
    # a junction or a photograph makes a few blocks slow: soft_l1 lets them pass
    found = least_squares(
        misses, begun_at, bounds=(bounds[0], bounds[1]), loss="soft_l1", diff_step=[1e-4] * begin.size
    )
    fitted = _changed(rider, found.x)
    if recording.pedal_w is None:
        return fitted
    return replace(fitted, ftp_w=_equivalent_ftp(recording, recording.pedal_w, rider, day))


def _changed(rider: Rider, logs: FloatArray) -> Rider:
    """Return the rider with drag, and power where a second logarithm is given, replaced."""
    values = np.exp(logs).tolist()
    changed = replace(rider, bike=replace(rider.bike, cda_m2=values[0]))
    return replace(changed, ftp_w=values[1]) if len(values) > 1 else changed


def _equivalent_ftp(recording: Recording, pedal_w: FloatArray, rider: Rider, day: Day) -> float:
    """Return the FTP at which the day's efforts do the measured work where the road rises [W]."""
    grade = span_grade(recording.terrain.profile)
    time = np.diff(recording.moving_s) * (grade > 0.0)
    meant_j = float(np.sum(intended_power(recording.terrain, grade, rider, day) * time))
    if meant_j == 0.0:
        return rider.ftp_w
    return float(np.clip(rider.ftp_w * np.sum(pedal_w * time) / meant_j, *FTP_BOUNDS_W))


def _block_times(moving_s: FloatArray, recording: Recording, part_m: tuple[float, float]) -> FloatArray:
    """Return the time each block of a part of the road takes [s]."""
    blocks = max(int((part_m[1] - part_m[0]) / BLOCK_M), 1)
    ends = np.linspace(*part_m, blocks + 1)
    return np.diff(np.interp(ends, recording.terrain.profile.distance_m, moving_s))
