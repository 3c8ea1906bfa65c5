"""Turn the road, the pantry and the rider's wishes into a food problem in numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.curve import HourLimit, food_curve
from terrain_fuel.food.options import Option, food_options
from terrain_fuel.food.prices import Menu, prices_at, road_cost, with_ties
from terrain_fuel.food.problem import HOUR_S, FoodProblem, over_gap_cost
from terrain_fuel.food.sizes import curve_step_g
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import WATER_NAME, Item, Pantry
from terrain_fuel.rider import Rider
from terrain_fuel.rules.book import (
    EDGE_RULES,
    GAP_RULES,
    weights_for,
)
from terrain_fuel.rules.gaps import fed_until_by_node_s, gaps_between
from terrain_fuel.rules.halts import FoodStop
from terrain_fuel.rules.model import GapRule
from terrain_fuel.rules.occasions import TOP_UP_S
from terrain_fuel.rules.road import IntArray, Road
from terrain_fuel.work import Work

PLACE_EVERY_SHARE = 1 / 10
PLACE_EVERY_S = (20.0, 120.0)
MOST_GAPS = 10_000
MOST_PLACES_BY_GRAMS = 2_500_000
USUAL_G_PER_H = 100.0
"""Places stand farther apart where a day of very many hours would else take minutes and gigabytes:
gaps within reach, and places times the grams that may have been eaten there, stay below these."""

GAP_NUMBERS, PRICE_NUMBERS = 40, 200
"""What a gap between two places, and an option at a place, count as work."""

LEAST_GAP_SHARE = 0.35
BEFORE_A_CLIMB_SHARE = 0.5
BEFORE_A_RAMP_S = 120.0
"""A climb that is near, or a steep ramp that lasts beyond its time, asks for the first bite sooner: no sooner
than this share of the habit, and so long before the last easy place at the most."""


@dataclass(frozen=True, slots=True, eq=False)
class FoodTask:
    """A food problem with what its numbers mean.

    ``places`` are the candidate places, ``stock`` the portions at hand, eatable or not, ``hour`` what any
    hour may hold, and ``at_hand_g`` all that may be eaten [g].
    """

    places: Road
    menu: Menu
    stock: IntArray
    hour: HourLimit
    at_hand_g: float
    problem: FoodProblem

    @property
    def options(self) -> tuple[Option, ...]:
        """What can be eaten at one place, in the order of the problem's columns."""
        return self.menu.options

    @property
    def weights(self) -> Mapping[str, float]:
        """The weight of every rule."""
        return dict(self.menu.weights)


def candidate_nodes(road: Road, weights: Mapping[str, float], always: Sequence[int] = ()) -> IntArray:
    """Return the best node of every two minutes or so, all halts, and those that must be there."""
    cost = road_cost(road, tuple(weights.items()))
    chosen = best_of_slots(road.clock_s, cost, place_every_s(road))
    wanted = np.concatenate((chosen, np.flatnonzero(road.stop >= 0), np.asarray(always, dtype=np.int64)))
    nodes = np.unique(wanted.astype(np.int64))
    return np.asarray(nodes[np.isfinite(cost[nodes])])


def best_of_slots(clock_s: FloatArray, cost: FloatArray, slot_s: float) -> IntArray:
    """Return the cheapest place of each slot of the clock, the first of those that cost the same."""
    slot = np.floor_divide(clock_s, slot_s)
    begins = np.flatnonzero(np.diff(slot, prepend=-1.0))
    least = np.minimum.reduceat(cost, begins) if cost.size else cost
    best = np.flatnonzero(cost == np.repeat(least, np.diff(begins, append=cost.size)))
    return np.asarray(best[np.diff(slot[best], prepend=-1.0) > 0.0])


def place_every_s(road: Road) -> float:
    """Return how far apart candidate places stand [s]; at least three within the longest gap."""
    wanted_s = float(np.clip(road.eat_every_s * PLACE_EVERY_SHARE, *PLACE_EVERY_S))
    by_gaps_s = np.sqrt(road.elapsed_s * road.longest_gap_s / MOST_GAPS)
    by_grams_s = road.elapsed_s**2 / HOUR_S * USUAL_G_PER_H / MOST_PLACES_BY_GRAMS
    return max(wanted_s, min(float(max(by_gaps_s, by_grams_s)), road.longest_gap_s / 3.0))


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
    gap_rules: Sequence[GapRule] = GAP_RULES,
    shared: bool = True,
    work: Work | None = None,
) -> FoodTask:
    """Return the problem of placing food on a road.

    ``always`` are nodes that must be among the places, ``wanted`` portions that must be among the
    options; ``nodes`` are the places themselves, rising, in place of `candidate_nodes`; ``gap_rules`` are
    those that charge; ``shared`` is False where no other places of the road will be asked for; ``work`` is
    where it is counted; the rest as in `place_food`.
    """
    weights = weights_for(rider)
    foods = foods_on_the_way(road, pantry)
    options = food_options(foods, wanted)
    menu = Menu(foods, options, tuple(weights.items()))
    if nodes is None:
        nodes = candidate_nodes(road, weights, always)
    places = road.take(nodes)
    work = work or Work()
    work.add(GAP_NUMBERS * places.size**2 + PRICE_NUMBERS * places.size * len(options))
    prices = prices_at(road, nodes, menu, shared=shared)
    node_cost = with_ties(prices.node_cost)
    drawn = taken_along(places, options)
    stock = np.array([max(0, item.stock_portions - reserved.get(item.name, 0)) for item in foods])
    usable = np.zeros(len(foods), dtype=bool)
    for column, option in enumerate(options):
        usable[option.item_index] |= bool(np.isfinite(node_cost[:, column]).any())
    stock_g = sum(item.stock_portions * item.portion_carbohydrate_g for item in foods) - reserve_g
    hour = HourLimit(rider.gut_limit_g_per_h, lump_g)
    until_s = fed_until_by_node_s(road)[np.append(0, places.node + 1)]
    every_s = place_every_s(road)
    at_hand_g = _at_hand_g(foods, stock, drawn) - reserve_g
    curve = food_curve(road, places.clock_s, hour, every_s, at_hand_g)
    row_g = curve_step_g(road.elapsed_s / every_s, float(curve.need_g.max(initial=0.0)))
    problem = FoodProblem(
        clock_s=places.clock_s,
        end_s=max(road.last_bite_s, 0.0),
        node_cost=node_cost,
        arc_cost=_arc_cost(places, road, weights, until_s, gap_rules),
        pair_cost=prices.pair_cost,
        option_item=np.array([o.item_index for o in options], dtype=np.int64),
        option_portions=np.array([o.portions for o in options], dtype=np.int64),
        option_whole=np.array([round(o.carbohydrate_g / row_g) for o in options], dtype=np.int64),
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
        room_g=hour.room_g(road, places.clock_s),
        caffeine_mg_max=road.caffeine_mg_max,
        shortest_gap_s=LEAST_GAP_SHARE * road.eat_every_s,
        longest_gap_s=road.longest_gap_s,
        until_s=until_s,
        row_g=row_g,
        work=work,
    )
    return FoodTask(places, menu, stock.astype(np.int64), hour, at_hand_g, problem)


def _at_hand_g(foods: Sequence[Item], stock: IntArray, drawn: BoolArray) -> float:
    """Return the carbohydrate in food at home, no caffeine, without end where food is handed out [g]."""
    if not drawn.all():
        return float("inf")
    pairs = zip(foods, stock.tolist(), strict=True)
    return float(sum(count * item.portion_carbohydrate_g for item, count in pairs if item.caffeine_mg == 0.0))


def taken_along(places: Road, options: Sequence[Option]) -> BoolArray:
    """Return False where the last halt that is sure to be open has handed the item over or sold it."""
    shops = _food_shops(places)
    carried = [[option.item.name not in stop.offers for option in options] for stop in shops]
    drawn = np.array([[True] * len(options), *carried], dtype=bool).reshape(1 + len(shops), len(options))
    shop_m = np.array([stop.distance_m for stop in shops])
    return np.asarray(drawn[np.searchsorted(shop_m, places.distance_m + 1.0, side="right")])


def last_shop(road: Road, at_m: float) -> FoodStop | None:
    """Return the last halt by a place that is sure to offer food: from there it is taken along."""
    passed = [stop for stop in _food_shops(road) if stop.distance_m <= at_m + 1.0]
    return passed[-1] if passed else None


def _food_shops(road: Road) -> list[FoodStop]:
    """Return the halts that are sure to offer food, in road order."""
    return [stop for stop in road.stops if stop.sure and set(stop.offers) - {WATER_NAME}]


def foods_on_the_way(road: Road, pantry: Pantry) -> tuple[Item, ...]:
    """Return the foods in stock and those that a halt offers, in the pantry's order."""
    offered = {name for stop in road.stops if stop.sure for name in stop.offers}
    return tuple(item for item in pantry.items if item.is_food and (item.count > 0 or item.name in offered))


def _arc_cost(
    places: Road,
    road: Road,
    weights: Mapping[str, float],
    until_s: FloatArray,
    gap_rules: Sequence[GapRule],
) -> FloatArray:
    """Return what each gap costs, from the start and every place to every place and the finish."""
    count = places.size
    before_s = np.append(0.0, places.clock_s)
    before_m = np.append(-1.0, places.distance_m)
    gap = gaps_between(places, road, before_m[:, None], before_s[:, None])
    cost = np.zeros((count + 1, count + 1))
    for gap_rule in gap_rules:
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
    cost += over_gap_cost(after_s[None, :] - until_s[:, None])
    return cost


def too_soon(places: Road) -> BoolArray:
    """Return the places that come too soon for the first bite, unless a climb or a steep ramp asks for it."""
    soonest_s = BEFORE_A_CLIMB_SHARE * places.first_food_s
    before_ramp_s = max(soonest_s, places.easy_until_s - BEFORE_A_RAMP_S)
    usual_s = min(places.asking.first_share * places.first_food_s, before_ramp_s)
    from_s = np.where(places.to_foot_s <= TOP_UP_S[0], min(soonest_s, usual_s), usual_s)
    return np.asarray(places.clock_s < from_s)
