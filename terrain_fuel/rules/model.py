"""What a rule is, the kinds there are, and how scores become costs."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

import numpy as np

from terrain_fuel.facts import Fact, fact
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.gaps import Gap
from terrain_fuel.rules.road import IntArray, Road

SipKind = Literal["bite", "climb", "steady", "refill"]
"""What a sip is for: a bite just eaten, a climb, steady drinking, a bottle soon to be filled."""

Key = TypeVar("Key", bound=Hashable)

LEAST_SOFT_SCORE = 0.02
"""No soft rule goes below this: only a veto is zero."""


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """A bite at its place: the road there, shape (1,), what is eaten and what was before (None: nothing)."""

    here: Road
    item: Item
    before: Item | None


@dataclass(frozen=True, slots=True, eq=False)
class BitesAt:
    """Bites that might stand at n places, each between the bites around it.

    Parameters
    ----------
    here : the road at those places, shape (n,)
    items, portions : what is eaten at each
    before : the item eaten before each, None for a first bite
    gap_before : the gap from the bite before, or from the start, shapes (1, n)
    last : True for a last bite, shape (n,)
    arrival, gap_after : the road at the next bite, shape (n,), and the gap to it, shapes (1, n); anything
        for a last bite
    """

    here: Road
    items: tuple[Item, ...]
    portions: tuple[int, ...]
    before: tuple[Item | None, ...]
    gap_before: Gap
    last: BoolArray
    arrival: Road
    gap_after: Gap

    @property
    def first(self) -> BoolArray:
        """True for a first bite, shape (n,)."""
        return np.array([item is None for item in self.before], dtype=bool)


def _of_each(keys: Sequence[Key], costs: Callable[[Key], FloatArray]) -> FloatArray:
    """Return for each place the cost of its own key, each key asked for once at all places."""
    number: dict[Key, int] = {}
    numbers = np.array([number.setdefault(key, len(number)) for key in keys])
    cost = np.empty(numbers.size)
    for key, its_number in number.items():
        its = numbers == its_number
        cost[its] = costs(key)[its]
    return cost


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
    named_at : where on a road it may be, if not everywhere
    says : what the rider is told when a rule from outside decided; the book's own have a sentence a language
    """

    name: str
    source: str = "common practice (no source)"
    weight: float = 1.0
    veto: bool = False
    names_place: bool = False
    named_at: Callable[[Road], BoolArray] | None = None
    says: str = ""

    def may_be_named(self, road: Road) -> BoolArray:
        """Return whether it may be named as the reason for a bite at each place, shape (n,)."""
        everywhere = np.full(road.size, self.names_place)
        return everywhere if self.named_at is None else everywhere & self.named_at(road)

    @property
    def told(self) -> Fact:
        """What the rider is told when the rule decided."""
        return fact("own_rule", says=self.says) if self.says else fact(f"rule_{self.name}")

    def priced(self, weight: float, score: FloatArray) -> FloatArray:
        """Return -weight ln(score); inf where a veto scores 0."""
        score = np.asarray(score, dtype=np.float64)
        if self.veto:
            return np.where(score > 0, 0.0, np.inf)
        if (score >= 1.0).all():
            return np.zeros(score.shape)
        return np.asarray(-weight * np.log(np.minimum(np.maximum(score, LEAST_SOFT_SCORE), 1.0)))


@dataclass(frozen=True, slots=True, kw_only=True)
class BiteRule(Rule, ABC):
    """A rule of what is eaten."""

    @abstractmethod
    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return what the rule charges each of some bites, shape (n,), NaN where it has no say."""


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

    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return the cost at each place."""
        return self.cost(weight, bites.here)


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

    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return the cost at each place, NaN for a bite in the middle of the row."""
        at_edge = bites.first if self.edge == "start" else bites.last
        return np.where(at_edge, self.cost(weight, bites.here), np.nan)


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

    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return the cost of the gaps on both sides, the bites around staying where they are."""
        before = self.cost(weight, bites.here, bites.gap_before)[0]
        after = self.cost(weight, bites.arrival, bites.gap_after)[0]
        counts = np.full(bites.last.shape, True) if self.counts_from_start else ~bites.first
        return np.asarray(np.where(counts, before, 0.0) + np.where(bites.last, 0.0, after))


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceRule(BiteRule, ABC):
    """A rule of what is eaten rather than where.

    ``speaks_for`` tells whether it is a reason for an item at a moment, not just a rule that the item keeps.
    """

    speaks_for: Callable[[Moment], bool] = lambda moment: False

    @abstractmethod
    def other_cost(self, weight: float, bites: BitesAt, other: Item) -> FloatArray:
        """Return the cost of one portion of another item in each one's place of the row, shape (n,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemRule(ChoiceRule):
    """Scores some portions of an item at each place of a road.

    ``of_the_place`` marks a veto that tells more of the place than of the item: the first bite may wait for
    a place where what it forbids can be eaten. ``looks_at`` tells what of an item and its portions the score
    depends on: bites for which it is the same cost the same.
    """

    score: Callable[[Road, Item, int], FloatArray]
    of_the_place: bool = False
    looks_at: Callable[[Item, int], Hashable] = lambda item, portions: (item, portions)

    def cost(self, weight: float, road: Road, item: Item, portions: int) -> FloatArray:
        """Return the cost of that bite at each place, shape (n,)."""
        return self.priced(weight, self.score(road, item, portions))

    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return the cost at each place."""
        eaten = list(zip(bites.items, bites.portions, strict=True))
        return _of_each(eaten, lambda each: self.cost(weight, bites.here, *each))

    def other_cost(self, weight: float, bites: BitesAt, other: Item) -> FloatArray:
        """Return the cost of one portion of another item."""
        return self.cost(weight, bites.here, other, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRule(ChoiceRule):
    """Scores an item after the item before it, at each place of a road.

    ``looks_at`` tells what of the two the score depends on: pairs for which it is the same cost the same.
    """

    score: Callable[[Road, Item, Item], FloatArray]
    looks_at: Callable[[Item, Item], Hashable] = lambda before, item: (before, item)

    def cost(self, weight: float, road: Road, before: Item, item: Item) -> FloatArray:
        """Return the cost of that pair at each place, shape (n,)."""
        return self.priced(weight, self.score(road, before, item))

    def cost_at(self, weight: float, bites: BitesAt) -> FloatArray:
        """Return the cost at each place, NaN for a first bite."""
        return np.where(bites.first, np.nan, self._after_each(weight, bites, bites.items))

    def other_cost(self, weight: float, bites: BitesAt, other: Item) -> FloatArray:
        """Return the cost of another item after the same one."""
        return self._after_each(weight, bites, (other,) * len(bites.items))

    def _after_each(self, weight: float, bites: BitesAt, items: tuple[Item, ...]) -> FloatArray:
        """Return the cost of items after what came before each, after itself for a first bite."""
        before = (item or eaten for item, eaten in zip(bites.before, bites.items, strict=True))
        pairs = list(zip(before, items, strict=True))
        return _of_each(pairs, lambda pair: self.cost(weight, bites.here, *pair))


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
