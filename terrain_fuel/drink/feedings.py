"""When food arrives: bites, and drink whenever enough carbohydrate has come with it; and the gaps between."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from terrain_fuel.demand.model import Notice
from terrain_fuel.drink.sips import Sip
from terrain_fuel.food.model import Bite
from terrain_fuel.limits import FEEDS_G, OVER_GAP_MIN
from terrain_fuel.plan import Violation, broken
from terrain_fuel.rules.road import Road


def feeding_times_s(bites: Sequence[Bite], sips: Sequence[Sip]) -> list[float]:
    """Return the clock times at which food arrives, rising [s].

    Drink counts at the sip with which it has brought 8 g since the last food.
    """
    events = [(bite.clock_s, FEEDS_G.value) for bite in bites]
    events += [(sip.place.clock_s, sip.draught.carbohydrate_g) for sip in sips]
    times_s, came_g = [], 0.0
    for at_s, grams in sorted(events):
        came_g += grams
        if came_g >= FEEDS_G.value - 1e-9:
            times_s.append(at_s)
            came_g = 0.0
    return times_s


def over_gaps(
    bites: Sequence[Bite], sips: Sequence[Sip], road: Road
) -> tuple[tuple[Violation, ...], tuple[Notice, ...]]:
    """Return the gaps without food that are longer than the rider's longest.

    Returns
    -------
    those over by more than the tolerance as broken rules, the others as notices
    """
    times_s = [0.0, *feeding_times_s(bites, sips), max(road.last_bite_s, 0.0)]
    longest_min = road.longest_gap_s / 60.0
    violations, notices = [], []
    for start_s, end_s in pairwise(times_s):
        over_min = (end_s - start_s) / 60.0 - longest_min
        if over_min <= 1e-6:
            continue
        start_m, end_m = np.interp([start_s, end_s], road.clock_s, road.distance_m)
        sentence = (
            f"{over_min + longest_min:.0f} min without food between km {start_m / 1000:.1f} and"
            f" {end_m / 1000:.1f}, {max(1.0, over_min):.0f} more than the {longest_min:.3g} allowed"
        )
        if over_min <= OVER_GAP_MIN.value:
            notices.append(Notice("gap_slightly_over", sentence))
        else:
            violations.append(broken(OVER_GAP_MIN, float(start_m), float(end_m), over_min, "min", sentence))
    return tuple(violations), tuple(notices)
