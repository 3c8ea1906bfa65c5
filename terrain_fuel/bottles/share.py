"""How much carbohydrate drink should bring beside the bites, and how strong it is mixed for that."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.carry import Carry
from terrain_fuel.bottles.sachets import Recipe
from terrain_fuel.bottles.strength import millilitre_of, stock_ml
from terrain_fuel.demand.model import Demand
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Rider

# Common practice (no source).
MIX_SHARE_LEAST = 0.5
"""Of the drink on a ride long enough to want salt, half is mix when there is any: a bottle of each."""
MIX_FROM_MIN = 75.0
BETWEEN_LARGE_BITES = 0.25
"""Least share of the gut's limit left to drink where portions are too large for the rhythm."""
THIRSTY_ML_PER_H = 600.0
"""Who drinks more sweats much, and wants the salt of a mix that is not thinned."""
LEAST_BITE_G = 0.01
"""A bite of less carbohydrate counts as one of this: nobody eats thousands in an hour."""
SIPS_RUN_AHEAD_G = 4.0
"""Sips come one by one: about a mouthful stays free under the limit."""
THINNEST = 0.5
"""Half a serving a bottle is still a taste and some salt; thinner, water does as well."""
AS_PRINTED = (1.0,)
STRENGTHS = (1.0, 0.75, THINNEST)
FINE_STRENGTHS = (1.0, 0.9, 0.8, 0.7, 0.6, THINNEST)
SACHETS_ALONE = (2, 3, 4)
"""With nothing to bite something must go in on top of what is left in a bottle: smaller sachets are tried."""


@dataclass(frozen=True, slots=True)
class Asked:
    """So many times what drink would bring at first, and whether mix may be thinned for it."""

    times: float = 1.0
    thinned: bool = True


AT_FIRST = Asked()


def drinkable(item: Item) -> bool:
    """Return whether an item may fill a bottle that is drunk from all day: it brings no caffeine."""
    return item.traits.brings_energy and item.caffeine_mg == 0.0 and item.serving_ml > 0.0


def usable_foods(pantry: Pantry) -> tuple[Item, ...]:
    """Return the foods in stock that may be eaten all day long: with carbohydrate, without caffeine."""
    return tuple(item for item in pantry.foods if item.carbohydrate_g > 0.0 and item.caffeine_mg == 0.0)


def drink_carbohydrate_g(
    demand: Demand, rider: Rider, pantry: Pantry, carries: Sequence[Carry], *, mix_share: float | None
) -> list[float]:
    """Return the carbohydrate that drink should bring on each carry, beside the bites [g].

    Few servings are spread over the carries as the need is. Where small bites alone bring what is wanted the
    mix is thinned for them. ``mix_share`` is that of `plan_drinks`.
    """
    hours = demand.pace.elapsed_s / 3600.0
    ends_m = [0.0, *(carry.end_m for carry in carries)]
    target_g = np.diff(np.interp(ends_m, demand.pace.distance_m, demand.carbohydrate_target_g))
    total_g = float(demand.carbohydrate_target_g[-1])
    missing_g = max(0.0, total_g - _bites_g(hours, rider, pantry))
    if mix_share is not None:
        at_hand_g = sum(item.stock_portions * item.portion_carbohydrate_g for item in usable_foods(pantry))
        missing_g = max(mix_share * missing_g, total_g - at_hand_g)
    mixes = [item for item in pantry.items if drinkable(item)]
    least_g = 0.0
    if mixes and hours * 60.0 >= MIX_FROM_MIN:
        fluid_ml = sum(carry.wanted_ml for carry in carries)
        least_g = MIX_SHARE_LEAST * fluid_ml * millilitre_of(mixes[0]).carbohydrate_g
        if fluid_ml <= THIRSTY_ML_PER_H * hours:
            beside_g = total_g - _bites(hours, rider, pantry) * smallest_bite_g(pantry)
            least_g = min(least_g, max(THINNEST * least_g, beside_g))
    drink_g = min(_room_beside_bites_g(hours, rider, pantry), max(missing_g, least_g))
    if not any(_handed_up(carry, pantry) for carry in carries):
        drink_g = min(drink_g, sum(item.count * item.carbohydrate_g for item in mixes))
    return [drink_g * share for share in (target_g / total_g if total_g > 0 else np.zeros(len(carries)))]


def recipes_to_try(
    pantry: Pantry,
    carries: Sequence[Carry],
    carries_g: Sequence[float],
    strengths: Sequence[float] = STRENGTHS,
) -> tuple[Recipe, ...]:
    """Return the recipes by which every bottle of mix may be made, the best first.

    The packet's own strength, where that comes near enough to what is wanted, or a thinner one. With
    nothing to bite every bottle is mix: as strong as is wanted and as the servings last, its sachets as
    large as go in on top of what is left in the bottles.
    """
    mix = next((item for item in pantry.items if drinkable(item) and item.count > 0), None)
    drunk_ml = sum(carry.wanted_ml for carry in carries)
    filled_ml = drunk_ml + carries[-1].extra_ml
    if mix is None or filled_ml <= 0:
        return (Recipe(),)
    if usable_foods(pantry):
        return tuple(Recipe(share) for share in strengths)
    # What rides along for the reserve is made as strong, though it brings nothing to what is wanted.
    wanted = sum(carries_g) / millilitre_of(mix).carbohydrate_g / max(drunk_ml, 1.0)
    most = float(np.clip(round(min(wanted, stock_ml(mix) / filled_ml), 2), THINNEST, 1.0))
    shares = dict.fromkeys(max(THINNEST, share * most) for share in (1.0, 0.9, *STRENGTHS[1:]))
    return tuple(Recipe(share, sachets) for share in shares for sachets in SACHETS_ALONE)


def _handed_up(carry: Carry, pantry: Pantry) -> bool:
    offers = carry.tap.offers if carry.tap is not None else ()
    return any(item.name in offers and drinkable(item) for item in pantry.items)


def _room_beside_bites_g(hours: float, rider: Rider, pantry: Pantry) -> float:
    """Return what the gut's limit leaves for drink beside bites [g].

    The small bites of a rhythm come first, as long as they last. Where portions are too large to keep
    even the longest gap with them, drink keeps the time between fewer; with nothing to bite it may bring
    all.
    """
    foods = usable_foods(pantry)
    portions_g = [item.portion_carbohydrate_g for item in foods]
    limit_g = rider.gut_limit_g_per_h - SIPS_RUN_AHEAD_G
    if not portions_g:
        return limit_g * hours
    bite_g = max(min(portions_g), LEAST_BITE_G)
    most = math.floor(limit_g / bite_g)
    if most >= 60.0 / rider.habits.longest_gap_min:
        bites = min(float(most), 60.0 / rider.habits.eat_every_min)
    else:
        bites = float(math.floor((1.0 - BETWEEN_LARGE_BITES) * limit_g / bite_g))
    bites = min(bites, sum(item.stock_portions for item in foods) / max(hours, 1.0))
    return (limit_g - bites * bite_g) * hours


def _bites_g(hours: float, rider: Rider, pantry: Pantry) -> float:
    """Return what bites bring at the rider's rhythm, with portions of the pantry's mean size [g]."""
    foods = usable_foods(pantry)
    bites = sum(item.stock_portions for item in foods)
    if bites == 0:
        return 0.0
    mean_g = sum(item.stock_portions * item.portion_carbohydrate_g for item in foods) / bites
    return _bites(hours, rider, pantry) * mean_g


def _bites(hours: float, rider: Rider, pantry: Pantry) -> float:
    """Return how many bites the rider's rhythm asks for, no more than there are."""
    rhythm = rider.habits
    planned = max(0.0, (hours * 60.0 - 10.0 - rhythm.first_food_min) / rhythm.eat_every_min + 1.0)
    return min(planned, sum(item.stock_portions for item in usable_foods(pantry)))


def smallest_bite_g(pantry: Pantry) -> float:
    """Return the smallest bite that may be taken all day long, 0 without any [g]."""
    return min((item.portion_carbohydrate_g for item in usable_foods(pantry)), default=0.0)
