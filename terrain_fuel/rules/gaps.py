"""The road ridden between one bite and the next."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import Occasion, Road


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """The road ridden between one bite and the next; all shapes (before, places).

    ``gap_s`` is the clock time between them; ``crests_missed`` and ``feet_missed`` add up the
    sizes of the occasions that lie wholly between them.
    """

    gap_s: FloatArray
    crests_missed: FloatArray
    feet_missed: FloatArray


def missed(occasions: tuple[Occasion, ...], before_m: FloatArray, after_m: FloatArray) -> FloatArray:
    """Return the summed size of occasions that lie wholly between two bites.

    Parameters
    ----------
    occasions : in road order, their windows not overlapping
    before_m, after_m : shapes (b,) and (n,), where the earlier and the later bite stand [m]

    Returns
    -------
    array, shape (b, n)

    >>> top = Occasion(at_m=1000.0, start_m=800.0, end_m=1200.0, size=0.5)
    >>> missed((top,), np.array([0.0, 900.0]), np.array([1100.0, 2000.0]))
    array([[0. , 0.5],
           [0. , 0. ]])
    """
    size = np.concatenate(([0.0], np.cumsum([each.size for each in occasions])))
    ends = np.array([each.end_m for each in occasions])
    starts = np.array([each.start_m for each in occasions])
    passed = size[np.searchsorted(ends, after_m, side="left")]
    begun = size[np.searchsorted(starts, before_m, side="left")]
    return np.asarray(np.maximum(0.0, passed[None, :] - begun[:, None]))


def gaps_between(road: Road, before_m: FloatArray, before_s: FloatArray) -> Gap:
    """Return the gaps from each earlier bite to every place of the road."""
    return Gap(
        gap_s=road.clock_s[None, :] - before_s[:, None],
        crests_missed=missed(road.crests, before_m, road.distance_m),
        feet_missed=missed(road.feet, before_m, road.distance_m),
    )
