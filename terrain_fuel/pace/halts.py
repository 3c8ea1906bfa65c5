"""Halts nobody planned: junctions, crossings, a chat, a puncture."""

import math
from dataclasses import dataclass

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider

RACE_SHARE = 0.2
"""What a race leaves of a rider's usual halting; common practice (no source)."""

PIECES = 5
"""Into so many halts, some of them very short, a ride's halting falls; common practice (no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Halts:
    """The unplanned halts of r rides, shape (r, k).

    After what share of the moving time, and how long, as shares of the moving time.
    """

    after: FloatArray
    lasts: FloatArray

    def up_to(self, share: FloatArray) -> FloatArray:
        """Return the halting before shares of the moving time, shape (m,) or (r, m) to (r, m)."""
        begun = self.after[:, None, :] < share[..., None]
        return np.asarray(np.sum(np.where(begun, self.lasts[:, None, :], 0.0), axis=2))


def usual_halting(rider: Rider, day: Day) -> float:
    """Return the median of a ride's unplanned halts as a share of its moving time."""
    return rider.habits.halting_min_per_h / 60.0 * (RACE_SHARE if day.purpose == "race" else 1.0)


def draw_halts(rng: np.random.Generator, rides: int, usual_share: float) -> Halts:
    """Return the halts of so many rides.

    Parameters
    ----------
    rng : source of chance
    rides : how many
    usual_share : median of a ride's halting as a share of its moving time

    Notes
    -----
    No published distribution was found; an exponential one is the plainest that never hastens a ride
    and has a long tail. Eleven recorded rides, which are not part of this project, halted for 11 % of
    their moving time at the median and for 64 % at most: of eleven draws with that median the longest
    is over 64 % once in five or six times. A ride's halting is cut at random into a few halts at
    places drawn evenly over the moving time, so early on most rides have hardly halted yet.
    """
    total = usual_share / math.log(2.0) * rng.exponential(1.0, rides)
    sizes = rng.exponential(1.0, (rides, PIECES))
    return Halts(
        after=rng.random((rides, PIECES)),
        lasts=total[:, None] * sizes / sizes.sum(axis=1, keepdims=True),
    )
