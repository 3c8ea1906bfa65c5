"""A recording as a measured road with the time in the saddle and, where measured, the power on it."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.calibrate.riding import riding_time, without_rests
from terrain_fuel.errors import TrackError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.terrain.model import Terrain
from terrain_fuel.track import Track

SHORTEST_M = 5_000.0
"""A shorter recording says too little [m]."""

SLOWEST_RIDE_KMH, FASTEST_RIDE_KMH = 8.0, 60.0
"""Mean moving speeds that a road ride may have."""


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """A measured road as it was ridden.

    Moving time at its nodes [s], the time that was not ridden [s] and, where measured, power per span [W].
    """

    terrain: Terrain
    moving_s: FloatArray
    halted_s: float
    pedal_w: FloatArray | None


def read_recording(track: Track) -> Recording:
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
    elapsed_s = track.time_s[-1] - track.time_s[0]
    track = without_rests(track)
    lasted = riding_time(track)
    moving = np.concatenate(([0.0], np.cumsum(lasted)))
    speed_kmh = 3.6 * track.length_m / float(moving[-1])
    if not SLOWEST_RIDE_KMH <= speed_kmh <= FASTEST_RIDE_KMH:
        raise TrackError(
            f"{track.source}: moves at {speed_kmh:.1f} km/h on average; a road ride has"
            f" {SLOWEST_RIDE_KMH:g} to {FASTEST_RIDE_KMH:g} km/h; use the recording of a ride"
        )
    halted_s = max(float(elapsed_s - moving[-1]), 0.0)
    terrain = measure_terrain(track)
    at_nodes = np.interp(terrain.profile.distance_m, track.distance_m, moving)
    if track.power_w is None:
        return Recording(terrain, at_nodes, halted_s, None)
    work = np.concatenate(([0.0], np.cumsum(np.nan_to_num(track.power_w[1:]) * lasted)))
    done = np.diff(np.interp(terrain.profile.distance_m, track.distance_m, work))
    spent = np.maximum(np.diff(at_nodes), np.finfo(float).tiny)
    return Recording(terrain, at_nodes, halted_s, np.asarray(done / spent))
