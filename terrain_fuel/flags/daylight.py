"""Sun and dusk along the ride: where it is ridden in the dark."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace

EVERY_S = 600.0
"""The sun's height is computed this often and interpolated [s]."""

SUNSET_DEG = -0.833
"""Height of the sun's centre at sunrise and sunset: its own radius and the bending of light in the air."""


@dataclass(frozen=True, slots=True)
class Daylight:
    """The daylight of a ride.

    ``sunrise`` and ``sunset`` are those of the day of the start, where it starts, in its own
    clock; None where the sun does not rise or set that day. ``start_dark`` and ``finish_dark``
    tell whether the sun is down at either end.
    """

    sunrise: datetime | None
    sunset: datetime | None
    start_dark: bool
    finish_dark: bool


def measure_daylight(pace: Pace, day: Day) -> Daylight:
    """Return sunrise, sunset and whether the ride starts or ends in the dark."""
    from astral import Observer
    from astral.sun import sunrise, sunset

    profile = pace.terrain.profile
    start = Observer(float(profile.lat_deg[0]), float(profile.lon_deg[0]))
    times: list[datetime | None] = []
    for event in (sunrise, sunset):
        try:
            times.append(event(start, day.start.date(), tzinfo=day.start.tzinfo or UTC))
        except ValueError:  # the sun stays up or down all that day
            times.append(None)
    _, height_deg = sun_heights(pace, day)
    return Daylight(times[0], times[1], bool(height_deg[0] < SUNSET_DEG), bool(height_deg[-1] < SUNSET_DEG))


def sun_heights(pace: Pace, day: Day) -> tuple[FloatArray, FloatArray]:
    """Return clock times [s] and the height of the sun's centre at them where the rider is [degrees].

    Notes
    -----
    Without refraction; by a library for the sun, offline. Mountains around are not in it.
    """
    from astral import Observer
    from astral.sun import elevation

    clock = np.linspace(0.0, pace.elapsed_s, max(int(np.ceil(pace.elapsed_s / EVERY_S)), 1) + 1)
    profile = pace.terrain.profile
    node = np.clip(np.searchsorted(pace.clock_s, clock), 0, profile.distance_m.size - 1)
    heights = [
        elevation(
            Observer(float(lat), float(lon)), day.start + timedelta(seconds=float(s)), with_refraction=False
        )
        for lat, lon, s in zip(profile.lat_deg[node], profile.lon_deg[node], clock, strict=True)
    ]
    return clock, np.array(heights)


def dark_stretches(pace: Pace, day: Day) -> tuple[Caution, ...]:
    """Return cautions for the parts of the ride between sunset and sunrise."""
    clock, height = sun_heights(pace, day)
    edges_s = _crossings(clock, height)
    bounds = [0.0, *edges_s, pace.elapsed_s]
    found = []
    for start_s, end_s in pairwise(bounds):
        if end_s <= start_s or np.interp((start_s + end_s) / 2, clock, height) >= SUNSET_DEG:
            continue
        start_m, end_m = (float(np.interp(s, pace.clock_s, pace.distance_m)) for s in (start_s, end_s))
        if end_m > start_m:
            found.append(Caution("dark", start_m, end_m, False, _note(start_s, end_s, pace, day)))
    return tuple(found)


def _crossings(clock_s: FloatArray, height_deg: FloatArray) -> list[float]:
    above = height_deg >= SUNSET_DEG
    after = np.flatnonzero(above[1:] != above[:-1]) + 1
    share = (SUNSET_DEG - height_deg[after - 1]) / (height_deg[after] - height_deg[after - 1])
    return [float(s) for s in clock_s[after - 1] + share * (clock_s[after] - clock_s[after - 1])]


def _note(start_s: float, end_s: float, pace: Pace, day: Day) -> str:
    sets, rises = (f"{day.start + timedelta(seconds=s):%H:%M}" for s in (start_s, end_s))
    if start_s > 0.0 and end_s < pace.elapsed_s:
        return f"The sun sets at {sets} and rises at {rises}: lights on, and food by touch."
    if start_s > 0.0:
        return f"The sun sets at {sets}, before the finish: lights on from here."
    if end_s < pace.elapsed_s:
        return f"The sun rises at {rises}, after the start: lights on until then."
    return "The whole ride is in the dark: lights on."
