"""One pace for riders of unlike strength: what each has to give to stay with the others."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.errors import SettingsError
from terrain_fuel.pace.model import Pace
from terrain_fuel.pace.ridden import RiddenRoad
from terrain_fuel.pace.ride import set_pace
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

LEAST, MOST = 0.2, 1.2
"""Efforts that a day may ask for, as fractions of FTP."""

CLIMB_POWER, REST_POWER = 1.05, 2.5
"""By which power of the ratio of times an effort is changed at first: uphill speed grows about as the effort
does, elsewhere the air takes most of it. From then on the last two rounds say it. They set how fast the
search ends, not where."""

ROUNDS = 25
NEAR_S, NEAR_SHARE, TOLERATED_SHARE = 1.0, 1e-4, 0.005
"""The search ends this near [s], or by so small a share of the time; who is later by a larger share does not
stay with the bunch."""

DECIMALS = 4

LEAST_ANSWER = 1e-4
"""A change of time by a smaller share says nothing of the power."""


@dataclass(frozen=True, slots=True)
class BunchPace:
    """What a bunch takes in the saddle: on the climbs, and on all other road [s]."""

    climb_s: float
    rest_s: float

    @property
    def moving_s(self) -> float:
        """Time in the saddle [s]."""
        return self.climb_s + self.rest_s


def bunch_pace(terrain: Terrain, setters: Sequence[Rider], day: Day, time_s: float | None) -> BunchPace:
    """Return the pace of the slowest, or of a given time.

    Parameters
    ----------
    terrain : the stage's road
    setters : the riders who set the pace by the day's own efforts, each in their own shelter
    day : the day as its file has it
    time_s : time in the saddle that is given [s]; then the slowest one's efforts are raised or lowered alike
    """
    slowest = max((set_pace(terrain, rider, day) for rider in setters), key=lambda pace: pace.moving_time_s)
    taken = _split(slowest)
    if time_s is None:
        return taken
    share = time_s / taken.moving_s
    return BunchPace(taken.climb_s * share, taken.rest_s * share)


def ride_with(terrain: Terrain, rider: Rider, day: Day, asked: BunchPace) -> RiddenRoad:
    """Return the road ridden with the bunch, its day with the efforts by which the rider stays there.

    Parameters
    ----------
    terrain : the stage's road
    rider : with the share of the ride behind others that goes with the role
    day : as its file has it; its efforts are where the search begins
    asked : the bunch's pace

    Raises
    ------
    SettingsError
        If the rider cannot keep it.

    Notes
    -----
    Two efforts meet two times: all climbs together, and all other road together. At a single place the
    riders' clocks differ by what one climb is unlike another; at the finish they agree.
    """
    near_s = max(NEAR_S, NEAR_SHARE * asked.moving_s)
    flat, climb = _Search(day.effort_flat, REST_POWER), _Search(day.effort_climb, CLIMB_POWER)
    for _ in range(ROUNDS):
        trial = replace(day, effort_flat=flat.effort, effort_climb=climb.effort)
        pace = set_pace(terrain, rider, trial)
        found = _split(pace)
        if abs(found.climb_s - asked.climb_s) + abs(found.rest_s - asked.rest_s) <= near_s:
            break
        if asked.climb_s:
            climb.step(found.climb_s / asked.climb_s)
        flat.step(found.rest_s / asked.rest_s)
        if (flat.effort, climb.effort) == (trial.effort_flat, trial.effort_climb):
            break  # neither may be changed further
    late_s = found.moving_s - asked.moving_s
    if late_s > TOLERATED_SHARE * asked.moving_s:
        raise SettingsError(
            f"{rider.name}: cannot stay with the bunch, which takes {asked.moving_s / 60.0:.0f} min in the"
            f" saddle: {late_s / 60.0:.0f} min late even at {MOST:g} of FTP where the road asks for it; let"
            f" {rider.name} set the pace, give the bunch more time, or more shelter"
        )
    return RiddenRoad(pace, rider, trial)


class _Search:
    """An effort sought for a time, by how the time answered the last change of it."""

    def __init__(self, effort: float, power: float) -> None:
        self.effort, self._power, self._usual = effort, power, power
        self._before: tuple[float, float] | None = None

    def step(self, ratio: float) -> None:
        """Change the effort, by which a time of ``ratio`` times the one asked for was found."""
        if self._before is not None:
            effort, before = self._before
            answered = math.log(before / ratio)
            if abs(answered) > LEAST_ANSWER:
                power = math.log(self.effort / effort) / answered
                self._power = min(max(power, 0.5 * self._usual), 2.0 * self._usual)
        self._before = self.effort, ratio
        self.effort = round(_within(self.effort * ratio**self._power), DECIMALS)


def _split(pace: Pace) -> BunchPace:
    """Return the time on the climbs and the rest of it."""
    climbs = [stretch for stretch in pace.terrain.stretches if stretch.kind == "climb"]
    ends = np.array([(climb.start_m, climb.end_m) for climb in climbs]).reshape(-1, 2)
    clock = np.interp(ends, pace.distance_m, pace.moving_s)
    climb_s = float((clock[:, 1] - clock[:, 0]).sum())
    return BunchPace(climb_s, pace.moving_time_s - climb_s)


def _within(effort: float) -> float:
    return min(max(effort, LEAST), MOST)
