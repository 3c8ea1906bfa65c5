"""When food arrives: bites, and drink whenever enough carbohydrate has come with it; and the gaps between."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from terrain_fuel.drink.model import Sip
from terrain_fuel.facts import Fact, fact
from terrain_fuel.food.model import Bite
from terrain_fuel.limits import FEEDS_G, OVER_GAP_MIN
from terrain_fuel.plan import Violation, broken
from terrain_fuel.rules.road import Road

WRITTEN_DIGITS, WRITTEN_G = 3, 0.003
"""Grams count as the plan writes them, to a milligram, and six sips of them may be so much short [g]: who
reads the plan counts the same."""
TOLD_MIN = 0.5
"""By less than half a minute no gap is too long: that is told as the longest gap itself."""


def feeding_times_s(bites: Sequence[Bite], sips: Sequence[Sip]) -> list[float]:
    """Return the clock times at which food arrives, rising [s].

    Drink counts at the sip with which it has brought 8 g since the last food.
    """
    events = [(bite.clock_s, FEEDS_G.value) for bite in bites]
    events += [(sip.place.clock_s, sip.draught.carbohydrate_g) for sip in sips]
    times_s, came_g = [], 0.0
    for at_s, grams in sorted(events):
        came_g += round(grams, WRITTEN_DIGITS)
        if came_g >= FEEDS_G.value - WRITTEN_G:
            times_s.append(at_s)
            came_g = 0.0
    return times_s


def over_gaps(
    bites: Sequence[Bite], sips: Sequence[Sip], road: Road
) -> tuple[tuple[Violation, ...], tuple[Fact, ...]]:
    """Return the gaps without food that are longer than the rider's longest; the first food has its own time.

    Returns
    -------
    those over by more than the tolerance as broken rules, the others as notices
    """
    times_s = [0.0, *feeding_times_s(bites, sips), max(road.last_bite_s, 0.0)]
    violations, notices = [], []
    for start_s, end_s in pairwise(times_s):
        first_s = road.first_food_s if start_s == 0.0 else 0.0
        longest_min = max(road.longest_gap_s, first_s) / 60.0
        over_min = (end_s - start_s) / 60.0 - longest_min
        if over_min < TOLD_MIN:
            continue
        start_m, end_m = np.interp([start_s, end_s], road.clock_s, road.distance_m)
        gap = fact(
            "long_gap",
            gap_min=over_min + longest_min,
            start_m=float(start_m),
            end_m=float(end_m),
            over_min=max(1.0, over_min),
            longest_min=longest_min,
        )
        if over_min <= OVER_GAP_MIN.value:
            notices.append(fact("gap_slightly_over", gap=gap))
        else:
            violations.append(broken(OVER_GAP_MIN, float(start_m), float(end_m), over_min, "min", gap))
    return tuple(violations), tuple(notices)
