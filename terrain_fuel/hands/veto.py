"""Where no hand may leave the bars at all: inside safety flags and in time before them."""

from collections.abc import Iterable

import numpy as np

from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray
from terrain_fuel.limits import HANDS_BACK_M, HANDS_BACK_S
from terrain_fuel.pace.model import Pace


def veto_nodes(pace: Pace, cautions: Iterable[Caution]) -> BoolArray:
    """Return True at nodes inside a safety flag, or 200 m or 20 s of riding before one, shape (n,).

    The nodes just outside a flag's ends are inside it too, so that no place between nodes escapes.
    """
    road, moving = pace.distance_m, pace.moving_s
    veto = np.zeros(road.size, dtype=bool)
    for flag in cautions:
        if flag.hands_on:
            back_s = np.interp(flag.start_m, road, moving) - HANDS_BACK_S.value
            start_m = min(flag.start_m - HANDS_BACK_M.value, float(np.interp(back_s, moving, road)))
            first = max(int(np.searchsorted(road, start_m, side="right")) - 1, 0)
            last = min(int(np.searchsorted(road, flag.end_m, side="left")), road.size - 1)
            veto[first : last + 1] = True
    return veto
