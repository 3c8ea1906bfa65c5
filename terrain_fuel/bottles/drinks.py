"""Drinks from refill to refill: how much each bottle holds, of what, and what may be drunk by when."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from terrain_fuel.bottles.doubt import doubt_notices
from terrain_fuel.bottles.filling import TOO_MUCH, Filling, Held, Span, fill_bottles
from terrain_fuel.bottles.model import DrinkPlan, Leg, Refill
from terrain_fuel.bottles.own_fillings import own_fillings
from terrain_fuel.bottles.places import next_water_m, refills_on_road
from terrain_fuel.bottles.reasons import explain_filling
from terrain_fuel.bottles.refills import Capacity, bottle_capacity
from terrain_fuel.bottles.sachets import Mix
from terrain_fuel.bottles.share import drink_carbohydrate_g, drinkable, strengths_to_try, usable_foods
from terrain_fuel.bottles.shortage import water_gaps
from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.rider import Rider

THINNER = 0.6
"""A mix thinner than the packet's has to come so much nearer to what is wanted: as a share of that."""
MOST_OWED = 2.0
"""What one filling brought too little of, or too much, the next makes good up to this share of its own."""


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
    is less; then every mouthful shrinks alike. The bottles also carry, as far as they can, what the
    road behind the next tap needs up to the next water, should it be shut; on the last leg the
    drink for the reserve minutes rides along if there is room.
    """
    capacity = bottle_capacity(pantry, day)
    spans = _spans(demand, refills, day)
    wanted_g = drink_carbohydrate_g(demand, rider, pantry, spans)
    _, fillings = min(
        (
            (share, _fill_spans(spans, wanted_g, share, pantry, day, capacity))
            for share in strengths_to_try(pantry, spans, wanted_g)
        ),
        key=lambda tried: round(_off_g(tried[1], wanted_g) + THINNER * (1.0 - tried[0]) * sum(wanted_g), 6),
    )
    legs: list[Leg] = []
    strengths: list[tuple[float, float]] = []
    for span, filling in zip(spans, fillings, strict=True):
        span_legs = _legs(demand, span, explain_filling(filling, span, capacity, pantry))
        drunk_ml = sum(leg.planned_ml for leg in span_legs)
        per_ml = 1.0 / drunk_ml if drunk_ml > 0 else 0.0
        legs.extend(span_legs)
        strengths += [(filling.carbohydrate_g * per_ml, filling.sodium_mg * per_ml)] * len(span_legs)
    fluid_ml, carbohydrate_g, sodium_mg = _columns(demand, legs, strengths)
    violations, notices = water_gaps(demand, tuple(legs), fluid_ml, rider)
    return DrinkPlan(
        legs=tuple(legs),
        fluid_ml=fluid_ml,
        carbohydrate_g=carbohydrate_g,
        sodium_mg=sodium_mg,
        violations=violations,
        notices=(*notices, *doubt_notices(demand, tuple(legs), day)),
    )


def _fill_spans(
    spans: Sequence[Span],
    wanted_g: Sequence[float],
    share: float,
    pantry: Pantry,
    day: Day,
    capacity: Capacity,
) -> list[Filling]:
    """Return the filling of every span, with mix at a share of the packet's strength.

    What one filling brings too little of, or too much, the next makes good: few servings are spread evenly.
    """
    stock = {item.name: _stock(item) for item in pantry.items}
    held: Mapping[str, Held] = {}
    owed_g = 0.0
    fillings = []
    for span, span_g in zip(spans, wanted_g, strict=True):
        mix = _mix(span, pantry, stock, share)
        asked_g = min(max(0.0, span_g + owed_g), MOST_OWED * span_g)
        filling = fill_bottles(
            span, asked_g, mix, held, pantry, capacity, _own(span, pantry, day, stock, share)
        )
        for item, used in filling.uses:
            stock[item] = stock.get(item, math.inf) - used
        held = {**held, **dict(filling.left)}
        owed_g += span_g - filling.carbohydrate_g
        fillings.append(filling)
    return fillings


def _own(
    span: Span, pantry: Pantry, day: Day, stock: Mapping[str, float], share: float
) -> Mapping[str, tuple[Mix, float]]:
    """Return the drinks and marks that the rider has set where a span begins, by bottle."""
    holds_ml = {bottle.name: bottle.holds_ml for bottle in pantry.bottles}
    return {
        name: (
            Mix(pantry.item(fill.item), left=stock.get(fill.item, math.inf), share=share),
            fill.fluid_ml or holds_ml[name],
        )
        for name, fill in own_fillings(day, span.start_m).items()
    }


def _off_g(fillings: Sequence[Filling], wanted_g: Sequence[float]) -> float:
    """Return how far the fillings are from what is wanted, too much counting double [g]."""
    off_g = [filling.carbohydrate_g - span_g for filling, span_g in zip(fillings, wanted_g, strict=True)]
    return sum(max(-each, TOO_MUCH * each) for each in off_g)


def _spans(demand: Demand, refills: tuple[Refill, ...], day: Day) -> tuple[Span, ...]:
    terrain = demand.pace.terrain
    taps = [refill for refill in refills if refill.kind == "tap"]
    ends = np.array([0.0, *(tap.at_m for tap in taps), terrain.length_m])
    target_ml = np.diff(_target_ml(demand, ends))
    hours = demand.pace.elapsed_s / 3600.0
    reserve_ml = day.reserve_min / 60.0 * (float(demand.fluid_target_ml[-1]) / hours)
    places = refills_on_road(terrain, day, demand.pace.clock_s)
    spans = []
    for index, wanted_ml in enumerate(target_ml):
        inside = [r for r in refills if r.kind == "pour_over" and ends[index] < r.at_m < ends[index + 1]]
        next_tap = taps[index] if index < len(taps) else None
        extra_ml = reserve_ml
        if next_tap is not None:
            behind_m = next_water_m(places, next_tap, terrain.length_m)
            extra_ml = float(np.diff(_target_ml(demand, [next_tap.at_m, behind_m]))[0])
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


def _target_ml(demand: Demand, at_m: Sequence[float] | FloatArray) -> FloatArray:
    return np.asarray(np.interp(at_m, demand.pace.distance_m, demand.fluid_target_ml))


def _mix(span: Span, pantry: Pantry, stock: Mapping[str, float], share: float) -> Mix:
    """Return the drink that may be mixed in on a span: what is handed up, else the first in stock."""
    offers = span.tap.offers if span.tap is not None else ()
    for item in pantry.items:
        if item.name in offers and drinkable(item):
            return Mix(item, from_stock=False)
    for item in pantry.items:
        carried = item.traits.from_powder or span.tap is None
        if carried and drinkable(item) and stock[item.name] >= 0.25 * _serving(item):
            return Mix(item, left=stock[item.name], share=share, alone=not usable_foods(pantry))
    return Mix()


def _stock(item: Item) -> float:
    """Return what the stock holds, in g of powder, or in ml of a drink that needs none."""
    return math.inf if item.traits.endless else item.count * _serving(item)


def _serving(item: Item) -> float:
    return item.powder_g if item.traits.from_powder else item.serving_ml


def _legs(demand: Demand, span: Span, filling: Filling) -> list[Leg]:
    """Return the one leg of a span, or the two on either side of its pour-over."""
    drunk_ml = filling.drunk_ml if span.pour_over is None else min(span.wanted_ml, filling.volume_ml)
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
