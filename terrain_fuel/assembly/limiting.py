"""What keeps a plan from the carbohydrate that is wanted: the one factor that limits it."""

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from terrain_fuel.bottles.strength import millilitre_of
from terrain_fuel.day import Day
from terrain_fuel.demand.intake import fills_hours
from terrain_fuel.demand.model import Demand
from terrain_fuel.hands import Hands
from terrain_fuel.limits import LAST_FOOD_S
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import FuelPoint
from terrain_fuel.rider import Rider

Limiting = Literal["", "gut", "portions", "stock", "drink strength", "time", "places", "rhythm", "room"]

HELD, FULL_HELD = 0.93, 0.98
"""A plan that brings this share of what is wanted holds it: bites come whole. A race that wants about all
that the gut takes is told what little is missing, and why."""

NEAR_LIMIT = 0.8
"""A plan this near to the gut's limit is held by it, one farther off by pieces too large to fit."""

MOSTLY, LOOKED_AT_S = 0.5, 60.0
"""Where for more of the time than this there is no room for a bite, asked every minute, it is the gut's."""

FEW_BITES, SHUT_SHARE = 4.0, 0.35
"""A ride of which so much is shut to the hands has too few places."""

NEARLY_ALL = 0.8
"""Mix of which so much is drunk has come to its end: what is left in a packet is no bottle."""

STRONG = 0.9
"""Mix that is drunk at this share of the packet's strength is as strong as the packet allows."""

HOUR_S = 3600.0


def limiting_factor(
    demand: Demand,
    hands: Hands,
    points: Sequence[FuelPoint],
    reserve: Mapping[str, int],
    rider: Rider,
    pantry: Pantry,
    day: Day,
) -> Limiting:
    """Return what keeps the plan from what is wanted, "" where it holds it.

    Parameters
    ----------
    demand : what is wanted, and the clock
    hands : where eating is shut
    points : the plan's fuel points
    reserve : portions kept back, by item name
    rider, pantry, day : the gut's limit and the rhythm; the stock; whether it is a race
    """
    hours = demand.pace.elapsed_s / 3600.0
    wanted_g = demand.carbohydrate_wanted_g_per_h * hours
    planned_g = sum(point.carbohydrate_g for point in points)
    missing_g = wanted_g - planned_g
    held = FULL_HELD if fills_hours(wanted_g, hours, rider, day) else HELD
    if planned_g >= held * wanted_g:
        return ""
    if demand.carbohydrate_wanted_g_per_h > rider.gut_limit_g_per_h:
        return "gut"
    near = planned_g >= NEAR_LIMIT * rider.gut_limit_g_per_h * hours
    thinned = _strength_share(points, pantry) < STRONG
    if not any(item.caffeine_mg == 0.0 for item in pantry.foods):
        if _mix_g(pantry) <= wanted_g and planned_g >= NEARLY_ALL * _mix_g(pantry):
            return "stock"
        return "gut" if thinned and near else "drink strength"
    left_g = _left_g(points, reserve, pantry)
    if left_g < missing_g:
        drunk_g = sum(point.carbohydrate_g for point in points if point.action == "sip")
        if left_g + max(0.0, _mix_g(pantry) - drunk_g) < missing_g:
            return "room" if pantry.left else "stock"
        if not thinned:
            return "drink strength"
    if _full_share(points, demand.pace.elapsed_s, rider, pantry) > MOSTLY:
        return "gut" if near else "portions"
    free_s = demand.pace.elapsed_s - 60.0 * rider.habits.first_food_min - LAST_FOOD_S.value
    if free_s < FEW_BITES * 60.0 * rider.habits.eat_every_min:
        return "time"
    return "places" if _shut_share(demand, hands) > SHUT_SHARE else "rhythm"


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


def _mix_g(pantry: Pantry) -> float:
    """Return the carbohydrate in the drinks at home [g]."""
    return sum(item.count * item.carbohydrate_g for item in pantry.items if item.traits.brings_energy)


def _strength_share(points: Sequence[FuelPoint], pantry: Pantry) -> float:
    """Return how strong the mix is that is drunk, as a share of the packet's; 0 where none is."""
    mixed = [(point, millilitre_of(pantry.item(point.item))) for point in points if point.action == "sip"]
    at_most_g = sum(point.fluid_ml * drink.carbohydrate_g for point, drink in mixed)
    drunk_g = sum(point.carbohydrate_g for point, drink in mixed if drink.carbohydrate_g > 0.0)
    return drunk_g / at_most_g if at_most_g > 0.0 else 0.0


def _full_share(points: Sequence[FuelPoint], elapsed_s: float, rider: Rider, pantry: Pantry) -> float:
    """Return the share of the time for food at which some hour has no room for the smallest bite more."""
    smallest_g = min(item.portion_carbohydrate_g for item in pantry.foods)
    moments_s = np.arange(60.0 * rider.habits.first_food_min, elapsed_s - LAST_FOOD_S.value, LOOKED_AT_S)
    if moments_s.size == 0:
        return 0.0
    times_s = np.array([point.time_s for point in points])
    grams = np.array([point.carbohydrate_g for point in points])
    begins_s = np.concatenate((times_s, moments_s))  # of the hours that are fullest
    in_hour = (times_s >= begins_s[:, None]) & (times_s < begins_s[:, None] + HOUR_S)
    holds = (begins_s <= moments_s[:, None]) & (begins_s > moments_s[:, None] - HOUR_S)
    fullest_g = np.max(np.where(holds, in_hour @ grams, 0.0), axis=1)
    return float(np.mean(fullest_g + smallest_g > rider.gut_limit_g_per_h))


def _shut_share(demand: Demand, hands: Hands) -> float:
    """Return the share of the riding time that is shut to eating."""
    spent_s = np.diff(demand.pace.moving_s)
    return float(np.average(hands.veto[:-1], weights=spent_s)) if spent_s.sum() > 0 else 0.0
