"""Drinks from refill to refill: how much each bottle holds, of what, and what may be drunk by when."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.bottles.carry import Carry
from terrain_fuel.bottles.doubt import doubt_notices
from terrain_fuel.bottles.filling import TOO_MUCH, Filling, fill_bottles
from terrain_fuel.bottles.model import DrinkPlan, Leg, Refill
from terrain_fuel.bottles.own_fillings import own_fillings
from terrain_fuel.bottles.places import next_water_m, refills_on_road
from terrain_fuel.bottles.reasons import explain_filling
from terrain_fuel.bottles.refills import Capacity, bottle_capacity
from terrain_fuel.bottles.sachets import Mix, Recipe
from terrain_fuel.bottles.share import (
    AS_PRINTED,
    AT_FIRST,
    FINE_STRENGTHS,
    STRENGTHS,
    Asked,
    drink_carbohydrate_g,
    drinkable,
    recipes_to_try,
    usable_foods,
)
from terrain_fuel.bottles.shortage import water_gaps
from terrain_fuel.bottles.ways import Held
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray, value_at
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Rider

THINNER = 0.6
"""A mix thinner than the packet's has to come so much nearer to what is wanted: as a share of that."""
MOST_OWED = 2.0
"""What one filling brought too little of, or too much, the next makes good up to this share of its own."""


def plan_drinks(
    demand: Demand,
    refills: tuple[Refill, ...],
    rider: Rider,
    pantry: Pantry,
    day: Day,
    *,
    mix_share: float | None = None,
    asked: Asked = AT_FIRST,
) -> DrinkPlan:
    """Return what each bottle holds between refills and what may be drunk by when.

    Parameters
    ----------
    demand : need along the road, halts included
    refills : the places used, as `choose_refills` returns them
    rider, pantry, day : limit of the gut, bottles and drinks, reserve
    mix_share : in a race that fills the hours of the gut, what mix brings of what bites leave missing
    asked : how much drink is to bring, and whether it may be thinned

    Returns
    -------
    DrinkPlan

    Notes
    -----
    A leg's drink is the need of the road up to the next tap, or what the bottles hold if that
    is less; then every mouthful shrinks alike. The bottles also carry, as far as they can, what the
    road behind the next tap needs up to the next water, should it be shut; on the last leg the
    drink for the reserve minutes rides along if there is room.
    """
    capacity = bottle_capacity(pantry, day)
    carries = _carries(demand, refills, day)
    usual_g = drink_carbohydrate_g(demand, rider, pantry, carries, mix_share=mix_share)
    wanted_g = [asked.times * carry_g for carry_g in usual_g]
    strengths = (STRENGTHS if mix_share is None else FINE_STRENGTHS) if asked.thinned else AS_PRINTED
    _, fillings = min(
        (
            (recipe, _fill_carries(carries, wanted_g, recipe, pantry, day, capacity))
            for recipe in recipes_to_try(pantry, carries, wanted_g, strengths)
        ),
        key=lambda tried: round(
            _off_g(tried[1], wanted_g) + THINNER * (1.0 - tried[0].share) * sum(wanted_g), 6
        ),
    )
    legs: list[Leg] = []
    per_ml_of: list[tuple[float, float]] = []
    for carry, filling in zip(carries, fillings, strict=True):
        carry_legs = _legs(demand, carry, explain_filling(filling, carry, capacity, pantry))
        drunk_ml = sum(leg.planned_ml for leg in carry_legs)
        per_ml = 1.0 / drunk_ml if drunk_ml > 0 else 0.0
        legs.extend(carry_legs)
        per_ml_of += [(filling.carbohydrate_g * per_ml, filling.sodium_mg * per_ml)] * len(carry_legs)
    fluid_ml, carbohydrate_g, sodium_mg = _columns(demand, legs, per_ml_of)
    violations, notices = water_gaps(demand, tuple(legs), fluid_ml, rider)
    return DrinkPlan(
        legs=tuple(legs),
        fluid_ml=fluid_ml,
        carbohydrate_g=carbohydrate_g,
        sodium_mg=sodium_mg,
        spare_powder_g=_spare_powder_g(legs, pantry),
        violations=violations,
        notices=(*notices, *doubt_notices(demand, tuple(legs), day)),
    )


def _fill_carries(
    carries: Sequence[Carry],
    wanted_g: Sequence[float],
    recipe: Recipe,
    pantry: Pantry,
    day: Day,
    capacity: Capacity,
) -> list[Filling]:
    """Return the filling of every carry, with mix by a recipe.

    What one filling brings too little of, or too much, the next makes good: few servings are spread evenly.
    """
    stock = {item.name: _stock(item) for item in pantry.items}
    held: Mapping[str, Held] = {}
    owed_g = 0.0
    fillings = []
    for carry, carry_g in zip(carries, wanted_g, strict=True):
        mix = _mix(carry, pantry, stock, recipe)
        asked_g = min(max(0.0, carry_g + owed_g), MOST_OWED * carry_g)
        filling = fill_bottles(
            carry, asked_g, mix, held, pantry, capacity, _own(carry, pantry, day, stock, recipe)
        )
        for item, used in filling.uses:
            stock[item] = stock.get(item, math.inf) - used
        held = {**held, **dict(filling.left)}
        owed_g += carry_g - filling.carbohydrate_g
        fillings.append(filling)
    return fillings


def _own(
    carry: Carry, pantry: Pantry, day: Day, stock: Mapping[str, float], recipe: Recipe
) -> Mapping[str, tuple[Mix, float]]:
    """Return the drinks and marks that the rider has set where a carry begins, by bottle."""
    holds_ml = {bottle.name: bottle.holds_ml for bottle in pantry.bottles}
    return {
        name: (
            Mix(pantry.item(fill.item), left=stock.get(fill.item, math.inf), recipe=recipe),
            fill.fluid_ml or holds_ml[name],
        )
        for name, fill in own_fillings(day, carry.start_m).items()
    }


def _off_g(fillings: Sequence[Filling], wanted_g: Sequence[float]) -> float:
    """Return how far the fillings are from what is wanted, too much counting double [g]."""
    off_g = [filling.carbohydrate_g - carry_g for filling, carry_g in zip(fillings, wanted_g, strict=True)]
    return sum(max(-each, TOO_MUCH * each) for each in off_g)


def _carries(demand: Demand, refills: tuple[Refill, ...], day: Day) -> tuple[Carry, ...]:
    terrain = demand.pace.terrain
    taps = [refill for refill in refills if refill.kind == "tap"]
    ends = np.array([0.0, *(tap.at_m for tap in taps), terrain.length_m])
    target_ml = np.diff(_target_ml(demand, ends))
    hours = demand.pace.elapsed_s / 3600.0
    reserve_ml = day.reserve_min / 60.0 * (float(demand.fluid_target_ml[-1]) / hours)
    places = refills_on_road(terrain, day, demand.pace.local_s)
    carries = []
    for index, wanted_ml in enumerate(target_ml):
        inside = [r for r in refills if r.kind == "pour_over" and ends[index] < r.at_m < ends[index + 1]]
        next_tap = taps[index] if index < len(taps) else None
        extra_ml = reserve_ml
        if next_tap is not None:
            behind_m = next_water_m(places, next_tap, terrain.length_m)
            extra_ml = float(np.diff(_target_ml(demand, [next_tap.at_m, behind_m]))[0])
        carries.append(
            Carry(
                start_m=float(ends[index]),
                end_m=float(ends[index + 1]),
                wanted_ml=float(wanted_ml),
                extra_ml=extra_ml,
                tap=taps[index - 1] if index else None,
                next_tap=next_tap,
                pour_over=inside[0] if inside else None,
            )
        )
    return tuple(carries)


def _target_ml(demand: Demand, at_m: Sequence[float] | FloatArray) -> FloatArray:
    return np.asarray(np.interp(at_m, demand.pace.distance_m, demand.fluid_target_ml))


def _mix(carry: Carry, pantry: Pantry, stock: Mapping[str, float], recipe: Recipe) -> Mix:
    """Return the drink that may be mixed in on a carry: what is handed up, else the first in stock."""
    offers = carry.tap.offers if carry.tap is not None else ()
    for item in pantry.items:
        if item.name in offers and drinkable(item):
            return Mix(item, from_stock=False)
    for item in pantry.items:
        carried = item.traits.from_powder or carry.tap is None
        if carried and drinkable(item) and stock[item.name] >= 0.25 * _serving(item):
            return Mix(item, left=stock[item.name], recipe=recipe, alone=not usable_foods(pantry))
    return Mix()


def _stock(item: Item) -> float:
    """Return what the stock holds, in g of powder, or in ml of a drink that needs none."""
    return math.inf if item.traits.endless else item.count * _serving(item)


def _serving(item: Item) -> float:
    return item.powder_g if item.traits.from_powder else item.serving_ml


def _spare_powder_g(legs: Sequence[Leg], pantry: Pantry) -> float:
    """Return the powder at home that no filling uses, of the drinks that bottles are filled with [g]."""
    stock_g = sum(item.count * item.powder_g for item in pantry.items if drinkable(item))
    return max(0.0, stock_g - sum(load.powder_g for leg in legs for load in leg.loads if load.from_stock))


def _legs(demand: Demand, carry: Carry, filling: Filling) -> list[Leg]:
    """Return the one leg of a carry, or the two on either side of its pour-over."""
    drunk_ml = filling.drunk_ml if carry.pour_over is None else min(carry.wanted_ml, filling.volume_ml)
    loads = filling.loads
    if carry.pour_over is None:
        return [Leg(carry.start_m, carry.end_m, carry.wanted_ml, drunk_ml, loads, carry.tap)]
    at_m = carry.pour_over.at_m
    target_ml = np.interp([carry.start_m, at_m], demand.pace.distance_m, demand.fluid_target_ml)
    before_ml = float(target_ml[1] - target_ml[0])
    share = before_ml / carry.wanted_ml if carry.wanted_ml > 0 else 0.0
    first = Leg(carry.start_m, at_m, before_ml, share * drunk_ml, loads, carry.tap)
    poured = tuple(replace(load, why=fact("pour_over_soon")) for load in loads if load.in_reach)
    second = Leg(
        at_m, carry.end_m, carry.wanted_ml - before_ml, (1 - share) * drunk_ml, poured, carry.pour_over
    )
    return [first, second]


def _columns(
    demand: Demand, legs: list[Leg], strengths: list[tuple[float, float]]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return what is drunk by each node, and the carbohydrate and sodium in it, each shape (n,)."""
    distance_m = demand.pace.distance_m
    fluid_ml = np.zeros(distance_m.size)
    carbohydrate_g = np.zeros(distance_m.size)
    sodium_mg = np.zeros(distance_m.size)
    for leg, (g_per_ml, mg_per_ml) in zip(legs, strengths, strict=True):
        start_ml, end_ml = (
            value_at(at_m, distance_m, demand.fluid_target_ml) for at_m in (leg.start_m, leg.end_m)
        )
        from_start = slice(int(np.searchsorted(distance_m, leg.start_m)), None)  # none is drunk before
        share = leg.planned_ml / leg.wanted_ml if leg.wanted_ml > 0 else 0.0
        drunk_ml = share * (np.clip(demand.fluid_target_ml[from_start], start_ml, end_ml) - start_ml)
        fluid_ml[from_start] += drunk_ml
        carbohydrate_g[from_start] += drunk_ml * g_per_ml
        sodium_mg[from_start] += drunk_ml * mg_per_ml
    return fluid_ml, carbohydrate_g, sodium_mg
