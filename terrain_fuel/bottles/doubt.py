"""Doubt every refill: what happens if one is shut, and what to carry so that it does not matter."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from terrain_fuel.bottles.model import Leg, Refill
from terrain_fuel.bottles.places import next_water_m, refills_on_road
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, fact

# Common practice (no source).
HEAT_C = 25.0
"""From here on nobody is told to drink less."""
MOST_LESS = 0.15
"""Nor anywhere by more than this share."""
MARK_ML = 50

DOUBTS = {False: "unsure_refill", True: "refill_matters"}
"""What is told of a tap by whether it is sure."""


@dataclass(frozen=True, slots=True)
class Failure:
    """A refill found shut: what is then missing before the next water [ml], and since when to save it."""

    refill: Refill
    missing_ml: float
    since_m: float
    upto_m: float

    @property
    def told_ml(self) -> int:
        """What is missing, to the mark that is told [ml]."""
        return round(self.missing_ml / MARK_ML) * MARK_ML

    @property
    def matters(self) -> bool:
        """True where so much is missing that it is worth a word."""
        return self.told_ml > TOLERATED_SHORT_ML


def refill_failures(demand: Demand, legs: tuple[Leg, ...], places: Sequence[Refill]) -> tuple[Failure, ...]:
    """Return what would be missing if each tap, alone, were shut.

    What all bottles still hold on arrival must then do until the next water on the road, used by
    the plan or not, or the finish.
    """
    taps = [0, *(i for i, leg in enumerate(legs) if leg.refill is not None and leg.refill.kind == "tap")]
    length_m = demand.pace.terrain.length_m
    failures = []
    for before, tap in pairwise(taps):
        refill = legs[tap].refill
        if refill is None:
            continue
        carried_ml = sum(load.level_ml for load in legs[before].loads)
        left_ml = carried_ml - sum(leg.planned_ml for leg in legs[before:tap])
        upto_m = next_water_m(places, refill, length_m)
        span_ml = np.interp([refill.at_m, upto_m], demand.pace.distance_m, demand.fluid_target_ml)
        missing_ml = max(0.0, float(span_ml[1] - span_ml[0]) - left_ml)
        failures.append(Failure(refill, missing_ml, legs[before].start_m, upto_m))
    return tuple(failures)


def doubt_notices(demand: Demand, legs: tuple[Leg, ...], day: Day) -> tuple[Fact, ...]:
    """Return one notice for each doubtful tap, and one for the sure tap that would be missed most."""
    failures = refill_failures(demand, legs, refills_on_road(demand.pace.terrain, day, demand.pace.local_s))
    notices = [_doubt(demand, each, day) for each in failures if not each.refill.sure]
    sure = [each for each in failures if each.refill.sure and each.matters]
    if sure:
        worst = max(sure, key=lambda each: (each.missing_ml, -each.refill.at_m))
        notices.append(_doubt(demand, worst, day))
    return tuple(notices)


def _doubt(demand: Demand, failure: Failure, day: Day) -> Fact:
    refill = failure.refill
    return fact(
        DOUBTS[refill.sure], place=refill.said, at_m=refill.at_m, advice=_advice(demand, failure, day)
    )


def _advice(demand: Demand, failure: Failure, day: Day) -> Fact:
    """Return what to do: nothing, a little less each time where it is cool, a spare bottle, a house."""
    at_finish = failure.upto_m >= demand.pace.terrain.length_m - 1.0
    upto = fact("the_finish") if at_finish else fact("that_place", at_m=failure.upto_m)
    if not failure.matters:
        return fact("shut_does_not_matter") if at_finish else fact("shut_next_water", at_m=failure.upto_m)
    span_m = [failure.since_m, failure.upto_m]
    drunk_ml = float(np.diff(np.interp(span_m, demand.pace.distance_m, demand.fluid_target_ml))[0])
    less_share = failure.missing_ml / max(1.0, drunk_ml)
    if less_share <= MOST_LESS and day.temperature_c < HEAT_C:
        since_m = failure.since_m
        return fact(
            "shut_sip_less", missing_ml=failure.told_ml, upto=upto, less_share=less_share, since_m=since_m
        )
    return fact("shut_leaves_short", missing_ml=failure.told_ml, upto=upto)
