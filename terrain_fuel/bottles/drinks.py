"""Drinks from refill to refill: how much each bottle holds, of what, and what may be drunk by when."""

from dataclasses import replace

import numpy as np

from terrain_fuel.bottles.doubt import doubt_notices
from terrain_fuel.bottles.filling import Filling, Span, fill_bottles
from terrain_fuel.bottles.model import DrinkPlan, Leg, Refill
from terrain_fuel.bottles.reasons import explain_filling
from terrain_fuel.bottles.refills import bottle_capacity
from terrain_fuel.bottles.shortage import water_gaps
from terrain_fuel.bottles.strength import millilitre_of, stock_ml
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import WATER, Item, Pantry
from terrain_fuel.rider import Rider

# Common practice (no source).
MIX_SHARE_LEAST = 0.5
"""Of the drink on a ride long enough to want salt, half is mix when there is any: a bottle of each."""
MIX_FROM_MIN = 75.0
GUT_SHARE_OF_DRINK = 0.45
"""Drink takes no more of the gut's limit than this, so that bites fit beside it."""
FILL_STEP_ML = 50.0
"""Bottles are filled to a mark, not to the millilitre."""


def plan_drinks(
    demand: Demand, refills: tuple[Refill, ...], rider: Rider, pantry: Pantry, day: Day
) -> DrinkPlan:
    """Return what each bottle holds between refills and what may be drunk by when.

    Parameters
    ----------
    demand : need along the road, halts included
    refills : the places used, as `choose_refills` returns them
    rider, pantry, day : limit of the gut, bottles and drinks, reserve

    Returns
    -------
    DrinkPlan

    Notes
    -----
    A leg's drink is the need of the road up to the next tap, or what the bottles hold if that
    is less; then every mouthful shrinks alike. On the way to a doubtful tap the bottles also
    carry what the road behind it needs, as far as they can; on the last leg the drink for the
    reserve minutes rides along if there is room.
    """
    capacity = bottle_capacity(pantry)
    spans = _spans(demand, refills, day)
    wanted_g = _drink_carbohydrate_g(demand, rider, pantry, spans)
    stock = {item.name: stock_ml(item) for item in pantry.items}
    legs: list[Leg] = []
    strengths: list[tuple[float, float]] = []
    for span, span_g in zip(spans, wanted_g, strict=True):
        volume_ml = span.filling_ml(capacity)
        # What is carried beyond the need is as strong as the rest.
        span_g *= volume_ml / span.wanted_ml if span.wanted_ml > 0 else 0.0
        filling = fill_bottles(volume_ml, span_g, _choice(span, pantry, stock), pantry, FILL_STEP_ML)
        filling = explain_filling(filling, span, pantry)
        for load in filling.loads:
            if load.from_stock and load.item in stock:
                stock[load.item] -= load.level_ml
        span_legs = _legs(demand, span, filling)
        legs.extend(span_legs)
        strengths.extend([_mean_strength(filling, pantry)] * len(span_legs))
    fluid_ml, carbohydrate_g, sodium_mg = _columns(demand, legs, strengths)
    violations, notices = water_gaps(demand, tuple(legs), fluid_ml, rider)
    return DrinkPlan(
        legs=tuple(legs),
        fluid_ml=fluid_ml,
        carbohydrate_g=carbohydrate_g,
        sodium_mg=sodium_mg,
        violations=violations,
        notices=(*notices, *doubt_notices(demand, tuple(legs))),
    )


def _spans(demand: Demand, refills: tuple[Refill, ...], day: Day) -> tuple[Span, ...]:
    taps = [refill for refill in refills if refill.kind == "tap"]
    ends = np.array([0.0, *(tap.at_m for tap in taps), demand.pace.terrain.length_m])
    target_ml = np.diff(np.interp(ends, demand.pace.distance_m, demand.fluid_target_ml))
    hours = demand.pace.elapsed_s / 3600.0
    reserve_ml = day.reserve_min / 60.0 * (float(demand.fluid_target_ml[-1]) / hours)
    spans = []
    for index, wanted_ml in enumerate(target_ml):
        inside = [r for r in refills if r.kind == "pour_over" and ends[index] < r.at_m < ends[index + 1]]
        next_tap = taps[index] if index < len(taps) else None
        # Drink for the reserve rides along on the last leg; to a doubtful tap, what it may fail to give.
        extra_ml = reserve_ml if next_tap is None else 0.0
        if next_tap is not None and not next_tap.sure:
            extra_ml = float(target_ml[index + 1])
        spans.append(
            Span(
                start_m=float(ends[index]),
                end_m=float(ends[index + 1]),
                wanted_ml=float(wanted_ml),
                extra_ml=extra_ml,
                tap=taps[index - 1] if index else None,
                next_tap=next_tap,
                pour_over=inside[0] if inside else None,
            )
        )
    return tuple(spans)


def _choice(span: Span, pantry: Pantry, stock: dict[str, float]) -> tuple[Item, float, bool]:
    """Return the drink that may be mixed in on a span, how much there is [ml], and if it is from stock."""
    offers = span.tap.offers if span.tap is not None else ()
    handed_up = [item for item in pantry.items if item.name in offers and _drinkable(item)]
    if handed_up:
        return handed_up[0], float("inf"), False
    for item in pantry.items:
        carried = item.traits.from_powder or span.tap is None
        if carried and _drinkable(item) and stock[item.name] > 0.0:
            return item, stock[item.name], True
    return WATER, float("inf"), True


def _drinkable(item: Item) -> bool:
    """Return whether an item may fill a bottle that is drunk from all day: it brings no caffeine."""
    return item.traits.brings_energy and item.caffeine_mg == 0.0 and item.serving_ml > 0.0


def _drink_carbohydrate_g(
    demand: Demand, rider: Rider, pantry: Pantry, spans: tuple[Span, ...]
) -> list[float]:
    """Return the carbohydrate that drink should bring on each span, beside the bites [g]."""
    hours = demand.pace.elapsed_s / 3600.0
    ends_m = [0.0, *(span.end_m for span in spans)]
    target_g = np.diff(np.interp(ends_m, demand.pace.distance_m, demand.carbohydrate_target_g))
    total_g = float(demand.carbohydrate_target_g[-1])
    missing_g = max(0.0, total_g - _bites_g(hours, rider, pantry))
    most_g = GUT_SHARE_OF_DRINK * rider.gut_limit_g_per_h * hours
    mixes = [item for item in pantry.items if _drinkable(item)]
    least_g = 0.0
    if mixes and hours * 60.0 >= MIX_FROM_MIN:
        fluid_ml = sum(span.wanted_ml for span in spans)
        least_g = MIX_SHARE_LEAST * fluid_ml * millilitre_of(mixes[0]).carbohydrate_g
    drink_g = min(most_g, max(missing_g, least_g))
    return [drink_g * share for share in (target_g / total_g if total_g > 0 else np.zeros(len(spans)))]


def _bites_g(hours: float, rider: Rider, pantry: Pantry) -> float:
    """Return what bites bring at the rider's rhythm, with portions of the pantry's mean size [g]."""
    bites = sum(item.stock_portions for item in pantry.foods)
    if bites == 0:
        return 0.0
    mean_g = sum(item.stock_portions * item.portion_carbohydrate_g for item in pantry.foods) / bites
    rhythm = rider.habits
    planned = max(0.0, (hours * 60.0 - 10.0 - rhythm.first_food_min) / rhythm.eat_every_min + 1.0)
    return min(planned, bites) * mean_g


def _legs(demand: Demand, span: Span, filling: Filling) -> list[Leg]:
    """Return the one leg of a span, or the two on either side of its pour-over."""
    drunk_ml = min(span.wanted_ml, filling.volume_ml)
    loads = filling.loads
    if span.pour_over is None:
        return [Leg(span.start_m, span.end_m, span.wanted_ml, drunk_ml, loads, span.tap)]
    at_m = span.pour_over.at_m
    target_ml = np.interp([span.start_m, at_m], demand.pace.distance_m, demand.fluid_target_ml)
    before_ml = float(target_ml[1] - target_ml[0])
    share = before_ml / span.wanted_ml if span.wanted_ml > 0 else 0.0
    first = Leg(span.start_m, at_m, before_ml, share * drunk_ml, loads, span.tap)
    poured = tuple(replace(load, why=fact("pour_over_soon")) for load in loads if load.in_reach)
    second = Leg(at_m, span.end_m, span.wanted_ml - before_ml, (1 - share) * drunk_ml, poured, span.pour_over)
    return [first, second]


def _mean_strength(filling: Filling, pantry: Pantry) -> tuple[float, float]:
    """Return the carbohydrate and sodium in a mean millilitre of all bottles [g/ml, mg/ml]."""
    if filling.volume_ml <= 0:
        return 0.0, 0.0
    carbohydrate_g = sodium_mg = 0.0
    for load in filling.loads:
        strength = millilitre_of(pantry.item(load.item))
        carbohydrate_g += load.level_ml * strength.carbohydrate_g
        sodium_mg += load.level_ml * strength.sodium_mg
    return carbohydrate_g / filling.volume_ml, sodium_mg / filling.volume_ml


def _columns(
    demand: Demand, legs: list[Leg], strengths: list[tuple[float, float]]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return what is drunk by each node, and the carbohydrate and sodium in it, each shape (n,)."""
    distance_m = demand.pace.distance_m
    fluid_ml = np.zeros(distance_m.size)
    carbohydrate_g = np.zeros(distance_m.size)
    sodium_mg = np.zeros(distance_m.size)
    for leg, (g_per_ml, mg_per_ml) in zip(legs, strengths, strict=True):
        ends_ml = np.interp([leg.start_m, leg.end_m], distance_m, demand.fluid_target_ml)
        inside = np.interp(np.clip(distance_m, leg.start_m, leg.end_m), distance_m, demand.fluid_target_ml)
        share = leg.planned_ml / leg.wanted_ml if leg.wanted_ml > 0 else 0.0
        drunk_ml = share * (np.clip(inside, ends_ml[0], ends_ml[1]) - ends_ml[0])
        fluid_ml += drunk_ml
        carbohydrate_g += drunk_ml * g_per_ml
        sodium_mg += drunk_ml * mg_per_ml
    return fluid_ml, carbohydrate_g, sodium_mg
