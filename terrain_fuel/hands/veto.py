"""Where no hand may leave the bars: safety flags and the way to them, leaned bends, steep and fast road."""

from collections.abc import Iterable

import numpy as np

from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray
from terrain_fuel.hands.bends import bend_spans
from terrain_fuel.limits import HANDS_BACK_M, HANDS_BACK_S
from terrain_fuel.pace.model import Pace

Span = tuple[float, float]


def shut_spans(pace: Pace, cautions: Iterable[Caution]) -> tuple[Span, ...]:
    """Return the road that is shut to eating and drinking [m], in road order.

    A safety flag shuts the 200 m or 20 s of riding before it too, whichever is longer; a bend
    ridden with a lean the 3 s before it.
    """
    flags = [_with_approach(pace, flag) for flag in cautions if flag.hands_on]
    return tuple(sorted((*flags, *bend_spans(pace))))


def shut_nodes(pace: Pace, spans: Iterable[Span]) -> BoolArray:
    """Return True at nodes inside a span, shape (n,).

    The nodes just outside a span's ends are inside it too, so that no place between nodes escapes.
    """
    road = pace.distance_m
    shut = np.zeros(road.size, dtype=bool)
    for start_m, end_m in spans:
        first = max(int(np.searchsorted(road, start_m, side="right")) - 1, 0)
        last = min(int(np.searchsorted(road, end_m, side="left")), road.size - 1)
        shut[first : last + 1] = True
    return shut


def _with_approach(pace: Pace, flag: Caution) -> Span:
    road, moving = pace.distance_m, pace.moving_s
    back_s = np.interp(flag.start_m, road, moving) - HANDS_BACK_S.value
    return min(flag.start_m - HANDS_BACK_M.value, float(np.interp(back_s, moving, road))), flag.end_m
