"""Halts for food: made when what is at home does not last, at the feeds that offer something to eat."""

from collections.abc import Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import Pantry

ENOUGH = 1.15
"""Stock at this many times the need is enough: a plan needs some choice (common practice, no source)."""
FOOD_SHARE = 0.8
"""About this much of the carbohydrate is eaten, the rest drunk (common practice, no source)."""


def food_stops(places: Sequence[Refill], demand: Demand, pantry: Pantry) -> frozenset[int]:
    """Return the indices of the places where the ride must halt for food, none if the stock lasts.

    Parameters
    ----------
    places : the refills on the road, in order
    demand : carbohydrate to be taken
    pantry : its foods, at home and on offer
    """
    stock_g = sum(item.count * item.carbohydrate_g for item in pantry.foods)
    if stock_g >= ENOUGH * FOOD_SHARE * float(demand.carbohydrate_target_g[-1]):
        return frozenset()
    return frozenset(index for index, place in enumerate(places) if foods_at(place, pantry))


def foods_at(place: Refill, pantry: Pantry) -> tuple[str, ...]:
    """Return the foods that are to be had at a place, in the pantry's order."""
    return tuple(item.name for item in pantry.items if item.is_food and item.name in place.offers)


def first_shop_m(refills: Sequence[Refill], demand: Demand, pantry: Pantry) -> float | None:
    """Return where food is first to be had on a ride for which that at home does not last [m], else None."""
    shops = (refills[index] for index in food_stops(refills, demand, pantry))
    return min((refill.at_m for refill in shops if refill.sure), default=None)
