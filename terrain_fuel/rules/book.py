"""All rules by name, and the rider's weights on them."""

import numpy as np

from terrain_fuel.errors import SettingsError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider
from terrain_fuel.rules import carrying, eating, order, safety, sipping
from terrain_fuel.rules.model import Kind, Rule
from terrain_fuel.rules.road import IntArray, Road

MOST_WEIGHT = 5.0

RULES: tuple[Rule, ...] = (
    *eating.RULES, *order.RULES, *carrying.RULES, *safety.RULES, *sipping.RULES,
)  # fmt: skip


def rules_of(kind: Kind) -> tuple[Rule, ...]:
    """Return the rules of one kind, in the book's order."""
    return tuple(rule for rule in RULES if rule.kind == kind)


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
    raise SettingsError(
        f"rules: there is no rule {name!r}; allowed are {', '.join(r.name for r in RULES)}; correct the name"
    )


def weights_for(rider: Rider) -> dict[str, float]:
    """Return the weight of every rule, the rider's own wishes applied.

    Raises
    ------
    SettingsError
        For an unknown name, a weight outside 0 to 5, or a veto: no setting switches safety off.
    """
    weights = {rule.name: rule.weight for rule in RULES}
    for name, weight in rider.rule_weights:
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


def score_sips(road: Road, bites: IntArray, rider: Rider) -> FloatArray:
    """Return how good a sip is at every place, 0 where it is forbidden, shape (n,).

    ``bites`` are the indices of the places where something is eaten.
    """
    weights = weights_for(rider)
    cost = np.zeros(road.size)
    for rule in rules_of("sip"):
        cost += rule.cost(weights[rule.name], road, bites)
    score: FloatArray = np.exp(-cost)
    return score
