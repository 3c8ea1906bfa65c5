"""Even steps of the clock: what the body does has its own time constants, whatever the road does."""

from itertools import accumulate

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.model import Pace

STEP_S = 15.0


def even_clock(elapsed_s: float, step_s: float = STEP_S) -> FloatArray:
    """Return clock times from 0 to the finish at even steps near ``step_s`` [s], shape (m,)."""
    count = max(2, int(np.ceil(elapsed_s / step_s)) + 1)
    return np.linspace(0.0, elapsed_s, count)


def accumulate_spans(pace: Pace, riding_per_s: FloatArray, halted_per_s: float | FloatArray) -> FloatArray:
    """Return a quantity summed along the road from its rates, shape (n,), starting at 0.

    Parameters
    ----------
    pace : the ride, n nodes
    riding_per_s : shape (n - 1,), rate on each span while the wheels turn [unit/s]
    halted_per_s : rate while standing at a feed [unit/s]
    """
    riding_s = np.diff(pace.moving_s)
    halted_s = np.diff(pace.clock_s) - riding_s
    return np.concatenate([[0.0], np.cumsum(riding_per_s * riding_s + halted_per_s * halted_s)])


def follow_slowly(
    values: FloatArray, step_s: float, time_constant_s: float, first: float = 0.0
) -> FloatArray:
    """Return a first-order lag of values at even steps, same shape.

    Notes
    -----
    ``y += (x - y)(1 - exp(-step/tau))``, exact for a value held over the step.
    """
    gain = 1.0 - float(np.exp(-step_s / time_constant_s))
    lagged = accumulate(values.tolist(), lambda y, x: y + gain * (x - y), initial=first)
    next(lagged)
    return np.fromiter(lagged, dtype=np.float64, count=values.size)
