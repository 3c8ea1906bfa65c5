"""The bottles of many rides replayed: what is poured, drunk, dropped and missing."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.plan import Plan
from terrain_fuel.simulate.draws import Draws


@dataclass(frozen=True, slots=True, eq=False)
class Drunk:
    """Shape (r, k): what each ride drank at each fuel point, and what it wanted but had not [ml]."""

    drunk_ml: FloatArray
    missing_ml: FloatArray


def replay_bottles(
    plan: Plan, draws: Draws, extra_ml: float = 0.0, mouthful_factor: float | FloatArray = 1.0
) -> Drunk:
    """Return what every ride drinks at every fuel point.

    Parameters
    ----------
    plan : its bottles and fuel points
    draws : r rides
    extra_ml : a further bottle of water, drunk from when the planned one is empty [ml]
    mouthful_factor : how large a mouthful is beside the planned one, one number or shape (r,)

    Notes
    -----
    A mouthful that its own bottle cannot give is taken from the fullest other bottle in reach.
    A dropped bottle is gone for good.
    """
    names = _bottle_names(plan)
    held = {bottle.name: bottle.holds_ml for bottle in plan.pantry.bottles}
    holds_ml = [held[name] for name in names]
    rides = draws.pace.size
    level = np.zeros((rides, len(names) + 1))
    level[:, -1] = extra_ml
    for fill in plan.bottles:
        if fill.at_m <= 0 and fill.container in names:
            level[:, names.index(fill.container)] += fill.fluid_ml
    lost = np.zeros_like(level, dtype=bool)
    falls = np.minimum((draws.dropped_which * max(len(names), 1)).astype(int), max(len(names) - 1, 0))
    shape = (rides, len(plan.fuel_points))
    drunk, missing = np.zeros(shape), np.zeros(shape)
    for index, point in enumerate(plan.fuel_points):
        fallen = draws.dropped_m <= point.distance_m
        lost[fallen, falls[fallen]] = True
        level[lost] = 0.0
        if point.fluid_ml <= 0 or point.container not in names:
            continue
        own = names.index(point.container)
        if point.action == "refill":
            poured = np.where(draws.taken[:, index] & ~lost[:, own], point.fluid_ml, 0.0)
            level[:, own] = np.minimum(level[:, own] + poured, holds_ml[own])
            continue
        wanted = np.where(draws.taken[:, index], mouthful_factor * point.fluid_ml, 0.0)
        drunk[:, index] = _drink(level, own, wanted)
        missing[:, index] = wanted - drunk[:, index]
    return Drunk(drunk, missing)


def _drink(level: FloatArray, own: int, wanted: FloatArray) -> FloatArray:
    """Take fluid from the own bottle, then from the fullest; return what was had, shape (r,) [ml]."""
    first = np.minimum(level[:, own], wanted)
    level[:, own] -= first
    rows = np.arange(level.shape[0])
    fullest = level.argmax(axis=1)
    second = np.minimum(level[rows, fullest], wanted - first)
    level[rows, fullest] -= second
    return np.asarray(first + second)


def _bottle_names(plan: Plan) -> list[str]:
    """Return the bottles that are drunk from or filled on the road, in the order they first appear."""
    names = (point.container for point in plan.fuel_points if point.action != "eat")
    return list(dict.fromkeys(names))
