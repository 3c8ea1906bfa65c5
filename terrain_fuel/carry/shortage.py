"""Water gaps: where the bottles hold less than the body wants, by how much, and what would help."""

import numpy as np

from terrain_fuel.carry.model import Leg
from terrain_fuel.carry.refills import TOLERATED_SHORT_ML
from terrain_fuel.demand.fluid import LOSS_LIMIT_SHARE
from terrain_fuel.demand.model import Demand, Notice
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Violation
from terrain_fuel.rider import Rider

TYPICAL_BOTTLE_ML = 750.0


def water_gaps(
    demand: Demand, legs: tuple[Leg, ...], fluid_ml: FloatArray, rider: Rider, pantry: Pantry
) -> tuple[tuple[Violation, ...], tuple[Notice, ...]]:
    """Return the gaps that the bottles cannot close, and those that only leave the rider thirsty.

    Parameters
    ----------
    demand : what is sweated and should be drunk
    legs : the road between refills, with what is wanted and planned on each
    fluid_ml : planned drink by each node, shape (n,)
    rider, pantry : body mass; whether there are bottles at all

    Notes
    -----
    A gap breaks a hard rule only when it takes the rider past a loss of 2 % of body mass
    [ACSM07]_ that drinking as wanted would have spared, or by 2 % more than that would.
    """
    allowed_ml = 1000.0 * LOSS_LIMIT_SHARE * rider.body_mass_kg
    wanted_loss_ml = demand.sweat_ml - demand.fluid_target_ml
    loss_ml = demand.sweat_ml - fluid_ml
    beyond = loss_ml > np.maximum(allowed_ml, wanted_loss_ml + TOLERATED_SHORT_ML)
    violations, notices = [], []
    for start_m, end_m, wanted_ml, planned_ml in _between_taps(legs):
        short_ml = wanted_ml - planned_ml
        if short_ml <= TOLERATED_SHORT_ML:
            continue
        inside = (demand.pace.distance_m > start_m) & (demand.pace.distance_m <= end_m)
        sentence = _sentence(demand, start_m, end_m, wanted_ml, planned_ml, bool(pantry.bottles))
        if np.any(beyond & inside):
            violations.append(Violation(5, "water gap", start_m, end_m, short_ml, "ml", sentence))
        else:
            notices.append(
                Notice("thirsty", sentence + "; the loss stays below 2 % of body mass, so drink to thirst")
            )
    return tuple(violations), tuple(notices)


def _between_taps(legs: tuple[Leg, ...]) -> list[tuple[float, float, float, float]]:
    """Return (start, end, wanted, planned) from tap to tap, the legs beside a pour-over taken together."""
    spans: list[tuple[float, float, float, float]] = []
    for leg in legs:
        if leg.refill is not None and leg.refill.kind == "pour_over" and spans:
            start_m, _, wanted_ml, planned_ml = spans.pop()
            spans.append((start_m, leg.end_m, wanted_ml + leg.wanted_ml, planned_ml + leg.planned_ml))
        else:
            spans.append((leg.start_m, leg.end_m, leg.wanted_ml, leg.planned_ml))
    return spans


def _sentence(
    demand: Demand, start_m: float, end_m: float, wanted_ml: float, planned_ml: float, any_bottle: bool
) -> str:
    """Return what is short, where, and what it would take: more bottles, or a refill by a certain place."""
    short_ml = wanted_ml - planned_ml
    where = f"{_tens(short_ml)} ml short between km {start_m / 1000:.0f} and {end_m / 1000:.0f}"
    if not any_bottle:
        return f"{where}: there is no bottle; add one to the pantry"
    bottles = int(np.ceil(short_ml / TYPICAL_BOTTLE_ML))
    more = "one more bottle" if bottles == 1 else f"{bottles} more bottles"
    distance_m, target_ml = demand.pace.distance_m, demand.fluid_target_ml
    at_ml = np.interp(start_m, distance_m, target_ml)
    # Bottles drunk as wanted are dry here; a refill must come before it.
    dry_m = float(np.interp(at_ml + planned_ml, target_ml, distance_m))
    halts = int(np.ceil(wanted_ml / max(planned_ml, 1.0))) - 1
    if halts <= 1:
        first_m = float(np.interp(at_ml + short_ml, target_ml, distance_m))
        return (
            f"{where}: {more}, or a refill between km {min(first_m, dry_m) / 1000:.0f} and {dry_m / 1000:.0f}"
        )
    every_km = (dry_m - start_m) / 1000
    return f"{where}: a refill at least every {max(1.0, np.floor(every_km)):.0f} km, or {more}"


def _tens(value: float) -> int:
    return round(value / 10.0) * 10
