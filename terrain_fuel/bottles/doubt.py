"""Doubt every refill: what happens if one is shut, and what to carry so that it does not matter."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import Leg, Refill
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, fact


@dataclass(frozen=True, slots=True)
class Failure:
    """A refill found shut: what is then missing before the next one [ml], and since when to save it."""

    refill: Refill
    missing_ml: float
    since_m: float
    upto_m: float


def refill_failures(legs: tuple[Leg, ...]) -> tuple[Failure, ...]:
    """Return what would be missing if each tap, alone, were shut.

    What all bottles still hold on arrival must then do until the next tap or the finish.
    """
    taps = [0, *(i for i, leg in enumerate(legs) if leg.refill is not None and leg.refill.kind == "tap")]
    ends = [*taps[1:], len(legs)]
    failures = []
    for before, tap, end in zip(taps[:-1], taps[1:], ends[1:], strict=True):
        refill = legs[tap].refill
        carried_ml = sum(load.level_ml for load in legs[before].loads)
        left_ml = carried_ml - sum(leg.planned_ml for leg in legs[before:tap])
        wanted_ml = sum(leg.planned_ml for leg in legs[tap:end])
        if refill is not None:
            missing_ml = max(0.0, wanted_ml - left_ml)
            failures.append(Failure(refill, missing_ml, legs[before].start_m, legs[end - 1].end_m))
    return tuple(failures)


def doubt_notices(demand: Demand, legs: tuple[Leg, ...]) -> tuple[Fact, ...]:
    """Return one notice for each doubtful tap, and one for the sure tap that would be missed most."""
    failures = refill_failures(legs)
    notices = [
        fact(
            "unsure_refill",
            place=each.refill.said,
            at_m=each.refill.at_m,
            advice=_advice(demand, each),
        )
        for each in failures
        if not each.refill.sure
    ]
    sure = [each for each in failures if each.refill.sure and each.missing_ml > TOLERATED_SHORT_ML]
    if sure:
        worst = max(sure, key=lambda each: (each.missing_ml, -each.refill.at_m))
        notices.append(
            fact(
                "refill_matters",
                place=worst.refill.said,
                at_m=worst.refill.at_m,
                advice=_advice(demand, worst),
            )
        )
    return tuple(notices)


def _advice(demand: Demand, failure: Failure) -> Fact:
    missing_ml = round(failure.missing_ml / 10.0) * 10
    if missing_ml <= 0:
        return fact("shut_does_not_matter")
    at_finish = failure.upto_m >= demand.pace.terrain.length_m - 1.0
    span_m = [failure.since_m, failure.upto_m]
    drunk_ml = float(np.diff(np.interp(span_m, demand.pace.distance_m, demand.fluid_target_ml))[0])
    return fact(
        "shut_leaves_short",
        missing_ml=missing_ml,
        upto=fact("the_finish") if at_finish else fact("that_place", at_m=failure.upto_m),
        less_share=missing_ml / max(1.0, drunk_ml),
        since_m=failure.since_m,
    )
