"""Why a bite stands where it stands: the rules that decided."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from terrain_fuel.bottles.model import said_name
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.build import FoodTask
from terrain_fuel.food.options import Option
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.book import BITE_RULES, CHOICE_RULES, EDGE_RULES, GAP_RULES, PLACE_RULES
from terrain_fuel.rules.gaps import gaps_between
from terrain_fuel.rules.model import BiteRule, BitesAt, ChoiceRule, Moment, PlaceRule
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
    ("far on", "stop"): "far_on_to_stop",
    ("far on", "crest"): "far_on_to_crest",
    ("far on", "road"): "far_on",
    ("far back", "stop"): "far_back_to_stop",
    ("far back", "crest"): "far_back_to_crest",
    ("far back", "road"): "far_back",
}
"""How a bite was moved from where the clock alone would put it, and to what."""
FAR_S = 600.0
"""Who rides so long in between has no use for the kilometres."""


@dataclass(frozen=True, slots=True)
class Told:
    """Why a bite stands where it stands: the rules that decided, how that is told, every rule's score."""

    rules: tuple[str, ...]
    reason: Fact
    scores: Mapping[str, float]


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """A plan's bites as rules see them: where they stand, and where the clock alone would have put each.

    ``costs`` are (2, bites): what each rule charges here and there, NaN where it has no say.
    """

    road: Road
    nodes: Sequence[int]
    natural: Sequence[int]
    options: Sequence[Option]
    bites: BitesAt
    costs: Mapping[BiteRule, FloatArray]

    def moment(self, at: int) -> Moment:
        """Return one of the bites at its place."""
        here = self.road.take(np.array([self.nodes[at]]))
        return Moment(here, self.options[at].item, self.options[at - 1].item if at else None)


def _row(road: Road, weights: Mapping[str, float], nodes: Sequence[int], options: Sequence[Option]) -> _Row:
    natural = [natural_node(road, nodes[at - 1] if at else None) for at in range(len(nodes))]
    bites = _bites_at(road, nodes, natural, options)
    costs = {rule: rule.cost_at(weights[rule.name], bites).reshape(2, -1) for rule in BITE_RULES}
    return _Row(road, nodes, natural, options, bites, costs)


def _bites_at(road: Road, nodes: Sequence[int], natural: Sequence[int], options: Sequence[Option]) -> BitesAt:
    """Return the bites where they stand and, behind them, where the clock alone would have put each.

    The gaps on both sides count too, the bites around each staying where they are.
    """
    here = road.take(np.array([*nodes, *natural]))
    arrival = road.take(np.tile([*nodes[1:], nodes[-1]], 2))
    before_m = np.tile(np.append(-1.0, road.distance_m[list(nodes[:-1])]), 2)
    before_s = np.tile(np.append(0.0, road.clock_s[list(nodes[:-1])]), 2)
    items = tuple(option.item for option in options)
    return BitesAt(
        here=here,
        items=2 * items,
        portions=2 * tuple(option.portions for option in options),
        before=2 * (None, *items[:-1]),
        gap_before=gaps_between(here, road, before_m[None, :], before_s[None, :]),
        last=np.tile(np.arange(len(nodes)) == len(nodes) - 1, 2),
        arrival=arrival,
        gap_after=gaps_between(arrival, road, here.distance_m[None, :], here.clock_s[None, :]),
    )


def natural_node(road: Road, before_node: int | None) -> int:
    """Return where the clock alone would put a bite: the rhythm after the last, or the first food."""
    last_s = None if before_node is None else float(road.clock_s[before_node])
    due_s = road.first_food_s if last_s is None else last_s + road.eat_every_s
    return int(np.argmin(np.abs(road.clock_s - min(due_s, road.last_bite_s))))


def explain_bites(
    road: Road,
    task: FoodTask,
    nodes: Sequence[int],
    options: Sequence[Option],
    pinned_nodes: Collection[int] = (),
) -> list[Told]:
    """Return for each bite of a plan which rules decided it, how that is told, and every rule's score.

    Each bite is held against the place where the clock alone would have put it: rules that are
    better kept here than there decided the place. Rules that any other item would break more
    decided the item.

    Parameters
    ----------
    road, task : what the plan was made on, and the rules' weights
    nodes, options : where each bite stands, and what it is
    pinned_nodes : where the rider has set them
    """
    if not nodes:
        return []
    weights = task.weights
    row = _row(road, weights, nodes, options)
    leading = [(rule, rule.leads(row.bites.here)) for rule in PLACE_RULES if rule.leads is not None]
    named = {rule: rule.may_be_named(row.bites.here) for rule in BITE_RULES}
    for_item = _item_rules(row, weights, _others(task))
    told = []
    for at, node in enumerate(nodes):
        costs = {rule: cost[:, at] for rule, cost in row.costs.items() if not np.isnan(cost[0, at])}
        scores = {rule.name: float(np.exp(-cost[0])) for rule, cost in costs.items()}
        if node in pinned_nodes:
            told.append(Told(("pin",), fact("pin"), scores))
            continue
        leads = [rule for rule, here in leading if bool(here[at])]
        may_decide = {rule: cost for rule, cost in costs.items() if named[rule][at]}
        deciding, reason = _place_reason(row, at, leads, _deciding(may_decide, scores))
        for rule in for_item[at]:
            reason = fact("place_and_item", place=reason, item=rule.told)
        names = tuple(rule.name for rule in (*deciding[:MOST_RULES], *for_item[at]))
        told.append(Told(names, reason, scores))
    return told


def _place_reason(
    row: _Row, at: int, leading: list[PlaceRule], deciding: list[BiteRule]
) -> tuple[Sequence[BiteRule], Fact]:
    """Return the rules that decided the place of a bite, the strongest first, and how that is told."""
    road, node, natural = row.road, row.nodes[at], row.natural[at]
    deciding = [*leading, *(rule for rule in deciding if rule not in leading)]
    moved_s = float(road.clock_s[node] - road.clock_s[natural])
    if not deciding or (abs(moved_s) <= RHYTHM_WITHIN_S and not leading):
        deciding = _keeping_time(is_first=at == 0)
        return deciding, deciding[0].told
    return deciding, fact("moved", where=_move(road, natural, node, moved_s), rule=deciding[0].told)


def _deciding(costs: Mapping[BiteRule, FloatArray], scores: Mapping[str, float]) -> list[BiteRule]:
    """Return the rules that are better kept here than where the clock would put it, the strongest first."""
    saved = {rule: float(cost[1] - cost[0]) for rule, cost in costs.items()}
    return [
        rule
        for rule, worth in sorted(saved.items(), key=lambda pair: -pair[1])
        if worth > DECIDES_FROM and scores[rule.name] >= GOOD_SCORE
    ]


def _keeping_time(*, is_first: bool) -> list[BiteRule]:
    """Return the rules that say when a bite is due."""
    return [rule for rule in (EDGE_RULES if is_first else GAP_RULES) if rule.keeps_time]


def _move(road: Road, natural: int, node: int, moved_s: float) -> Fact:
    """Return how far the bite was moved from where the clock alone would put it, and to what."""
    moved_m = float(road.distance_m[node] - road.distance_m[natural])
    if road.stop[node] >= 0:
        to, stop = "stop", said_name(road.stops[road.stop[node]].name)
    else:
        to, stop = "crest" if road.crest[node] >= 0 else "road", NOTHING
    way = "at" if abs(moved_m) < SAME_PLACE_M else "on" if moved_m > 0 else "back"
    if way != "at" and abs(moved_s) > FAR_S:
        way = f"far {way}"
    return fact(MOVE_CODES[way, to], moved_m=abs(moved_m), stop=stop)


def _others(task: FoodTask) -> list[Item]:
    """Return what else might be eaten anywhere: one portion of each food."""
    return [option.item for option in task.options if option.portions == 1]


def _item_rules(
    row: _Row, weights: Mapping[str, float], items: Sequence[Item]
) -> list[tuple[ChoiceRule, ...]]:
    """Return for each bite the rule that speaks most for its item against the others' average, if any."""
    best: list[tuple[ChoiceRule, ...]] = [()] * len(row.nodes)
    best_saved = [DECIDES_FROM] * len(row.nodes)
    moments = [row.moment(at) for at in range(len(row.nodes))]
    for rule in CHOICE_RULES:
        speaks = [at for at, moment in enumerate(moments) if rule.speaks_for(moment)]
        theirs = {item: rule.other_cost(weights[rule.name], row.bites, item) for item in items if speaks}
        for at in speaks:
            own = float(row.costs[rule][0, at])
            others = [
                min(MOST_SAVED, float(cost[at])) for item, cost in theirs.items() if item != moments[at].item
            ]
            saved = float(np.mean(others)) - own if others and not np.isnan(own) else 0.0
            if saved > best_saved[at]:
                best[at], best_saved[at] = (rule,), saved
    return best
