"""Bend a food problem to the rider's wishes: what is pinned is kept, whatever it costs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.model import FoodPlan
from terrain_fuel.food.options import Option
from terrain_fuel.food.pins import EatHere, NoFood, OnlyInLastHour, Pin, Swap
from terrain_fuel.food.problem import HOUR_S, FoodProblem, broken_limit
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Pantry
from terrain_fuel.rules.model import LEAST_SOFT_SCORE
from terrain_fuel.rules.road import Road

SAME_PLACE_M = 500.0
OTHER_ITEM_COST = 0.5
OTHER_PLACE_COST = 1.0
"""What it costs to leave a plan that the rider knows: a new item at an old place, a new place.
Common practice (no source): about as much as a bite on a slope."""


LIMITS = {
    "stock": "refused_stock",
    "reserve": "refused_reserve",
    "amount": "refused_amount",
    "caffeine": "refused_caffeine",
    "carbohydrate in an hour": "refused_hour",
}
"""What is told of a pinned bite with which those up to it break a limit, by the limit's name."""


@dataclass(frozen=True, slots=True)
class PinnedBite:
    """A pin tied to its node of the road."""

    node: int
    pin: EatHere


def pin_bites(pins: Sequence[Pin], road: Road, pantry: Pantry) -> tuple[PinnedBite, ...]:
    """Return the pinned bites in road order.

    Raises
    ------
    SettingsError
        If a pinned item is not food in stock, the place is beyond the road, a veto stands there, or
        another pin wants no food there.
    """
    _check_agreement(pins)
    found = []
    for pin in pins:
        if isinstance(pin, Swap):
            raise SettingsError(
                f"pins: swap of {pin.first} and {pin.second} needs the plan whose numbers it means;"
                " make the plan once without it"
            )
        if isinstance(pin, (EatHere, OnlyInLastHour)):
            _check_food(pin.item, pantry)
        if isinstance(pin, EatHere):
            found.append(PinnedBite(_free_node(pin, road), pin))
    found.sort(key=lambda bite: bite.node)
    for one, other in pairwise(found):
        if one.node == other.node:
            raise SettingsError(
                f"pins: {one.pin.item} and {other.pin.item} both stand at km {one.pin.at_km:.1f};"
                " move one of them",
                fact(
                    "refused_twice_there",
                    item=one.pin.item,
                    other=other.pin.item,
                    at_m=1000.0 * one.pin.at_km,
                ),
            )
    return tuple(found)


def bend_to_pins(
    task: FoodTask, pins: Sequence[Pin], bites: Sequence[PinnedBite], previous: FoodPlan | None
) -> FoodTask:
    """Return the task with everything forbidden that the pins exclude, and the old plan made cheaper."""
    if not pins and previous is None:
        return task
    node_cost = task.problem.node_cost.copy()
    arc_cost = task.problem.arc_cost.copy()
    for pin in pins:
        if isinstance(pin, NoFood):
            at_km = task.places.distance_m / 1000.0
            node_cost[(at_km >= pin.from_km) & (at_km <= pin.to_km)] = np.inf
        if isinstance(pin, OnlyInLastHour):
            other = np.array([option.item.name != pin.item for option in task.options])
            node_cost[np.ix_(task.places.to_finish_s <= HOUR_S, other)] = np.inf
    if previous is not None:
        node_cost += _cost_of_change(task, previous)
    for bite in bites:
        place = int(np.searchsorted(task.places.node, bite.node))
        node_cost[place] = _pinned_row(task, place, bite.pin)
        arc_cost[: place + 1, place + 1 :] = np.inf
    _reach_pins(task, bites, arc_cost)
    forced = tuple(int(np.searchsorted(task.places.node, bite.node)) for bite in bites)
    problem = replace(task.problem, node_cost=node_cost, arc_cost=arc_cost, forced=forced)
    _check_together(problem, bites)
    return replace(task, problem=problem)


def _check_together(problem: FoodProblem, bites: Sequence[PinnedBite]) -> None:
    """Raise SettingsError at the first pinned bite with which these, at their smallest, break a limit."""
    smallest = np.where(np.isfinite(problem.node_cost), problem.option_g[None, :], np.inf)
    choices = [(place, int(np.argmin(smallest[place]))) for place in problem.forced]
    for count in range(1, len(choices) + 1):
        broken = broken_limit(problem, choices[:count])
        if broken:
            pin = bites[count - 1].pin
            told = "the pinned bite breaks" if len(choices) == 1 else f"the {len(choices)} pinned bites break"
            raise SettingsError(
                f"pins: {told} a limit ({broken}) from {pin.item} at km {pin.at_km:.4g} on; take one out, or"
                " move it",
                fact(LIMITS[broken], item=pin.item, at_m=1000.0 * pin.at_km),
            )


def _check_agreement(pins: Sequence[Pin]) -> None:
    """Raise SettingsError where one pin wants food and another wants none."""
    for pin in pins:
        for other in pins:
            if isinstance(pin, EatHere) and isinstance(other, NoFood) and other.holds(pin.at_km):
                raise SettingsError(
                    f"pins: {pin.item} at km {pin.at_km:.4g} stands where no food is wanted, km"
                    f" {other.from_km:g} to {other.to_km:g}; take one of the two out, or move it",
                    fact(
                        "refused_no_food_wanted",
                        item=pin.item,
                        at_m=1000.0 * pin.at_km,
                        from_m=1000.0 * other.from_km,
                        to_m=1000.0 * other.to_km,
                    ),
                )


def _check_food(name: str, pantry: Pantry) -> None:
    foods = [food.name for food in pantry.foods]
    if name not in foods:
        raise SettingsError(
            f"pins: {name!r} is no food in stock; allowed is {', '.join(foods) or 'none: there is no food'};"
            " correct the name, or add it to the pantry",
            fact("refused_not_in_stock", item=name),
        )


def _free_node(pin: EatHere, road: Road) -> int:
    """Return the node of a pin; SettingsError where the rider must not eat."""
    at_m = pin.at_km * 1000.0
    if at_m > road.distance_m[-1]:
        raise SettingsError(
            f"pins: {pin.item} at km {pin.at_km:.4g} lies beyond the finish at"
            f" km {road.distance_m[-1] / 1000:.1f}; give a smaller at_km",
            fact("refused_beyond", item=pin.item, at_m=at_m, finish_m=float(road.distance_m[-1])),
        )
    node = int(np.argmin(np.abs(road.distance_m - at_m)))
    if road.clock_s[node] > road.last_bite_s:
        raise SettingsError(
            f"pins: {pin.item} at km {pin.at_km:.4g} is in the last ten minutes, where nothing is eaten;"
            " give a smaller at_km",
            fact("refused_last_minutes", item=pin.item, at_m=at_m),
        )
    blocked = road.veto | road.hands_on
    if blocked[node]:
        free_km = road.distance_m[~blocked & (road.clock_s <= road.last_bite_s)] / 1000.0
        nearest = free_km[np.argmin(np.abs(free_km - pin.at_km))] if free_km.size else np.nan
        raise SettingsError(
            f"pins: {pin.item} at km {pin.at_km:.4g} is where both hands belong on the bars;"
            f" the nearest free road is at km {nearest:.1f}; set at_km there",
            fact("refused_hands", item=pin.item, at_m=at_m, free_m=1000.0 * float(nearest)),
        )
    return node


def _pinned_row(task: FoodTask, place: int, pin: EatHere) -> FloatArray:
    """Return the costs of the options at a pinned place, inf for all but the pinned one."""
    fits = np.array([_is_pinned(option, pin) for option in task.options], dtype=bool)
    cost = np.where(fits, task.problem.node_cost[place], np.inf)
    if not np.isfinite(cost).any():
        raise SettingsError(
            f"pins: {pin.item} at km {pin.at_km:.4g} breaks a rule that always holds (caffeine too early"
            " or above the cap, or more portions than there are); change the place or the item",
            _why_never(task, [option for option in task.options if _is_pinned(option, pin)], pin),
        )
    return cost


def _why_never(task: FoodTask, options: Sequence[Option], pin: EatHere) -> Fact:
    """Return which rule that always holds a pinned bite breaks; ``options`` are those that fit the pin."""
    at_m = 1000.0 * pin.at_km
    if not options:
        return fact("refused_portions", item=pin.item, at_m=at_m, count=pin.portions or 1)
    dose_mg, places = min(option.caffeine_mg for option in options), task.places
    most_mg = min(places.caffeine_mg_single, places.caffeine_mg_max)
    if dose_mg > most_mg:
        return fact("refused_dose", item=pin.item, at_m=at_m, dose_mg=dose_mg, most_mg=most_mg)
    in_time_m = places.distance_m[places.caffeine_in_time]
    if dose_mg > 0.0 and in_time_m.size:
        nearest_m = float(in_time_m[np.argmin(np.abs(in_time_m - at_m))])
        return fact("refused_caffeine_there", item=pin.item, at_m=at_m, free_m=nearest_m)
    return fact("refused_rule", item=pin.item, at_m=at_m)


def _is_pinned(option: Option, pin: EatHere) -> bool:
    return option.item.name == pin.item and pin.portions in (None, option.portions)


def _reach_pins(task: FoodTask, bites: Sequence[PinnedBite], arc_cost: FloatArray) -> None:
    """Allow gaps shorter than the shortest from the start to a pin and between pins."""
    places = [int(np.searchsorted(task.places.node, bite.node)) for bite in bites]
    for earlier, later in pairwise([-1, *places]):
        if not np.isfinite(arc_cost[earlier + 1, later]):
            arc_cost[earlier + 1, later] = -np.log(LEAST_SOFT_SCORE)


def _cost_of_change(task: FoodTask, previous: FoodPlan) -> FloatArray:
    """Return what each choice costs for not being in the previous plan."""
    cost = np.full(task.problem.node_cost.shape, OTHER_PLACE_COST)
    for bite in previous.bites:
        near: BoolArray = np.abs(task.places.distance_m - bite.distance_m) <= SAME_PLACE_M
        same = np.array([(o.item.name, o.portions) == (bite.item, bite.portions) for o in task.options])
        here = np.where(same[None, :], 0.0, OTHER_ITEM_COST)
        cost = np.where(near[:, None], np.minimum(cost, here), cost)
    return cost
