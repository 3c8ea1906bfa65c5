"""What the rules charge for what can be eaten, at every node of a road: priced once, read for many places.

The coarse places, the finer ones around a plan and the slots of the bound are all nodes of one road, and a
rule looks at each node alone.
"""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from terrain_fuel.food.options import Option
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.book import ITEM_RULES, PAIR_RULES, PLACE_RULES
from terrain_fuel.rules.road import IntArray, Road

MOST_SHARED = 4_000_000
"""Where a whole road's prices would be more numbers, only those asked for are found, each time."""

FIRST_SHARE = 1.5
"""Up to so many times the habit the first bite is due: common practice (no source)."""

TIE_STEP = 1e-7
"""Equal plans are told apart by it: the earlier place, then the earlier item of the pantry."""


@dataclass(frozen=True, slots=True)
class Menu:
    """What can be eaten, in which portions, and how the rider weighs the rules."""

    foods: tuple[Item, ...]
    options: tuple[Option, ...]
    weights: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Prices:
    """What options cost at places, shape (n, k), and each of m foods after each other, shape (m, m, n)."""

    node_cost: FloatArray
    pair_cost: FloatArray


def prices_at(road: Road, nodes: IntArray, menu: Menu, *, shared: bool) -> Prices:
    """Return the prices at some nodes of a road whole; ``shared`` if others will be asked for too.

    No veto of place may stand at the nodes.
    """
    if not shared or not _fits(road, menu):
        return _price(road.take(nodes), menu)
    open_nodes, whole = _price_open(road, menu)
    at = np.searchsorted(open_nodes, nodes)
    return Prices(whole.node_cost[at], whole.pair_cost[:, :, at])


def edible_at(road: Road, nodes: IntArray, menu: Menu) -> BoolArray:
    """Return whether anything of the menu may be eaten at some nodes, as `prices_at` has them."""
    if _fits(road, menu):
        node_cost = prices_at(road, nodes, menu, shared=True).node_cost
    else:
        node_cost = _node_cost(road.take(nodes), menu)
    return np.asarray(np.isfinite(node_cost).any(axis=1))


def least_prices(road: Road, nodes: IntArray, first: IntArray, menu: Menu) -> Prices:
    """Return the least price in each run of nodes, given with the first of each run.

    Where foods are so many that pairs are too many numbers, none costs anything, as the best of them do.
    """
    if _fits(road, menu):
        prices = prices_at(road, nodes, menu, shared=True)
        pair_cost = np.minimum.reduceat(prices.pair_cost, first, axis=2)
        return Prices(np.minimum.reduceat(with_ties(prices.node_cost), first, axis=0), pair_cost)
    places = road.take(nodes)
    foods = len(menu.foods)
    pair_cost = np.zeros((foods, foods, first.size))
    if foods**2 * places.size <= MOST_SHARED:
        for cost, each in zip(pair_cost, _pair_costs(places, menu), strict=True):
            np.minimum.reduceat(each, first, axis=1, out=cost)
    return Prices(np.minimum.reduceat(with_ties(_node_cost(places, menu)), first, axis=0), pair_cost)


def with_ties(node_cost: FloatArray) -> FloatArray:
    """Return what options cost at places, shape (places, options), a little more for each later one."""
    places, options = node_cost.shape
    cost = node_cost + TIE_STEP * np.arange(places)[:, None] / max(places, 1)
    cost += TIE_STEP * np.arange(options)[None, :] / max(options, 1)
    return np.asarray(cost)


@lru_cache(maxsize=1)
def road_cost(road: Road, weights: tuple[tuple[str, float], ...]) -> FloatArray:
    """Return `place_cost` at every node of a road whole."""
    cost = place_cost(road, dict(weights))
    cost.setflags(write=False)
    return cost


def place_cost(road: Road, weights: Mapping[str, float]) -> FloatArray:
    """Return the cost of eating anything at all at every place, inf where a veto stands."""
    cost = np.zeros(road.size)
    for rule in PLACE_RULES:
        cost += rule.cost(weights[rule.name], road)
    return cost


def _fits(road: Road, menu: Menu) -> bool:
    return road.size * (len(menu.options) + len(menu.foods) ** 2) <= MOST_SHARED


@lru_cache(maxsize=1)
def _price_open(road: Road, menu: Menu) -> tuple[IntArray, Prices]:
    """Return the nodes where no veto of place stands, and their prices."""
    nodes = np.flatnonzero(np.isfinite(road_cost(road, menu.weights)))
    return nodes, _price(road.take(nodes), menu)


def _price(places: Road, menu: Menu) -> Prices:
    pairs = np.empty((len(menu.foods), len(menu.foods), places.size))
    for row, cost in zip(pairs, _pair_costs(places, menu), strict=True):
        row[...] = cost
    return Prices(_node_cost(places, menu), pairs)


def _node_cost(places: Road, menu: Menu) -> FloatArray:
    """Return what each option costs at each place, shape (places, options).

    What the best of them costs for being what it is counts for nothing: a kitchen of gels alone is
    no reason to eat less often. Where the first bite is due what the place alone forbids is among them: a
    ramp on which nothing can be chewed makes no quick sugar a good start.
    """
    weights = dict(menu.weights)
    by_item = np.zeros((places.size, len(menu.options)))
    by_place = np.zeros_like(by_item)
    for rule in ITEM_RULES if menu.options else ():
        cost = by_place if rule.of_the_place else by_item
        for column, option in enumerate(menu.options):
            cost[:, column] += rule.cost(weights[rule.name], places, option.item, option.portions)
    first = places.clock_s <= FIRST_SHARE * places.first_food_s
    least = np.min(np.where(first[:, None], by_item, by_item + by_place), axis=1, initial=np.inf)
    by_item -= np.where(np.isfinite(least), least, 0.0)[:, None]
    return place_cost(places, weights)[:, None] + by_item + by_place


def _pair_costs(places: Road, menu: Menu) -> Iterator[FloatArray]:
    """Yield for each food what each costs after it at each place, shape (foods, places)."""
    weights = dict(menu.weights)
    known: dict[tuple[str, Hashable], FloatArray] = {}
    for earlier in menu.foods:
        cost = np.zeros((len(menu.foods), places.size))
        for rule in PAIR_RULES:
            for row, later in enumerate(menu.foods):
                key = rule.name, rule.looks_at(earlier, later)
                if key not in known:
                    known[key] = rule.cost(weights[rule.name], places, earlier, later)
                cost[row] += known[key]
        yield cost - np.min(cost, axis=0)
