"""The road on which a bite may be taken: as good as at its place, and free of safety flags."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import Road

AS_GOOD_WITHIN = 0.35
"""A place is about as good when its rules cost no more than this above the best: a score of 0.7 of it."""

WINDOW_S = 180.0


def bite_window(
    road: Road,
    cost: FloatArray,
    node: int,
    earliest_s: float,
    latest_s: float,
) -> tuple[int, int]:
    """Return the first and last node of the road around a bite where it may be taken as well.

    Parameters
    ----------
    road : one place a node of the profile
    cost : what the place rules charge at every node, inf where forbidden, shape (road.size,)
    node : where the bite stands
    earliest_s, latest_s : clock outside which the gaps to the bites around it break a rule [s]

    Notes
    -----
    It reaches no further than three minutes either way: common practice (no source), about the
    kilometre by which bike computers disagree late in the day.
    """
    good = cost <= cost[node] + AS_GOOD_WITHIN
    good &= np.abs(road.clock_s - road.clock_s[node]) <= WINDOW_S
    good &= (road.clock_s >= earliest_s) & (road.clock_s <= latest_s)
    good[node] = True
    bad = np.flatnonzero(~good)
    at = int(np.searchsorted(bad, node))
    first = int(bad[at - 1]) + 1 if at > 0 else 0
    last = int(bad[at]) - 1 if at < bad.size else road.size - 1
    return first, last
