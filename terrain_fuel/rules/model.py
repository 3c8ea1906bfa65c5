"""What a rule is, the kinds there are, and how scores become costs."""

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.road import IntArray, Road

SipKind = Literal["bite", "climb", "steady", "refill"]
"""What a sip is for: a bite just eaten, a climb, steady drinking, a bottle soon to be filled."""

LEAST_SOFT_SCORE = 0.02
"""No soft rule goes below this: only a veto is zero."""


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """A bite that might stand at some places, in its row.

    Parameters
    ----------
    here : the road at those places, shape (n,)
    item, portions : what is eaten
    before : the item eaten before, None for the first bite
    gap_before : the gap from the bite before, or from the start, to each place, shapes (1, n)
    arrival, gap_after : the road at the next bite and the gap to it from each place, shapes (n, 1);
        None for the last bite
    """

    here: Road
    item: Item
    portions: int
    before: Item | None
    gap_before: Gap
    arrival: Road | None
    gap_after: Gap | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A named reason to like a choice or to forbid it; its kinds say what it looks at.

    Scores lie in [0, 1]. They multiply, each to the power of its weight, so a weight of 0 switches a rule
    off and the order of rules cannot matter.

    Parameters
    ----------
    name : stable name, by which the rider weighs it and plan.json cites it
    source : a key of REFERENCES.md or "common practice (no source)"
    weight : of its cost, unless the rider has another wish
    veto : a score of zero forbids, whatever the rider's weights
    names_place : it may be named as the reason why a bite stands where it does
    says : what the rider is told when a rule from outside decided; the book's own have a sentence a language
    """

    name: str
    source: str = "common practice (no source)"
    weight: float = 1.0
    veto: bool = False
    names_place: bool = False
    says: str = ""

    @property
    def told(self) -> Fact:
        """What the rider is told when the rule decided."""
        return fact("own_rule", says=self.says) if self.says else fact(f"rule_{self.name}")

    def priced(self, weight: float, score: FloatArray) -> FloatArray:
        """Return -weight ln(score); inf where a veto scores 0."""
        score = np.asarray(score, dtype=np.float64)
        if self.veto:
            return np.where(score > 0, 0.0, np.inf)
        if np.all(score >= 1.0):
            return np.zeros(score.shape)
        return -weight * np.log(np.clip(score, LEAST_SOFT_SCORE, 1.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class BiteRule(Rule, ABC):
    """A rule of what is eaten."""

    @abstractmethod
    def moment_cost(self, weight: float, moment: Moment) -> FloatArray | None:
        """Return what the rule charges at each place of a bite, shape (n,), None if it has no say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRule(BiteRule):
    """Scores a bite of anything at each place of a road.

    ``leads`` tells where the rule is the first reason named, whatever else decided.
    """

    score: Callable[[Road], FloatArray]
    leads: Callable[[Road], BoolArray] | None = None

    def cost(self, weight: float, road: Road) -> FloatArray:
        """Return the cost of a bite at each place, shape (n,)."""
        return self.priced(weight, self.score(road))

    def moment_cost(self, weight: float, moment: Moment) -> FloatArray:
        """Return the cost at each place."""
        return self.cost(weight, moment.here)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRule(BiteRule):
    """Scores the first bite after the start, or the last before the finish, at each place of a road.

    ``keeps_time`` marks the rule that says when the first bite is due.
    """

    score: Callable[[Road], FloatArray]
    edge: Literal["start", "finish"]
    keeps_time: bool = False

    def cost(self, weight: float, road: Road) -> FloatArray:
        """Return the cost of that bite at each place, shape (n,)."""
        return self.priced(weight, self.score(road))

    def moment_cost(self, weight: float, moment: Moment) -> FloatArray | None:
        """Return the cost at each place, None for a bite in the middle of the row."""
        at_edge = moment.before is None if self.edge == "start" else moment.arrival is None
        return self.cost(weight, moment.here) if at_edge else None


@dataclass(frozen=True, slots=True, kw_only=True)
class GapRule(BiteRule):
    """Scores arriving at each place after a gap without food.

    ``counts_from_start`` is False for a rule that has no say in the gap before the first bite;
    ``keeps_time`` marks the rule that says when the next bite is due. ``best_gap_s`` is where the score of a
    rule that looks at the gap's length is best; it falls from there either way, longest gaps fed by
    drink aside. Every rule's score falls with what is missed.
    """

    score: Callable[[Road, Gap], FloatArray]
    best_gap_s: Callable[[Road], FloatArray] | None = None
    counts_from_start: bool = True
    keeps_time: bool = False

    def cost(self, weight: float, road: Road, gap: Gap) -> FloatArray:
        """Return the cost of each gap, shape (before, places)."""
        return self.priced(weight, self.score(road, gap))

    def moment_cost(self, weight: float, moment: Moment) -> FloatArray:
        """Return the cost of the gaps on both sides, the bites around staying where they are."""
        cost = np.zeros(moment.here.size)
        if moment.before is not None or self.counts_from_start:
            cost += self.cost(weight, moment.here, moment.gap_before)[0]
        if moment.arrival is not None and moment.gap_after is not None:
            cost += self.cost(weight, moment.arrival, moment.gap_after)[:, 0]
        return cost


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRule(BiteRule, ABC):
    """A rule of what is eaten rather than where.

    ``speaks_for`` tells whether it is a reason for an item at a moment, not just a rule that the item keeps.
    """

    speaks_for: Callable[[Moment], bool] = lambda moment: False

    @abstractmethod
    def other_cost(self, weight: float, moment: Moment, other: Item) -> FloatArray:
        """Return the cost of one portion of another item in the same place of the row, shape (n,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemRule(ChoiceRule):
    """Scores some portions of an item at each place of a road."""

    score: Callable[[Road, Item, int], FloatArray]

    def cost(self, weight: float, road: Road, item: Item, portions: int) -> FloatArray:
        """Return the cost of that bite at each place, shape (n,)."""
        return self.priced(weight, self.score(road, item, portions))

    def moment_cost(self, weight: float, moment: Moment) -> FloatArray:
        """Return the cost at each place."""
        return self.cost(weight, moment.here, moment.item, moment.portions)

    def other_cost(self, weight: float, moment: Moment, other: Item) -> FloatArray:
        """Return the cost of one portion of another item."""
        return self.cost(weight, moment.here, other, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRule(ChoiceRule):
    """Scores an item after the item before it, at each place of a road."""

    score: Callable[[Road, Item, Item], FloatArray]

    def cost(self, weight: float, road: Road, before: Item, item: Item) -> FloatArray:
        """Return the cost of that pair at each place, shape (n,)."""
        return self.priced(weight, self.score(road, before, item))

    def moment_cost(self, weight: float, moment: Moment) -> FloatArray | None:
        """Return the cost at each place, None for the first bite."""
        return None if moment.before is None else self.cost(weight, moment.here, moment.before, moment.item)

    def other_cost(self, weight: float, moment: Moment, other: Item) -> FloatArray:
        """Return the cost of another item after the same one."""
        return self.cost(weight, moment.here, moment.before or moment.item, other)


@dataclass(frozen=True, slots=True, kw_only=True)
class SipRule(Rule):
    """Scores a sip at each place of a road, given the places of the bites.

    ``asks_for`` are the kinds of sip that stand on the road because of this rule.
    """

    score: Callable[[Road, IntArray], FloatArray]
    asks_for: frozenset[SipKind] = frozenset()

    def cost(self, weight: float, road: Road, bites: IntArray) -> FloatArray:
        """Return the cost of a sip at each place, shape (n,)."""
        return self.priced(weight, self.score(road, bites))
