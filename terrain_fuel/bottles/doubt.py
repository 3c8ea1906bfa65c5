"""Doubt every refill: what happens if one is shut, and what to carry so that it does not matter."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import Leg, Refill
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML
from terrain_fuel.demand.model import Demand, Notice
from terrain_fuel.demand.places import say_place
from terrain_fuel.rider import Rider


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


def doubt_notices(demand: Demand, legs: tuple[Leg, ...], rider: Rider) -> tuple[Notice, ...]:
    """Return one notice for each doubtful tap, and one for the sure tap that would be missed most."""
    failures = refill_failures(legs)
    notices = [
        Notice(
            "unsure_refill",
            f"{each.refill.name} at {say_place(each.refill.at_m, rider)} may be shut:"
            f" {_advice(demand, each, rider)}",
        )
        for each in failures
        if not each.refill.sure
    ]
    sure = [each for each in failures if each.refill.sure and each.missing_ml > TOLERATED_SHORT_ML]
    if sure:
        worst = max(sure, key=lambda each: (each.missing_ml, -each.refill.at_m))
        notices.append(
            Notice(
                "refill_matters",
                f"This plan leans on {worst.refill.name} at {say_place(worst.refill.at_m, rider)};"
                f" should it be shut, {_advice(demand, worst, rider)}",
            )
        )
    return tuple(notices)


def _advice(demand: Demand, failure: Failure, rider: Rider) -> str:
    missing_ml = round(failure.missing_ml / 10.0) * 10
    if missing_ml <= 0:
        return "the bottles are filled so that it does not matter."
    at_finish = failure.upto_m >= demand.pace.terrain.length_m - 1.0
    upto = "the finish" if at_finish else say_place(failure.upto_m, rider)
    span_m = [failure.since_m, failure.upto_m]
    drunk_ml = float(np.diff(np.interp(span_m, demand.pace.distance_m, demand.fluid_target_ml))[0])
    share = 100.0 * missing_ml / max(1.0, drunk_ml)
    return (
        f"{missing_ml} ml are missing before {upto}: carry one more bottle, ask at a house early, or sip"
        f" {share:.0f} % less from {say_place(failure.since_m, rider)} on."
    )
