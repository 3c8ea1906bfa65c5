"""What the rules charge for what can be eaten, at every node of a road: priced once, read for many places.

The coarse places, the finer ones around a plan and the slots of the bound are all nodes of one road, and a
rule looks at each node alone.
"""

from collections.abc import Hashable, Mapping
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
    """What options cost at n places, and each of m foods after each other: many pairs cost the same.

    Parameters
    ----------
    node_cost : (n, k)
    pair_kind : (m, m) what kind of pair it is, the food before first
    kind_cost : (kinds, n)
    """

    node_cost: FloatArray
    pair_kind: IntArray
    kind_cost: FloatArray

    @property
    def pair_cost(self) -> FloatArray:
        """What each food costs after each, shape (m, m, n)."""
        return np.asarray(self.kind_cost[self.pair_kind])


def prices_at(road: Road, nodes: IntArray, menu: Menu, *, shared: bool) -> Prices:
    """Return the prices at some nodes of a road whole; ``shared`` if others will be asked for too.

    No veto of place may stand at the nodes.
    """
    if not shared or not _fits(road, menu):
        return _price(road.take(nodes), menu)
    open_nodes, whole = _price_open(road, menu)
    at = np.searchsorted(open_nodes, nodes)
    return Prices(np.ascontiguousarray(whole.node_cost[at]), whole.pair_kind, whole.kind_cost[:, at])


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
    elif len(menu.foods) ** 2 * nodes.size <= MOST_SHARED:
        prices = _price(road.take(nodes), menu)
    else:
        one_kind = np.zeros((len(menu.foods), len(menu.foods)), dtype=np.int64)
        prices = Prices(_node_cost(road.take(nodes), menu), one_kind, np.zeros((1, nodes.size)))
    node_cost = np.minimum.reduceat(with_ties(prices.node_cost), first, axis=0)
    return Prices(node_cost, prices.pair_kind, np.minimum.reduceat(prices.kind_cost, first, axis=1))


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
    return Prices(_node_cost(places, menu), *_pair_kinds(places, menu))


def _node_cost(places: Road, menu: Menu) -> FloatArray:
    """Return what each option costs at each place, shape (places, options).

    What the best of them costs for being what it is counts for nothing: a kitchen of gels alone is
    no reason to eat less often. Where the first bite is due what the place alone forbids is among them: a
    ramp on which nothing can be chewed makes no quick sugar a good start.
    """
    weights = dict(menu.weights)
    by_item = np.zeros((len(menu.options), places.size))
    by_place = np.zeros_like(by_item)
    for rule in ITEM_RULES:
        known: dict[Hashable, FloatArray] = {}
        for cost, option in zip(by_place if rule.of_the_place else by_item, menu.options, strict=True):
            key = rule.looks_at(option.item, option.portions)
            if key not in known:
                known[key] = rule.cost(weights[rule.name], places, option.item, option.portions)
            cost += known[key]
    first = places.clock_s <= FIRST_SHARE * places.first_food_s
    least = np.min(np.where(first, by_item, by_item + by_place), axis=0, initial=np.inf)
    by_item -= np.where(np.isfinite(least), least, 0.0)
    return (place_cost(places, weights) + by_item + by_place).T


def _pair_kinds(places: Road, menu: Menu) -> tuple[IntArray, FloatArray]:
    """Return which pairs cost the same, shape (foods, foods), and what each kind costs, (kinds, places).

    After each food the best counts for nothing.
    """
    foods, weights = menu.foods, dict(menu.weights)
    by_rule: dict[tuple[str, Hashable], FloatArray] = {}
    by_look: dict[tuple[tuple[str, Hashable], ...], FloatArray] = {}
    kinds: dict[Hashable, int] = {}
    kind_cost: list[FloatArray] = []
    pair_kind = np.zeros((len(foods), len(foods)), dtype=np.int64)
    for row, earlier in enumerate(foods):
        looks = [tuple((rule.name, rule.looks_at(earlier, later)) for rule in PAIR_RULES) for later in foods]
        for look, later in zip(looks, foods, strict=True):
            if look not in by_look:
                cost = by_look[look] = np.zeros(places.size)
                for rule, key in zip(PAIR_RULES, look, strict=True):
                    if key not in by_rule:
                        by_rule[key] = rule.cost(weights[rule.name], places, earlier, later)
                    cost += by_rule[key]
        beside = frozenset(looks)
        best = np.min([by_look[look] for look in beside], axis=0)
        for column, look in enumerate(looks):
            if (look, beside) not in kinds:
                kinds[look, beside] = len(kind_cost)
                kind_cost.append(by_look[look] - best)
            pair_kind[row, column] = kinds[look, beside]
    return pair_kind, np.array(kind_cost).reshape(len(kind_cost), places.size)
