"""Where on a planned road a bite may stand, where it would cost, where none may: for moving one by hand."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.food.prices import place_cost
from terrain_fuel.plan import Plan
from terrain_fuel.rules.book import weights_for
from terrain_fuel.rules.road import survey_road

DEAR = float(np.log(2.0))
"""At so much more the rules think half as well of a place as of the best: common practice (no source)."""

Footing = Literal["free", "dear", "hands", "last"]
KINDS: tuple[Footing, ...] = ("free", "dear", "hands", "last")


@dataclass(frozen=True, slots=True)
class FoodSpan:
    """A stretch of road that is alike for a bite: ``hands`` stay on the bars, ``last`` is too late."""

    start_m: float
    end_m: float
    footing: Footing


def find_footing(plan: Plan) -> tuple[FoodSpan, ...]:
    """Return the whole road in spans, in order, each from the end of the one before."""
    nothing_drunk = np.zeros(plan.pace.clock_s.size)
    road = survey_road(plan.demand, plan.hands, nothing_drunk, plan.rider, plan.day)
    cost = place_cost(road, weights_for(plan.rider))
    kind = np.where(cost > cost.min() + DEAR, 1, 0)  # a ride too short for any bite has nothing but inf
    kind[road.veto | road.hands_on] = 2
    kind[road.clock_s > road.last_bite_s] = 3
    starts = np.concatenate(([0], np.flatnonzero(np.diff(kind)) + 1))
    edges_m = [*road.distance_m[starts].tolist(), float(road.distance_m[-1])]
    return tuple(
        FoodSpan(edges_m[at], edges_m[at + 1], KINDS[kind[start]])
        for at, start in enumerate(starts.tolist())
        if edges_m[at + 1] > edges_m[at]
    )
