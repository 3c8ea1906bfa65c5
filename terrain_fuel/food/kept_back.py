"""What is kept back from the stock before anything is planned, for the puncture that makes a ride longer."""

from collections.abc import Mapping

from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.frozen import value_at
from terrain_fuel.pantry import Item, Pantry

KEPT_FOR_PLAN = 1.25
"""Stock is left for the plan at this many times what it needs before anything is kept back: a plan
needs a choice (common practice, no source)."""


def reserve_need_g(demand: Demand, day: Day) -> float:
    """Return the carbohydrate that the reserve minutes would take at the ride's own rate [g]."""
    elapsed_s = demand.pace.elapsed_s
    if elapsed_s <= 0:
        return 0.0
    return float(demand.carbohydrate_target_g[-1]) * day.reserve_min * 60.0 / elapsed_s


def choose_reserve(
    demand: Demand,
    pantry: Pantry,
    day: Day,
    drink_g: float,
    lasts_to_m: float | None = None,
    *,
    breath_is_short: bool = False,
) -> Mapping[str, int]:
    """Return the portions kept back, by item name: whole items, never more than the plan can spare.

    Parameters
    ----------
    demand, pantry, day : need, stock, reserve minutes
    drink_g : carbohydrate that comes from bottles, which the stock of food need not bring [g]
    lasts_to_m : where food is first to be had on the way [m]: the stock is for the road up to there
    breath_is_short : True where what goes down without chewing is needed on the road; at a puncture one chews
    """
    need_g = reserve_need_g(demand, day)
    stock_g = sum(item.count * item.carbohydrate_g for item in pantry.foods)
    planned_g = max(0.0, float(demand.carbohydrate_target_g[-1]) - drink_g)
    if lasts_to_m is not None:
        upto_g = value_at(lasts_to_m, demand.pace.distance_m, demand.carbohydrate_target_g)
        planned_g = min(planned_g, upto_g)
    spare_g = max(0.0, stock_g - KEPT_FOR_PLAN * planned_g)
    wanted_g = min(need_g, spare_g)
    left = {item.name: item.count for item in _keepers(pantry)}
    kept: dict[str, int] = {}
    kept_g = 0.0
    while kept_g < wanted_g - 1e-9:
        # The item with most left per item in stock goes next, so that no choice is used up.
        options = [item for item in _keepers(pantry) if left[item.name] > 0]
        fitting = [item for item in options if kept_g + item.carbohydrate_g <= spare_g + 1e-9]
        if not fitting:
            break
        item = max(
            fitting,
            key=lambda each: (
                not (breath_is_short and each.traits.unchewed),
                left[each.name] / each.count,
                -each.traits.reserve_turn,
            ),
        )
        left[item.name] -= 1
        kept[item.name] = kept.get(item.name, 0) + item.portions
        kept_g += item.carbohydrate_g
    return kept


def _keepers(pantry: Pantry) -> list[Item]:
    """Return the foods fit for a reserve: no caffeine, and something in them."""
    return [item for item in pantry.foods if item.caffeine_mg == 0.0 and item.carbohydrate_g > 0.0]
