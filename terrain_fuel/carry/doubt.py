"""Doubtful refills: what happens if one is shut, and what to carry so that it does not matter."""

import numpy as np

from terrain_fuel.carry.model import Leg
from terrain_fuel.demand.model import Demand, Notice


def doubt_notices(demand: Demand, legs: tuple[Leg, ...]) -> tuple[Notice, ...]:
    """Return one notice for each doubtful refill that the plan uses.

    What is left in all bottles on arrival must do until the next refill; the notice says how
    much would then be missing and how to save it beforehand.
    """
    notices = []
    for index, leg in enumerate(legs):
        if leg.refill is None or leg.refill.sure:
            continue
        before = _since_last_tap(legs, index)
        after = _until_next_tap(legs, index)
        left_ml = sum(load.level_ml for load in before[0].loads) - sum(part.planned_ml for part in before)
        wanted_ml = sum(part.planned_ml for part in after)
        place = f"{leg.refill.name} at km {leg.start_m / 1000:.0f} may be shut"
        advice = _advice(demand, before[0].start_m, after[-1].end_m, wanted_ml - left_ml)
        notices.append(Notice("unsure_refill", f"{place}: {advice}"))
    return tuple(notices)


def _since_last_tap(legs: tuple[Leg, ...], index: int) -> list[Leg]:
    part = [legs[index - 1]]
    while part[0].refill is not None and part[0].refill.kind == "pour_over":
        part.insert(0, legs[legs.index(part[0]) - 1])
    return part


def _until_next_tap(legs: tuple[Leg, ...], index: int) -> list[Leg]:
    part = [legs[index]]
    for leg in legs[index + 1 :]:
        if leg.refill is not None and leg.refill.kind == "tap":
            break
        part.append(leg)
    return part


def _advice(demand: Demand, from_m: float, to_m: float, missing_ml: float) -> str:
    short_ml = round(missing_ml / 10.0) * 10
    if short_ml <= 0:
        return "the bottles are filled so that it does not matter; ride on if it is"
    upto = "the finish" if to_m >= demand.pace.terrain.length_m - 1.0 else f"km {to_m / 1000:.0f}"
    drunk_ml = np.interp([from_m, to_m], demand.pace.distance_m, demand.fluid_target_ml)
    share = 100.0 * short_ml / max(1.0, float(drunk_ml[1] - drunk_ml[0]))
    return (
        f"then {short_ml} ml are missing up to {upto}; one more bottle of that size covers it,"
        f" or sip {share:.0f} % less from km {from_m / 1000:.0f} on, and ask for water earlier"
    )
