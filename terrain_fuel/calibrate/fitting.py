"""Drag, wind and, without a power meter, power sought so that the modelled ride takes the recorded times."""

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import least_squares

from terrain_fuel.calibrate.recording import Recording
from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ride import ride_with_power, set_pace
from terrain_fuel.pace.spread import WIND_SD_M_S
from terrain_fuel.rider import Rider

BLOCK_M = 500.0
"""Times are compared over blocks of this length [m]: longer than a corner, shorter than a hill."""

DRAG_SD, POWER_SD, CLIMB_SD = 0.15, 0.5, 0.15
"""How far drag, power, and the effort uphill beside that on the flat are likely to be from where the fit
begins, as natural logarithms: drag on the hoods 0.30 to 0.40 m2 [Wi04]_; power is nearly free."""

MOST_DOUBTS = 3.0
"""No unknown is sought farther from where it begins, in its own doubts."""

BLOCK_SD = 0.10
"""Share by which a block's time differs for reasons the model does not see; common practice (no source)."""

NEAR_ENOUGH = 1e-3
"""The search ends when no unknown moves by more, in its own doubts."""

DRAG_BOUNDS_M2, POWER_BOUNDS_W, EFFORT_BOUNDS, MOST_WIND_M_S = (0.15, 0.90), (50.0, 600.0), (0.2, 1.2), 15.0


@dataclass(frozen=True, slots=True)
class Fit:
    """A rider and a day whose modelled ride is nearest to a recorded one."""

    rider: Rider
    day: Day


def ride_fitted(recording: Recording, fit: Fit) -> Pace:
    """Return the modelled ride: with the measured power where there is one, else as intended."""
    if recording.pedal_w is None:
        return set_pace(recording.terrain, fit.rider, fit.day)
    return ride_with_power(recording.terrain, fit.rider, fit.day, recording.pedal_w)


def fit_ride(recording: Recording, rider: Rider, day: Day, part_m: tuple[float, float]) -> Fit:
    """Return the rider and the wind whose modelled times are nearest to the recorded ones on a part.

    Notes
    -----
    Each unknown is sought in units of its own doubt, from what was told: drag, the wind's two
    components, and without measured power the level of power and how much harder climbs are ridden.
    """
    recorded = block_times(recording.moving_s, recording, part_m)
    doubts = np.array([DRAG_SD, WIND_SD_M_S, WIND_SD_M_S, POWER_SD, CLIMB_SD])
    count = doubts.size if recording.pedal_w is None else 3

    def misses(steps: FloatArray) -> FloatArray:
        ridden = ride_fitted(recording, _stepped(rider, day, steps * doubts[:count]))
        off = np.log(block_times(ridden.moving_s, recording, part_m) / recorded) / BLOCK_SD
        return np.concatenate((off, steps))

    # a junction or a photograph makes a few blocks slow: soft_l1 lets them pass
    found = least_squares(
        misses,
        np.zeros(count),
        bounds=(-MOST_DOUBTS, MOST_DOUBTS),
        loss="soft_l1",
        diff_step=[1e-3] * count,
        x_scale=1.0,
        xtol=NEAR_ENOUGH,
        ftol=NEAR_ENOUGH**2,
    )
    return _stepped(rider, day, found.x * doubts[:count])


def _stepped(rider: Rider, day: Day, steps: FloatArray) -> Fit:
    """Return rider and day that far from what was told: logarithms, but metres a second for the wind."""
    drag, east, north, power, climb = [*steps.tolist(), 0.0, 0.0][:5]
    cda_m2 = float(np.clip(rider.bike.cda_m2 * math.exp(drag), *DRAG_BOUNDS_M2))
    ftp_w = float(np.clip(rider.ftp_w * math.exp(power), *POWER_BOUNDS_W))
    from_rad = math.radians(day.wind_from_deg)
    east += day.wind_m_s * math.sin(from_rad)
    north += day.wind_m_s * math.cos(from_rad)
    changed = replace(
        day,
        wind_m_s=min(math.hypot(east, north), MOST_WIND_M_S),
        wind_from_deg=math.degrees(math.atan2(east, north)) % 360.0,
        effort_climb=float(np.clip(day.effort_climb * math.exp(climb), *EFFORT_BOUNDS)),
    )
    return Fit(replace(rider, ftp_w=ftp_w, bike=replace(rider.bike, cda_m2=cda_m2)), changed)


def block_times(moving_s: FloatArray, recording: Recording, part_m: tuple[float, float]) -> FloatArray:
    """Return the time each block of a part of the road takes [s]."""
    blocks = max(int((part_m[1] - part_m[0]) / BLOCK_M), 1)
    ends = np.linspace(*part_m, blocks + 1)
    return np.diff(np.interp(ends, recording.terrain.profile.distance_m, moving_s))
