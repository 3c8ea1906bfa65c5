"""Water gaps: where the bottles hold less than the body wants, by how much, and what would help."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import Leg
from terrain_fuel.bottles.refills import TOLERATED_SHORT_ML
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, Value, fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import LOSS_SHARE
from terrain_fuel.plan import Violation, broken
from terrain_fuel.rider import Rider

TYPICAL_BOTTLE_ML = 750.0
NEAR_M = 2000.0


@dataclass(frozen=True, slots=True)
class _Gap:
    """The road from tap to tap with what is wanted and planned on it."""

    start_m: float
    end_m: float
    wanted_ml: float
    planned_ml: float

    @property
    def short_ml(self) -> float:
        return self.wanted_ml - self.planned_ml


def water_gaps(
    demand: Demand, legs: tuple[Leg, ...], fluid_ml: FloatArray, rider: Rider
) -> tuple[tuple[Violation, ...], tuple[Fact, ...]]:
    """Return the gaps that the bottles cannot close, and those that only leave the rider thirsty.

    Parameters
    ----------
    demand : what is sweated and should be drunk
    legs : the road between refills, with what is wanted and planned on each
    fluid_ml : planned drink by each node, shape (n,)
    rider : body mass

    Notes
    -----
    A gap breaks a hard rule only when it takes the rider past a loss of 2 % of body mass
    [ACSM07]_ that drinking as wanted would have spared, or by 2 % more than that would.
    """
    allowed_ml = 1000.0 * LOSS_SHARE.value * rider.body_mass_kg
    wanted_loss_ml = demand.sweat_ml - demand.fluid_target_ml
    loss_ml = demand.sweat_ml - fluid_ml
    beyond = loss_ml > np.maximum(allowed_ml, wanted_loss_ml + TOLERATED_SHORT_ML)
    violations, notices = [], []
    for gap in _gaps(legs):
        if gap.short_ml <= TOLERATED_SHORT_ML:
            continue
        inside = (demand.pace.distance_m > gap.start_m) & (demand.pace.distance_m <= gap.end_m)
        sentence = _sentence(demand, gap)
        if np.any(beyond & inside):
            violations.append(broken(LOSS_SHARE, gap.start_m, gap.end_m, gap.short_ml, "ml", sentence))
        else:
            notices.append(fact("thirsty", shortage=sentence))
    return tuple(violations), tuple(notices)


def _gaps(legs: tuple[Leg, ...]) -> list[_Gap]:
    """Return the road from tap to tap, the legs beside a pour-over taken together."""
    gaps: list[_Gap] = []
    for leg in legs:
        if leg.refill is not None and leg.refill.kind == "pour_over" and gaps:
            last = gaps.pop()
            wanted_ml, planned_ml = last.wanted_ml + leg.wanted_ml, last.planned_ml + leg.planned_ml
            gaps.append(_Gap(last.start_m, leg.end_m, wanted_ml, planned_ml))
        else:
            gaps.append(_Gap(leg.start_m, leg.end_m, leg.wanted_ml, leg.planned_ml))
    return gaps


def _sentence(demand: Demand, gap: _Gap) -> Fact:
    """Return what is short, where, and what it would take: more bottles, or a refill by a certain place."""
    where: dict[str, Value] = {"short_ml": gap.short_ml, "start_m": gap.start_m, "end_m": gap.end_m}
    if gap.planned_ml <= 0.0:
        return fact("short_no_bottle", **where)
    bottles = int(np.ceil(gap.short_ml / TYPICAL_BOTTLE_ML))
    more = fact("one_more_bottle") if bottles == 1 else fact("more_bottles", count=bottles)
    distance_m, target_ml = demand.pace.distance_m, demand.fluid_target_ml
    at_ml = float(np.interp(gap.start_m, distance_m, target_ml))
    # Bottles drunk as wanted are dry here; a refill must come before it.
    dry_m = float(np.interp(at_ml + gap.planned_ml, target_ml, distance_m))
    if gap.short_ml <= gap.planned_ml:
        first_m = min(dry_m, float(np.interp(at_ml + gap.short_ml, target_ml, distance_m)))
        if dry_m - first_m < NEAR_M:
            return fact("short_refill_near", **where, more=more, near_m=first_m)
        return fact("short_refill_between", **where, more=more, first_m=first_m, last_m=dry_m)
    halts = int(np.ceil(gap.wanted_ml / gap.planned_ml)) - 1
    return fact("short_refills", **where, halts=halts, before_m=dry_m, more=more)
