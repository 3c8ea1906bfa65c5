"""Why a bite stands where it stands: the rules that decided, in a sentence for the rider."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from terrain_fuel.pantry import Item
from terrain_fuel.placement.food_build import FoodTask, Option
from terrain_fuel.rules.book import RULES, rule_named
from terrain_fuel.rules.model import Rule, gaps_between
from terrain_fuel.rules.order import in_final_hour
from terrain_fuel.rules.situation import Situation

DECIDES_FROM = 0.15
"""A rule decides when it is worth so much of the objective: a score of 0.86 against 1."""

GOOD_SCORE = 0.6
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


def rule_costs(road: Situation, task: FoodTask, moment: Moment) -> dict[str, float]:
    """Return what each rule charges for a bite and the gaps on both sides of it, inf for a veto."""
    here = road.take(np.array([moment.node]))
    costs = {rule.name: _rule_cost(rule, road, here, task, moment) for rule in RULES if rule.kind != "sip"}
    return {name: cost for name, cost in costs.items() if cost is not None}


def _rule_cost(rule: Rule, road: Situation, here: Situation, task: FoodTask, moment: Moment) -> float | None:
    weight = task.weights[rule.name]
    if rule.kind == "place":
        return float(rule.cost(weight, here)[0])
    if rule.kind == "item":
        return float(rule.cost(weight, here, moment.option.item, moment.option.portions)[0])
    if rule.kind == "pair":
        if moment.before is None:
            return None
        return float(rule.cost(weight, here, moment.before[1].item, moment.option.item)[0])
    if rule.kind == "first":
        return float(rule.cost(weight, here)[0]) if moment.before is None else None
    if rule.kind == "last":
        return float(rule.cost(weight, here)[0]) if moment.after_node is None else None
    return _gap_cost(rule, weight, road, moment)


def _gap_cost(rule: Rule, weight: float, road: Situation, moment: Moment) -> float:
    """Return what a gap rule charges for the gaps before and after a bite."""
    cost = 0.0
    start = None if moment.before is None else moment.before[0]
    for earlier, later in ((start, moment.node), (moment.node, moment.after_node)):
        if later is None or (earlier is None and rule.name == "rhythm"):
            continue
        before_m = -1.0 if earlier is None else float(road.distance_m[earlier])
        before_s = 0.0 if earlier is None else float(road.clock_s[earlier])
        arrival = road.take(np.array([later]))
        gap = gaps_between(arrival, np.array([before_m]), np.array([before_s]))
        cost += float(rule.cost(weight, arrival, gap)[0, 0])
    return cost


def natural_node(road: Situation, before_node: int | None) -> int:
    """Return where the clock alone would put a bite: the rhythm after the last, or the first food."""
    last_s = None if before_node is None else float(road.clock_s[before_node])
    due_s = road.first_food_s if last_s is None else last_s + road.eat_every_s
    return int(np.argmin(np.abs(road.clock_s - min(due_s, road.last_bite_s))))


def explain_choice(
    road: Situation, task: FoodTask, moment: Moment, pinned: bool
) -> tuple[tuple[str, ...], str, Mapping[str, float]]:
    """Return the names of the rules that decided a bite, one sentence, and every rule's score.

    The bite is held against the place where the clock alone would have put it: rules that are
    better kept here than there decided the place. Rules that any other item would break more
    decided the item.
    """
    costs = rule_costs(road, task, moment)
    scores = {name: float(np.exp(-cost)) for name, cost in costs.items()}
    natural = natural_node(road, None if moment.before is None else moment.before[0])
    item_rule = _item_rule(road, task, moment, costs)
    if pinned:
        return ("pin",), "your own wish", scores
    there = rule_costs(road, task, Moment(natural, moment.option, moment.before, moment.after_node))
    saved = {name: there.get(name, cost) - cost for name, cost in costs.items()}
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


def _move(road: Situation, natural: int, node: int) -> str:
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


def _item_rule(road: Situation, task: FoodTask, moment: Moment, costs: Mapping[str, float]) -> str | None:
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


def _speaks_for(name: str, moment: Moment, here: Situation) -> bool:
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
