"""What is told of a plan's bites: windows, reasons and what else each could have been."""

from collections.abc import Collection
from dataclasses import replace

from terrain_fuel.food.alternatives import find_alternatives
from terrain_fuel.food.model import Bite, FoodPlan
from terrain_fuel.food.prices import road_cost
from terrain_fuel.food.problem import curve_cost
from terrain_fuel.food.reasons import Told, explain_bites
from terrain_fuel.food.sizes import MOST_COMPARED
from terrain_fuel.food.windows import bite_window
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import Road


def tell_food(road: Road, food: FoodPlan, pinned_nodes: Collection[int] = ()) -> FoodPlan:
    """Return a plan whose bites have their windows, reasons and alternatives.

    Parameters
    ----------
    road : the road that the plan was made on
    food : a plan whose bites are chosen
    pinned_nodes : where the rider has set them
    """
    options = [food.task.options[option] for _, option in food.choices]
    why = explain_bites(road, food.task, [bite.place for bite in food.bites], options, pinned_nodes)
    cost = road_cost(road, food.task.menu.weights)
    told = tuple(_told(road, food, cost, at, each) for at, each in enumerate(why))
    if len(told) > MOST_COMPARED:
        return replace(food, bites=told)
    curve = curve_cost(food.task.problem)
    others = find_alternatives(food.task, curve, food.choices, food.objective)
    bites = tuple(replace(bite, alternatives=each) for bite, each in zip(told, others, strict=True))
    return replace(food, bites=bites)


def _told(road: Road, food: FoodPlan, cost: FloatArray, at: int, why: Told) -> Bite:
    """Return a bite with its window and its reasons."""
    bites = food.bites
    bite = bites[at]
    before_s = bites[at - 1].clock_s if at else 0.0
    after_s = bites[at + 1].clock_s if at + 1 < len(bites) else road.last_bite_s
    from_s, until_s = _caffeine_span_s(road, bite.place) if bite.caffeine_mg > 0 else (0.0, road.last_bite_s)
    first, last = bite_window(
        road,
        cost,
        bite.place,
        earliest_s=max(after_s - road.longest_gap_s, from_s),
        latest_s=min(before_s + road.longest_gap_s, road.last_bite_s, until_s),
    )
    return replace(
        bite,
        window_start_m=float(road.distance_m[first]),
        window_end_m=float(road.distance_m[last]),
        rules=why.rules,
        reason=why.reason,
        scores=tuple(why.scores.items()),
    )


def _caffeine_span_s(road: Road, node: int) -> tuple[float, float]:
    """Return the span of clock for caffeine that a bite with it lies in [s]."""
    clock_s = float(road.clock_s[node])
    return next(span for span in road.caffeine_spans_s if span[0] <= clock_s <= span[1])
