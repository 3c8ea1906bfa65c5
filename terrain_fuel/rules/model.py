"""What a rule is, and how scores become costs."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.road import Occasion, Road

Family = Literal["eating", "order", "carrying", "safety", "sipping"]
Kind = Literal["place", "item", "gap", "first", "last", "pair", "sip"]

LEAST_SOFT_SCORE = 0.02
"""No soft rule goes below this: only a veto is zero."""


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """The road ridden between one bite and the next; all shapes (before, places).

    ``gap_s`` is the clock time between them; ``crests_missed`` and ``feet_missed`` add up the
    sizes of the occasions that lie wholly between them.
    """

    gap_s: FloatArray
    crests_missed: FloatArray
    feet_missed: FloatArray


@dataclass(frozen=True, slots=True)
class Rule:
    """A named reason to like a choice or to forbid it.

    ``score`` maps what its kind is given to scores in [0, 1]:

    ===== ==================================== ========================================
    kind  is given                             scores
    ===== ==================================== ========================================
    place road                                 a bite at each place
    item  road, item, portions                 that bite at each place
    first road                                 the first bite at each place
    last  road                                 the last bite at each place
    gap   road, gap                            arriving at each place after such a gap
    pair  road, item before, item              that item after the other, at each place
    sip   road, places of the bites            a sip at each place
    ===== ==================================== ========================================

    Scores multiply, each to the power of its weight, so a weight of 0 switches a rule off and
    the order of rules cannot matter. ``veto`` marks a rule whose zero forbids, whatever the
    rider's weights. ``source`` is a key of REFERENCES.md or "common practice (no source)";
    ``says`` is how the rider is told.
    """

    name: str
    family: Family
    kind: Kind
    score: Callable[..., Any]
    says: str
    source: str = "common practice (no source)"
    weight: float = 1.0
    veto: bool = False

    def cost(self, weight: float, *given: object) -> FloatArray:
        """Return -weight ln(score); inf where a veto scores 0."""
        score = np.asarray(self.score(*given), dtype=np.float64)
        if self.veto:
            return np.where(score > 0, 0.0, np.inf)
        return -weight * np.log(np.clip(score, LEAST_SOFT_SCORE, 1.0))


def ramp(value: FloatArray | float, low: float, high: float, at_low: float, at_high: float) -> FloatArray:
    """Return a straight line from ``at_low`` at ``low`` to ``at_high`` at ``high``, level outside.

    >>> float(ramp(0.5, 0.0, 1.0, 1.0, 0.2))
    0.6
    """
    return np.asarray(np.interp(value, [low, high], [at_low, at_high]), dtype=np.float64)


def missed(occasions: tuple[Occasion, ...], before_m: FloatArray, after_m: FloatArray) -> FloatArray:
    """Return the summed size of occasions that lie wholly between two bites.

    Parameters
    ----------
    occasions : in road order, their windows not overlapping
    before_m, after_m : shapes (b,) and (n,), where the earlier and the later bite stand [m]

    Returns
    -------
    array, shape (b, n)

    >>> top = Occasion(at_m=1000.0, start_m=800.0, end_m=1200.0, size=0.5)
    >>> missed((top,), np.array([0.0, 900.0]), np.array([1100.0, 2000.0]))
    array([[0. , 0.5],
           [0. , 0. ]])
    """
    size = np.concatenate(([0.0], np.cumsum([each.size for each in occasions])))
    ends = np.array([each.end_m for each in occasions])
    starts = np.array([each.start_m for each in occasions])
    passed = size[np.searchsorted(ends, after_m, side="left")]
    begun = size[np.searchsorted(starts, before_m, side="left")]
    return np.asarray(np.maximum(0.0, passed[None, :] - begun[:, None]))


def gaps_between(road: Road, before_m: FloatArray, before_s: FloatArray) -> Gap:
    """Return the gaps from each earlier bite to every place of the road."""
    return Gap(
        gap_s=road.clock_s[None, :] - before_s[:, None],
        crests_missed=missed(road.crests, before_m, road.distance_m),
        feet_missed=missed(road.feet, before_m, road.distance_m),
    )
