"""Why a bite stands where it stands: the rules that decided."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import said_name
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.options import Option
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.book import BITE_RULES, CHOICE_RULES, EDGE_RULES, GAP_RULES, PLACE_RULES
from terrain_fuel.rules.gaps import gaps_between
from terrain_fuel.rules.model import BiteRule, ChoiceRule, Moment
from terrain_fuel.rules.road import Road

DECIDES_FROM = 0.15
"""A rule decides when it is worth so much of the objective: a score of 0.86 against 1."""

GOOD_SCORE = 0.8
RHYTHM_WITHIN_S = 120.0
SAME_PLACE_M = 150.0
MOST_RULES = 3
MOST_SAVED = 4.0
"""What another item would break counts no more than this: a veto is no stronger reason than a bad rule."""
MOVE_CODES = {
    ("at", "stop"): "right_at_stop",
    ("at", "crest"): "right_at_crest",
    ("at", "road"): "right_here",
    ("on", "stop"): "moved_on_to_stop",
    ("on", "crest"): "moved_on_to_crest",
    ("on", "road"): "moved_on",
    ("back", "stop"): "moved_back_to_stop",
    ("back", "crest"): "moved_back_to_crest",
    ("back", "road"): "moved_back",
}
"""How a bite was moved from where the clock alone would put it, and to what."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A bite in its row: its node and option, the bite before and the node after it (None at the ends)."""

    node: int
    option: Option
    before: "tuple[int, Option] | None"
    after_node: int | None


def rule_costs(
    road: Road, task: FoodTask, chosen: Chosen, nodes: Sequence[int]
) -> dict[BiteRule, FloatArray]:
    """Return what each rule charges were the bite at each of some nodes, inf for a veto.

    The gaps on both sides count too, the bites around it staying where they are. A rule that has
    no say in this bite is left out.
    """
    moment = _moment(road, chosen, nodes)
    costs = ((rule, rule.moment_cost(task.weights[rule.name], moment)) for rule in BITE_RULES)
    return {rule: cost for rule, cost in costs if cost is not None}


def _moment(road: Road, chosen: Chosen, nodes: Sequence[int]) -> Moment:
    """Return the bite at each of some nodes as the rules see it."""
    here = road.take(np.asarray(nodes))
    before = chosen.before
    arrival = None if chosen.after_node is None else road.take(np.array([chosen.after_node]))
    return Moment(
        here=here,
        item=chosen.option.item,
        portions=chosen.option.portions,
        before=None if before is None else before[1].item,
        gap_before=gaps_between(
            here,
            road,
            np.array([-1.0 if before is None else road.distance_m[before[0]]]),
            np.array([0.0 if before is None else road.clock_s[before[0]]]),
        ),
        arrival=arrival,
        gap_after=None if arrival is None else gaps_between(arrival, road, here.distance_m, here.clock_s),
    )


def natural_node(road: Road, before_node: int | None) -> int:
    """Return where the clock alone would put a bite: the rhythm after the last, or the first food."""
    last_s = None if before_node is None else float(road.clock_s[before_node])
    due_s = road.first_food_s if last_s is None else last_s + road.eat_every_s
    return int(np.argmin(np.abs(road.clock_s - min(due_s, road.last_bite_s))))


def explain_choice(
    road: Road, task: FoodTask, chosen: Chosen, pinned: bool
) -> tuple[tuple[str, ...], Fact, Mapping[str, float]]:
    """Return the names of the rules that decided a bite, how it is told, and every rule's score.

    The bite is held against the place where the clock alone would have put it: rules that are
    better kept here than there decided the place. Rules that any other item would break more
    decided the item.
    """
    natural = natural_node(road, None if chosen.before is None else chosen.before[0])
    costs = rule_costs(road, task, chosen, (chosen.node, natural))
    scores = {rule.name: float(np.exp(-cost[0])) for rule, cost in costs.items()}
    if pinned:
        return ("pin",), fact("pin"), scores
    deciding = _deciding(costs, scores)
    leading = _leading(road, chosen.node)
    deciding = [*leading, *(rule for rule in deciding if rule not in leading)]
    moved_s = float(road.clock_s[chosen.node] - road.clock_s[natural])
    if not deciding or (abs(moved_s) <= RHYTHM_WITHIN_S and not leading):
        deciding = _keeping_time(is_first=chosen.before is None)
        reason = deciding[0].told
    else:
        reason = fact("moved", where=_move(road, natural, chosen.node), rule=deciding[0].told)
    for_item = _item_rule(road, task, chosen, costs)
    names = tuple(rule.name for rule in (*deciding[:MOST_RULES], *for_item))
    for rule in for_item:
        reason = fact("place_and_item", place=reason, item=rule.told)
    return names, reason, scores


def _deciding(costs: Mapping[BiteRule, FloatArray], scores: Mapping[str, float]) -> list[BiteRule]:
    """Return the rules that are better kept here than where the clock would put it, the strongest first."""
    saved = {rule: float(cost[1] - cost[0]) for rule, cost in costs.items()}
    return [
        rule
        for rule, worth in sorted(saved.items(), key=lambda pair: -pair[1])
        if worth > DECIDES_FROM and rule.names_place and scores[rule.name] >= GOOD_SCORE
    ]


def _leading(road: Road, node: int) -> list[BiteRule]:
    """Return the rules that are named first at a node whatever else decided."""
    here = road.take(np.array([node]))
    return [rule for rule in PLACE_RULES if rule.leads is not None and bool(rule.leads(here)[0])]


def _keeping_time(*, is_first: bool) -> list[BiteRule]:
    """Return the rules that say when a bite is due."""
    return [rule for rule in (EDGE_RULES if is_first else GAP_RULES) if rule.keeps_time]


def _move(road: Road, natural: int, node: int) -> Fact:
    """Return how far the bite was moved from where the clock alone would put it, and to what."""
    moved_m = float(road.distance_m[node] - road.distance_m[natural])
    if road.stop[node] >= 0:
        to, stop = "stop", said_name(road.stops[road.stop[node]].name)
    else:
        to, stop = "crest" if road.crest[node] >= 0 else "road", NOTHING
    way = "at" if abs(moved_m) < SAME_PLACE_M else "on" if moved_m > 0 else "back"
    return fact(MOVE_CODES[way, to], moved_m=abs(moved_m), stop=stop)


def _item_rule(
    road: Road, task: FoodTask, chosen: Chosen, costs: Mapping[BiteRule, FloatArray]
) -> tuple[ChoiceRule, ...]:
    """Return the rule that speaks most for this item against the average of the others, if one does."""
    moment = _moment(road, chosen, (chosen.node,))
    others = [option.item for option in task.options if option.portions == 1 and option.item != moment.item]
    best: tuple[ChoiceRule, ...] = ()
    best_saved = DECIDES_FROM
    for rule in CHOICE_RULES:
        if rule not in costs or not others or not rule.speaks_for(moment):
            continue
        weight = task.weights[rule.name]
        theirs = [min(MOST_SAVED, float(rule.other_cost(weight, moment, item)[0])) for item in others]
        saved = float(np.mean(theirs)) - float(costs[rule][0])
        if saved > best_saved:
            best, best_saved = (rule,), saved
    return best
