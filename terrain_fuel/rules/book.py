"""All rules by name, and the rider's weights on them."""

from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.rules import breathing, carrying, eating, laps, order, safety, sipping
from terrain_fuel.rules.model import (
    BiteRule,
    ChoiceRule,
    EdgeRule,
    GapRule,
    ItemRule,
    PairRule,
    PlaceRule,
    Rule,
    SipRule,
)
from terrain_fuel.rules.road import IntArray, Road

MOST_WEIGHT = 5.0

RULES: list[Rule] = [
    *eating.RULES, *breathing.RULES, *laps.RULES, *order.RULES, *carrying.RULES, *safety.RULES,
    *sipping.RULES,
]  # fmt: skip


BITE_RULES = [rule for rule in RULES if isinstance(rule, BiteRule)]
PLACE_RULES = [rule for rule in RULES if isinstance(rule, PlaceRule)]
EDGE_RULES = [rule for rule in RULES if isinstance(rule, EdgeRule)]
GAP_RULES = [rule for rule in RULES if isinstance(rule, GapRule)]
CHOICE_RULES = [rule for rule in RULES if isinstance(rule, ChoiceRule)]
ITEM_RULES = [rule for rule in RULES if isinstance(rule, ItemRule)]
PAIR_RULES = [rule for rule in RULES if isinstance(rule, PairRule)]
SIP_RULES = [rule for rule in RULES if isinstance(rule, SipRule)]

_KINDS: tuple[tuple[list[Any], type[Rule]], ...] = (
    (RULES, Rule), (BITE_RULES, BiteRule), (PLACE_RULES, PlaceRule), (EDGE_RULES, EdgeRule),
    (GAP_RULES, GapRule), (CHOICE_RULES, ChoiceRule), (ITEM_RULES, ItemRule), (PAIR_RULES, PairRule),
    (SIP_RULES, SipRule),
)  # fmt: skip


def forbidding_gap_rules() -> list[GapRule]:
    """Return those that say which gaps are too long: what the others charge is not asked for everywhere."""
    return [rule for rule in GAP_RULES if rule.veto]


def add_rules(rules: Sequence[Rule]) -> None:
    """Put rules at the end of the book, each among its kinds."""
    for held, kind in _KINDS:
        held += [rule for rule in rules if isinstance(rule, kind)]


def remove_rules(rules: Sequence[Rule]) -> None:
    """Take rules out of the book again."""
    for held, _ in _KINDS:
        held[:] = [rule for rule in held if rule not in rules]


def rule_named(name: str) -> Rule:
    """Return the rule of that name.

    Raises
    ------
    SettingsError
        If there is none.
    """
    for rule in RULES:
        if rule.name == name:
            return rule
    close = get_close_matches(name, [rule.name for rule in RULES], n=1)
    advice = f"did you mean {close[0]}?" if close else "correct the name"
    raise SettingsError(
        f"rules: there is no rule {name!r}; allowed are {', '.join(r.name for r in RULES)}; {advice}"
    )


def weights_for(rider: Rider) -> dict[str, float]:
    """Return the weight of every rule, the rider's own wishes applied.

    Raises
    ------
    SettingsError
        For an unknown name, a weight outside 0 to 5, or a veto: no setting switches safety off.
    """
    weights = {rule.name: rule.weight for rule in RULES}
    for name, weight in dict(rider.rule_weights).items():
        if rule_named(name).veto:
            raise SettingsError(
                f"rules: {name!r} is a safety veto with weight {weight:g}; it always holds; take the line out"
            )
        if not 0.0 <= weight <= MOST_WEIGHT:
            raise SettingsError(
                f"rules: {name!r} has weight {weight:g}; allowed is 0 (off) to {MOST_WEIGHT:g}; correct it"
            )
        weights[name] = weight
    return weights


def sip_costs(road: Road, bites: IntArray, rider: Rider) -> dict[SipRule, FloatArray]:
    """Return what each rule charges for a sip at every place, inf where it is forbidden, shape (n,).

    ``bites`` are the indices of the places where something is eaten.
    """
    weights = weights_for(rider)
    return {rule: rule.cost(weights[rule.name], road, bites) for rule in SIP_RULES}
