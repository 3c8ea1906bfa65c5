"""Why a bite stands where it stands: the rules that decided, in a sentence for the rider."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.food.build import FoodTask, Option
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.book import RULES, rule_named
from terrain_fuel.rules.model import Rule, gaps_between
from terrain_fuel.rules.order import in_final_hour
from terrain_fuel.rules.road import Road

DECIDES_FROM = 0.15
"""A rule decides when it is worth so much of the objective: a score of 0.86 against 1."""

GOOD_SCORE = 0.8
RHYTHM_WITHIN_S = 120.0
SAME_PLACE_KM = 0.15
PLACE_RULES = (
    "crest", "crest_passed", "top_up", "gentle_descent", "easy_breathing", "free_hands",
    "hands_on", "approach", "last_ten_minutes", "last_food",
)  # fmt: skip
MOST_RULES = 3


@dataclass(frozen=True, slots=True)
class Moment:
    """A bite in its row: its node and option, the bite before and after it (None at the ends)."""

    node: int
    option: Option
    before: "tuple[int, Option] | None"
    after_node: int | None


def rule_costs(road: Road, task: FoodTask, moment: Moment, nodes: Sequence[int]) -> dict[str, FloatArray]:
    """Return what each rule charges were the bite at each of some nodes, inf for a veto.

    The gaps on both sides count too, the bites around it staying where they are.
    """
    here = road.take(np.asarray(nodes))
    costs = {}
    for rule in RULES:
        given = _given(rule, here, moment)
        if given is not None:
            costs[rule.name] = rule.cost(task.weights[rule.name], *given)
        elif rule.kind == "gap":
            costs[rule.name] = _gap_cost(rule, task.weights[rule.name], road, here, moment)
    return costs


def _given(rule: Rule, here: Road, moment: Moment) -> tuple[object, ...] | None:
    """Return what a rule of one place is given, None where it does not apply."""
    before, option = moment.before, moment.option
    if rule.kind == "place" or (rule.kind == "first" and before is None):
        return (here,)
    if rule.kind == "last" and moment.after_node is None:
        return (here,)
    if rule.kind == "item":
        return (here, option.item, option.portions)
    if rule.kind == "pair" and before is not None:
        return (here, before[1].item, option.item)
    return None


def _gap_cost(rule: Rule, weight: float, road: Road, here: Road, moment: Moment) -> FloatArray:
    """Return what a gap rule charges for the gaps before and after a bite."""
    cost = np.zeros(here.size)
    if moment.before is not None or rule.name != "rhythm":
        before = -1 if moment.before is None else moment.before[0]
        before_m = np.array([-1.0 if before < 0 else road.distance_m[before]])
        before_s = np.array([0.0 if before < 0 else road.clock_s[before]])
        cost += rule.cost(weight, here, gaps_between(here, before_m, before_s))[0]
    if moment.after_node is not None:
        arrival = road.take(np.array([moment.after_node]))
        cost += rule.cost(weight, arrival, gaps_between(arrival, here.distance_m, here.clock_s))[:, 0]
    return cost


def natural_node(road: Road, before_node: int | None) -> int:
    """Return where the clock alone would put a bite: the rhythm after the last, or the first food."""
    last_s = None if before_node is None else float(road.clock_s[before_node])
    due_s = road.first_food_s if last_s is None else last_s + road.eat_every_s
    return int(np.argmin(np.abs(road.clock_s - min(due_s, road.last_bite_s))))


def explain_choice(
    road: Road, task: FoodTask, moment: Moment, pinned: bool
) -> tuple[tuple[str, ...], str, Mapping[str, float]]:
    """Return the names of the rules that decided a bite, one sentence, and every rule's score.

    The bite is held against the place where the clock alone would have put it: rules that are
    better kept here than there decided the place. Rules that any other item would break more
    decided the item.
    """
    natural = natural_node(road, None if moment.before is None else moment.before[0])
    both = rule_costs(road, task, moment, (moment.node, natural))
    costs = {name: float(cost[0]) for name, cost in both.items()}
    scores = {name: float(np.exp(-cost)) for name, cost in costs.items()}
    item_rule = _item_rule(road, task, moment, costs)
    if pinned:
        return ("pin",), "your own wish", scores
    saved = {name: float(cost[1] - cost[0]) for name, cost in both.items()}
    deciding = [n for n, s in sorted(saved.items(), key=lambda pair: -pair[1]) if s > DECIDES_FROM]
    deciding = [name for name in deciding if name in PLACE_RULES and scores[name] >= GOOD_SCORE]
    on_crest = bool(road.crest[moment.node] >= 0)
    if on_crest:
        deciding = ["crest", *(name for name in deciding if name != "crest")]
    moved_s = float(road.clock_s[moment.node] - road.clock_s[natural])
    timing = "first_food" if moment.before is None else "rhythm"
    if not deciding or (abs(moved_s) <= RHYTHM_WITHIN_S and not on_crest):
        deciding, sentence = [timing], rule_named(timing).says
    else:
        sentence = f"{_move(road, natural, moment.node)}: {rule_named(deciding[0]).says}"
    names = [*deciding[:MOST_RULES], *([item_rule] if item_rule else [])]
    return tuple(names), f"{sentence}; {rule_named(item_rule).says}" if item_rule else sentence, scores


def _move(road: Road, natural: int, node: int) -> str:
    """Return how far the bite was moved from where the clock alone would put it, and to what."""
    moved_km = float(road.distance_m[node] - road.distance_m[natural]) / 1000.0
    to = ""
    if road.stop[node] >= 0:
        to = f" to {road.stops[road.stop[node]].name}"
    elif road.crest[node] >= 0:
        to = " to the crest"
    if abs(moved_km) < SAME_PLACE_KM:
        return f"right at{to.removeprefix(' to')}" if to else "right here"
    return f"moved {abs(moved_km):.1f} km {'on' if moved_km > 0 else 'back'}{to}"


def _item_rule(road: Road, task: FoodTask, moment: Moment, costs: Mapping[str, float]) -> str | None:
    """Return the item rule that speaks most for this item against the average of the others."""
    others = [option for option in task.options if option.portions == 1 and option.item != moment.option.item]
    here = road.take(np.array([moment.node]))
    best, best_saved = None, DECIDES_FROM
    for rule in RULES:
        if rule.name not in costs or not _speaks_for(rule.name, moment, here):
            continue
        theirs = []
        for option in others:
            given = (option.item, 1) if rule.kind == "item" else (_item_before(moment), option.item)
            theirs.append(min(4.0, float(rule.cost(task.weights[rule.name], here, *given)[0])))
        saved = float(np.mean(theirs)) - costs[rule.name] if theirs else 0.0
        if saved > best_saved:
            best, best_saved = rule.name, saved
    return best


def _speaks_for(name: str, moment: Moment, here: Road) -> bool:
    """Return whether a rule is a reason for this very item, not just one that it does not break."""
    item = moment.option.item
    ending = bool(in_final_hour(here)[0])
    return {
        "slow_early": item.kind == "solid" and here.clock_s[0] < here.elapsed_s / 2,
        "quick_late": item.timing in ("late", "final_hour"),
        "final_hour": ending and item.kind != "solid",
        "caffeine_second_half": item.caffeine_mg > 0,
        "variety": moment.before is not None,
        "solids_throughout": item.kind == "solid",
        "long_climb_soft": bool(here.on_long_climb[0]),
        "one_handed": item.one_handed and here.hands[0] < 0.7,
    }.get(name, False)


def _item_before(moment: Moment) -> Item:
    return moment.before[1].item if moment.before is not None else moment.option.item
