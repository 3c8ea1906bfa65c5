"""What keeps a plan from the carbohydrate that is wanted: the one factor that limits it."""

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from terrain_fuel.demand.model import Demand
from terrain_fuel.hands import Hands
from terrain_fuel.limits import LAST_FOOD_S
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint
from terrain_fuel.rider import Rider

Limiting = Literal["", "gut", "stock", "drink strength", "time", "places"]

HELD = 0.95
"""A plan that brings this share of what is wanted holds it: bites come whole."""

NEAR_LIMIT = 0.85
"""Hours this near the gut's limit have no room for the next bite."""

SHUT_SHARE = 0.35
"""A ride of which so much is shut to the hands has too few places."""


def limiting_factor(
    demand: Demand,
    hands: Hands,
    points: Sequence[FuelPoint],
    reserve: Mapping[str, int],
    rider: Rider,
    pantry: Pantry,
) -> Limiting:
    """Return what keeps the plan from what is wanted, "" where it holds it.

    Parameters
    ----------
    demand : what is wanted, and the clock
    hands : where eating is shut
    points : the plan's fuel points
    reserve : portions kept back, by item name
    rider, pantry : the gut's limit and the rhythm; the stock
    """
    hours = demand.pace.elapsed_s / 3600.0
    wanted_g = demand.carbohydrate_wanted_g_per_h * hours
    planned_g = sum(point.carbohydrate_g for point in points)
    missing_g = wanted_g - planned_g
    if planned_g >= HELD * wanted_g:
        return ""
    if demand.carbohydrate_wanted_g_per_h > rider.gut_limit_g_per_h:
        return "gut"
    if _left_g(points, reserve, pantry) < missing_g:
        return "stock"
    if (
        planned_g >= NEAR_LIMIT * rider.gut_limit_g_per_h * hours
        or _fullest_share(points, demand, rider) > 0.5
    ):
        return "gut"
    if not pantry.foods:
        return "drink strength"
    free_s = demand.pace.elapsed_s - 60.0 * rider.habits.first_food_min - LAST_FOOD_S.value
    if free_s < 3.0 * 60.0 * rider.habits.eat_every_min:
        return "time"
    shut = float(np.mean(np.interp(np.linspace(0, 1, 500), np.linspace(0, 1, hands.veto.size), hands.veto)))
    return "places" if shut > SHUT_SHARE else "gut"


def _left_g(points: Sequence[FuelPoint], reserve: Mapping[str, int], pantry: Pantry) -> float:
    """Return the carbohydrate in food at home that is neither planned nor kept back, no caffeine [g]."""
    left_g = 0.0
    for item in pantry.foods:
        if item.caffeine_mg == 0.0:
            eaten = sum(
                point.portions for point in points if point.action == "eat" and point.item == item.name
            )
            left = item.stock_portions - eaten - reserve.get(item.name, 0)
            left_g += max(0, left) * item.portion_carbohydrate_g
    return left_g


def _fullest_share(points: Sequence[FuelPoint], demand: Demand, rider: Rider) -> float:
    """Return the share of the bites that come at the end of an hour near the gut's limit."""
    times_s = np.array([point.time_s for point in points])
    grams = np.array([point.carbohydrate_g for point in points])
    ate = np.flatnonzero([point.action == "eat" for point in points])
    if ate.size == 0:
        return 0.0
    hours_g = [grams[(times_s > times_s[at] - 3600.0) & (times_s <= times_s[at] + 1.0)].sum() for at in ate]
    return float(np.mean(np.array(hours_g) >= NEAR_LIMIT * rider.gut_limit_g_per_h))
