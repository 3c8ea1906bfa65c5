"""Between which times each place is reached by eight rides of ten."""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from terrain_fuel.frozen import FloatArray, value_at
from terrain_fuel.pace.halts import draw_halts
from terrain_fuel.pace.model import Pace

EARLY, LATE = 0.10, 0.90
"""One ride of ten comes before its window, one after."""

PLACES, RIDES, SEED = 49, 2000, 1
"""The windows are read off so many rides at so many places, always the same ones."""


@dataclass(frozen=True, slots=True, eq=False)
class Windows:
    """How much earlier and later than planned a ride may be at each node [s], shape (n,), not negative."""

    pace: Pace
    earlier_s: FloatArray
    later_s: FloatArray

    def at(self, distance_m: float) -> tuple[float, float]:
        """Return the earliest and the latest clock at a distance [s]."""
        road_m, clock_s = self.pace.distance_m, self.pace.clock_at(distance_m)
        return (
            clock_s - value_at(distance_m, road_m, self.earlier_s),
            clock_s + value_at(distance_m, road_m, self.later_s),
        )


@lru_cache(maxsize=1)
def lay_windows(pace: Pace) -> Windows:
    """Return the windows of a ride; kitchens tried one after another share them.

    Notes
    -----
    The moving time varies log-normally by what is not known of rider, bicycle, wind and road; halts
    nobody planned come on top and only ever delay, so a window reaches further forward than back.
    Planned halts are taken as they stand.
    """
    share = np.linspace(0.0, 1.0, PLACES)
    moving_s = pace.moving_time_s * share
    sd_s = np.interp(moving_s, pace.moving_s, np.hypot(pace.own_sd_s, pace.wind_sd_s))
    form, halted = _many_rides(pace.halt_share)
    relative_sd = sd_s / np.maximum(moving_s, 1.0)
    arrives_s = moving_s * np.exp(relative_sd * form[:, None]) + pace.moving_time_s * halted
    early_s, late_s = np.quantile(arrives_s, (EARLY, LATE), axis=0) - moving_s
    return Windows(
        pace=pace,
        earlier_s=np.interp(pace.moving_s, moving_s, np.maximum(-early_s, 0.0)),
        later_s=np.interp(pace.moving_s, moving_s, np.maximum(late_s, 0.0)),
    )


@cache
def _many_rides(halt_share: float) -> tuple[FloatArray, FloatArray]:
    """Return the form, shape (r,), and the halting up to each place, shape (r, m), of many rides."""
    rng = np.random.default_rng(SEED)
    form = rng.normal(0.0, 1.0, RIDES // 2)
    halts = draw_halts(rng, RIDES, halt_share)
    return np.concatenate((form, -form)), halts.up_to(np.linspace(0.0, 1.0, PLACES))
