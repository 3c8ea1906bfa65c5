"""Turn the road, the pantry and the rider's wishes into a food problem in numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.curve import food_curve, room_in_hour
from terrain_fuel.food.problem import HOUR_S, FoodProblem, over_gap_cost
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import WATER_NAME, Item, Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import (
    EDGE_RULES,
    GAP_RULES,
    ITEM_RULES,
    PAIR_RULES,
    PLACE_RULES,
    weights_for,
)
from terrain_fuel.rules.gaps import fed_until_by_node_s, gaps_between
from terrain_fuel.rules.model import ItemRule
from terrain_fuel.rules.occasions import TOP_UP_S
from terrain_fuel.rules.road import FoodStop, IntArray, Road

PLACE_EVERY_SHARE = 1 / 10
PLACE_EVERY_S = (20.0, 120.0)
MOST_GAPS = 20_000
MOST_PLACES_BY_GRAMS = 2_500_000
USUAL_G_PER_H = 100.0
"""Places stand farther apart where a day of very many hours would else take minutes and gigabytes:
gaps within reach, and places times the grams that may have been eaten there, stay below these."""

LEAST_GAP_SHARE = 0.35
AMPLE_BITE_G = 20.0
LEAST_FIRST_SHARE, BEFORE_A_CLIMB_SHARE = 0.75, 0.5
"""No first bite sooner than this share of the habit, a pin aside; a climb that is near asks for it sooner."""

MOST_PORTIONS = 6
TIE_STEP = 1e-7
"""Equal plans are told apart by it: the earlier place, then the earlier item of the pantry."""


@dataclass(frozen=True, slots=True)
class Option:
    """Some portions of an item; ``item_index`` counts the pantry's foods."""

    item: Item
    item_index: int
    portions: int

    @property
    def carbohydrate_g(self) -> float:
        """Carbohydrate in it [g]."""
        return self.portions * self.item.portion_carbohydrate_g

    @property
    def caffeine_mg(self) -> float:
        """Caffeine in it [mg]."""
        return self.portions * self.item.caffeine_mg / self.item.portions


@dataclass(frozen=True, slots=True, eq=False)
class FoodTask:
    """A food problem with what its numbers mean.

    ``places`` are the candidate places, ``stock`` the portions at hand, eatable or not, ``hour_g`` what food
    any hour may hold, drink not yet taken off [g].
    """

    places: Road
    foods: tuple[Item, ...]
    options: tuple[Option, ...]
    weights: Mapping[str, float]
    stock: IntArray
    hour_g: float
    problem: FoodProblem


def food_options(foods: Sequence[Item], wanted: Mapping[str, int] | None = None) -> tuple[Option, ...]:
    """Return what can be eaten at one place: one or two portions, more where portions are tiny.

    ``wanted`` adds up to so many portions of an item by its name.
    """
    options = []
    for index, item in enumerate(foods):
        ample = min(int(AMPLE_BITE_G // max(item.portion_carbohydrate_g, 0.5)), MOST_PORTIONS)
        most = max(2, ample, (wanted or {}).get(item.name, 0))
        for portions in range(1, min(most, item.stock_portions or most) + 1):
            options.append(Option(item, index, portions))
    return tuple(options)


def candidate_nodes(road: Road, weights: Mapping[str, float], always: Sequence[int] = ()) -> IntArray:
    """Return the best node of every two minutes or so, all halts, and those that must be there."""
    cost = place_cost(road, weights)
    slot = np.floor_divide(road.clock_s, place_every_s(road)).astype(np.int64)
    order = np.lexsort((np.arange(road.size), cost, slot))
    first = np.concatenate(([True], np.diff(slot[order]) > 0))
    chosen = order[first]
    wanted = np.concatenate((chosen, np.flatnonzero(road.stop >= 0), np.asarray(always, dtype=np.int64)))
    nodes = np.unique(wanted.astype(np.int64))
    return np.asarray(nodes[np.isfinite(cost[nodes])])


def place_every_s(road: Road) -> float:
    """Return how far apart candidate places stand [s]; at least three within the longest gap."""
    wanted_s = float(np.clip(road.eat_every_s * PLACE_EVERY_SHARE, *PLACE_EVERY_S))
    by_gaps_s = np.sqrt(road.elapsed_s * road.longest_gap_s / MOST_GAPS)
    by_grams_s = road.elapsed_s**2 / HOUR_S * USUAL_G_PER_H / MOST_PLACES_BY_GRAMS
    return max(wanted_s, min(float(max(by_gaps_s, by_grams_s)), road.longest_gap_s / 3.0))


def place_cost(road: Road, weights: Mapping[str, float]) -> FloatArray:
    """Return the cost of eating anything at all at every place, inf where a veto stands."""
    cost = np.zeros(road.size)
    for rule in PLACE_RULES:
        cost += rule.cost(weights[rule.name], road)
    return cost


def item_cost(rule: ItemRule, weight: float, road: Road, options: Sequence[Option]) -> FloatArray:
    """Return an item rule's cost, shape (places, options)."""
    return np.stack([rule.cost(weight, road, o.item, o.portions) for o in options], axis=1)


def build_task(
    road: Road,
    pantry: Pantry,
    rider: Rider,
    *,
    lump_g: float,
    reserve_g: float,
    reserved: Mapping[str, int],
    always: Sequence[int] = (),
    wanted: Mapping[str, int] | None = None,
    nodes: IntArray | None = None,
) -> FoodTask:
    """Return the problem of placing food on a road.

    ``always`` are nodes that must be among the places, ``wanted`` portions that must be among the
    options; ``nodes`` are the places themselves, rising, in place of `candidate_nodes`; the rest as in
    `place_food`.
    """
    weights = weights_for(rider)
    foods = foods_on_the_way(road, pantry)
    options = food_options(foods, wanted)
    places = road.take(candidate_nodes(road, weights, always) if nodes is None else nodes)
    node_cost = food_costs(places, options, weights)
    drawn = taken_along(places, options)
    stock = np.array([max(0, item.stock_portions - reserved.get(item.name, 0)) for item in foods])
    usable = np.zeros(len(foods), dtype=bool)
    for column, option in enumerate(options):
        usable[option.item_index] |= bool(np.isfinite(node_cost[:, column]).any())
    stock_g = sum(item.stock_portions * item.portion_carbohydrate_g for item in foods) - reserve_g
    hour_g = rider.gut_limit_g_per_h - lump_g
    until_s = fed_until_by_node_s(road)[np.append(0, places.node + 1)]
    curve = food_curve(road, places.clock_s, hour_g, place_every_s(road))
    problem = FoodProblem(
        clock_s=places.clock_s,
        end_s=max(road.last_bite_s, 0.0),
        node_cost=node_cost,
        arc_cost=_arc_cost(places, road, weights, until_s),
        pair_cost=pair_costs(places, foods, weights),
        option_item=np.array([o.item_index for o in options], dtype=np.int64),
        option_portions=np.array([o.portions for o in options], dtype=np.int64),
        option_whole_g=np.array([round(o.carbohydrate_g) for o in options], dtype=np.int64),
        option_g=np.array([o.carbohydrate_g for o in options]),
        option_caffeine_mg=np.array([o.caffeine_mg for o in options]),
        drawn=drawn,
        stock=np.where(usable, stock, 0).astype(np.int64),
        stock_g=max(0.0, stock_g),
        need_g=curve.need_g,
        step_h=curve.step_h,
        pieces_before=curve.pieces_before,
        pieces_left=curve.pieces_before,
        hour_from_s=places.clock_s - HOUR_S,
        room_g=room_in_hour(road, places.clock_s, hour_g),
        caffeine_mg_max=road.caffeine_mg_max,
        shortest_gap_s=LEAST_GAP_SHARE * road.eat_every_s,
        longest_gap_s=road.longest_gap_s,
        until_s=until_s,
    )
    return FoodTask(places, foods, options, weights, stock.astype(np.int64), hour_g, problem)


def food_costs(places: Road, options: Sequence[Option], weights: Mapping[str, float]) -> FloatArray:
    """Return what each option costs at each place, shape (places, options).

    What the best of them costs for being what it is counts for nothing: a kitchen of gels alone is
    no reason to eat less often.
    """
    by_item = np.zeros((places.size, len(options)))
    for rule in ITEM_RULES if options else ():
        by_item += item_cost(rule, weights[rule.name], places, options)
    least = np.min(by_item, axis=1, initial=np.inf)
    by_item -= np.where(np.isfinite(least), least, 0.0)[:, None]
    cost = place_cost(places, weights)[:, None] + by_item
    cost += TIE_STEP * np.arange(places.size)[:, None] / max(places.size, 1)
    cost += TIE_STEP * np.arange(len(options))[None, :] / max(len(options), 1)
    return np.asarray(cost)


def taken_along(places: Road, options: Sequence[Option]) -> BoolArray:
    """Return False where the last halt that is sure to be open has handed the item over or sold it."""
    drawn = np.ones((places.size, len(options)), dtype=bool)
    for place in range(places.size):
        stop = last_shop(places, float(places.distance_m[place]))
        for column, option in enumerate(options):
            drawn[place, column] = stop is None or option.item.name not in stop.offers
    return drawn


def last_shop(road: Road, at_m: float) -> FoodStop | None:
    """Return the last halt by a place that is sure to offer food: from there it is taken along."""
    passed = [stop for stop in road.stops if stop.sure and stop.distance_m <= at_m + 1.0]
    return next((stop for stop in reversed(passed) if set(stop.offers) - {WATER_NAME}), None)


def foods_on_the_way(road: Road, pantry: Pantry) -> tuple[Item, ...]:
    """Return the foods in stock and those that a halt offers, in the pantry's order."""
    offered = {name for stop in road.stops if stop.sure for name in stop.offers}
    return tuple(item for item in pantry.items if item.is_food and (item.count > 0 or item.name in offered))


def _arc_cost(places: Road, road: Road, weights: Mapping[str, float], until_s: FloatArray) -> FloatArray:
    """Return what each gap costs, from the start and every place to every place and the finish."""
    count = places.size
    before_s = np.append(0.0, places.clock_s)
    before_m = np.append(-1.0, places.distance_m)
    gap = gaps_between(places, road, before_m, before_s)
    cost = np.zeros((count + 1, count + 1))
    for gap_rule in GAP_RULES:
        each = gap_rule.cost(weights[gap_rule.name], places, gap)
        begun = 0 if gap_rule.counts_from_start else 1
        cost[begun:, :count] += each[begun:]
    for edge_rule in EDGE_RULES:
        bites = edge_rule.cost(weights[edge_rule.name], places)
        if edge_rule.edge == "start":
            cost[0, :count] += bites
        else:
            cost[1:, count] += bites
    too_short = gap.gap_s < LEAST_GAP_SHARE * road.eat_every_s
    too_short[0] |= too_soon(places)
    cost[:, :count] = np.where(too_short, np.inf, cost[:, :count])
    after_s = np.append(places.clock_s, max(road.last_bite_s, 0.0))
    return np.asarray(cost + over_gap_cost(after_s[None, :] - until_s[:, None]))


def too_soon(places: Road) -> BoolArray:
    """Return the places that come too soon for the first bite."""
    share = np.where(places.to_foot_s <= TOP_UP_S[0], BEFORE_A_CLIMB_SHARE, LEAST_FIRST_SHARE)
    return np.asarray(places.clock_s < share * places.first_food_s)


def pair_costs(places: Road, foods: Sequence[Item], weights: Mapping[str, float]) -> FloatArray:
    """Return what each item costs after each other at each place, shape (foods, foods, places)."""
    cost = np.zeros((len(foods), len(foods), places.size))
    for rule in PAIR_RULES:
        for before, earlier in enumerate(foods):
            for after, later in enumerate(foods):
                cost[before, after] += rule.cost(weights[rule.name], places, earlier, later)
    return np.asarray(cost - np.min(cost, axis=1, keepdims=True, initial=np.inf)) if foods else cost
