"""Sun and dusk along the ride: where it is ridden in the dark."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.sun import sun_heights
from terrain_fuel.facts import Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray, value_at
from terrain_fuel.pace.model import Pace

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


def dark_stretches(pace: Pace, day: Day) -> tuple[Caution, ...]:
    """Return cautions for the parts of the ride between sunset and sunrise."""
    clock, height = sun_heights(pace, day)
    edges_s = _crossings(clock, height)
    bounds = [0.0, *edges_s, pace.elapsed_s]
    found = []
    for start_s, end_s in pairwise(bounds):
        if end_s <= start_s or np.interp((start_s + end_s) / 2, clock, height) >= SUNSET_DEG:
            continue
        start_m, end_m = (value_at(s, pace.clock_s, pace.distance_m) for s in (start_s, end_s))
        if end_m > start_m:
            found.append(Caution("dark", start_m, end_m, False, _note(start_s, end_s, pace, day)))
    return tuple(found)


def _crossings(clock_s: FloatArray, height_deg: FloatArray) -> list[float]:
    above = height_deg >= SUNSET_DEG
    after = np.flatnonzero(above[1:] != above[:-1]) + 1
    share = (SUNSET_DEG - height_deg[after - 1]) / (height_deg[after] - height_deg[after - 1])
    return [float(s) for s in clock_s[after - 1] + share * (clock_s[after] - clock_s[after - 1])]


def _note(start_s: float, end_s: float, pace: Pace, day: Day) -> Fact:
    sets, rises = (day.start + timedelta(seconds=s) for s in (start_s, end_s))
    if start_s > 0.0 and end_s < pace.elapsed_s:
        return fact("dark_between", sets=sets, rises=rises)
    if start_s > 0.0:
        return fact("dark_at_the_end", sets=sets)
    if end_s < pace.elapsed_s:
        return fact("dark_at_the_start", rises=rises)
    return fact("dark_throughout")
