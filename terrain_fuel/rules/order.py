"""What to eat when: slow food first, quick sugar late, something else each time."""

from functools import lru_cache

import numpy as np

from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.model import ItemRule, PairRule, Rule
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import Road

FATIGUE_FROM_S = 2 * 3600.0
FATIGUE_FULL_S = 3 * 3600.0
ACTS_SHARE, DUE_SCORE = 0.9, 0.01
"""What comes later than this share of the clock acts after the finish; where caffeine is due, anything else
is about the worst that could be eaten."""


def early_s(road: Road) -> float:
    """Return how long the early part lasts: the first hour, or a third of a short ride [s].

    >>> early_s(imagine_place()), early_s(imagine_place(elapsed_s=5400.0))
    (3600.0, 1800.0)
    """
    return min(3600.0, road.elapsed_s / 3)


def in_final_hour(road: Road) -> BoolArray:
    """Return where the final hour runs (the last third of a short ride).

    >>> in_final_hour(imagine_place(clock_s=3.5 * 3600)), in_final_hour(imagine_place())
    (array([ True]), array([False]))
    """
    return np.asarray(road.to_finish_s < min(3600.0, road.elapsed_s / 3))


def slow_early(road: Road, item: Item, portions: int) -> FloatArray:
    """Slow, solid food first: it lasts, and the stomach still takes it.

    Common practice (no source).

    >>> slow_early(imagine_place(clock_s=1800.0), BAR, 1)
    array([1.])
    >>> slow_early(imagine_place(clock_s=1800.0), GEL, 1)
    array([0.1])
    """
    share = road.clock_s / road.elapsed_s
    if item.traits.slow:
        fades = 0.5 if item.timing == "early" else 1.0
        return ramp(share, 0.5, 0.75, 1.0, fades)
    too_soon = 0.1 if item.traits.unchewed else 0.35
    begins_s = early_s(road)
    return ramp(road.clock_s, begins_s, 1.25 * begins_s, too_soon, 1.0)


def quick_late(road: Road, item: Item, portions: int) -> FloatArray:
    """Sugary things from the second hour, and what is kept for late in the second half.

    Common practice (no source).

    >>> quick_late(imagine_place(clock_s=9000.0), GEL, 1)
    array([1.])
    >>> quick_late(imagine_place(clock_s=3000.0), GEL, 1)
    array([0.2])
    """
    if item.timing not in ("late", "final_hour"):
        return np.ones(road.size)
    return ramp(road.clock_s / road.elapsed_s, 0.35, 0.55, 0.2, 1.0)


def final_hour(road: Road, item: Item, portions: int) -> FloatArray:
    """Quick sweets in the final hour: nothing slow is digested in time.

    Common practice (no source).

    >>> final_hour(imagine_place(clock_s=3.5 * 3600), SUGAR, 1)
    array([1.])
    >>> final_hour(imagine_place(clock_s=3.5 * 3600), BAR, 1)
    array([0.15])
    """
    ending = in_final_hour(road)
    if item.timing == "final_hour":
        return np.where(ending, 1.0, 0.08)
    if item.traits.slow:
        return np.where(ending, 0.15, 1.0)
    return np.where(ending, 0.75, 1.0)


def caffeine_late(road: Road, item: Item, portions: int) -> FloatArray:
    """Caffeine only in the last third or soon before the climb that decides, never more than a dose at once.

    Late caffeine works as well as early [Cox02]_; the cap is the rider's, the single dose [EF15]_.

    >>> caffeine_late(imagine_place(clock_s=10_000.0), COFFEE, 1)
    array([1.])
    >>> caffeine_late(imagine_place(clock_s=8000.0), COFFEE, 1)
    array([0.])
    """
    dose_mg = portions * item.caffeine_mg / item.portions
    if dose_mg <= 0:
        return np.ones(road.size)
    if dose_mg > min(road.caffeine_mg_single, road.caffeine_mg_max):
        return np.zeros(road.size)
    return np.where(road.caffeine_in_time, 1.0, 0.0)


def caffeine_wanted(road: Road, item: Item, portions: int) -> FloatArray:
    """A rider who has switched caffeine on wants it while it can still act, first in place of a quick bite.

    Taken late it works as well as early [Cox02]_; it acts within the hour [IOM]_.

    >>> caffeine_wanted(imagine_place(clock_s=10_000.0), COFFEE, 1)
    array([1.])
    >>> caffeine_wanted(imagine_place(clock_s=10_000.0), GEL, 1)
    array([0.4])
    """
    if road.caffeine_mg_max <= 0 or item.caffeine_mg > 0:
        return np.ones(road.size)
    acts = road.caffeine_in_time & (road.clock_s <= ACTS_SHARE * road.elapsed_s)
    due_s = road.asking.caffeine_due_s
    due = acts & (road.clock_s > due_s[0]) & (road.clock_s < due_s[1])
    return np.where(due, DUE_SCORE, np.where(acts, 0.65 if item.traits.slow else 0.4, 1.0))


def variety(road: Road, before: Item, item: Item) -> FloatArray:
    """Not the same again; from the third hour sweet after sweet tires, so salty in between.

    Common practice (no source).

    >>> variety(imagine_place(), BAR, RAISINS)
    array([1.])
    >>> variety(imagine_place(), BAR, BAR)
    array([0.6])
    """
    fatigue = _fatigue(road)
    again = 0.6 - 0.2 * fatigue if before.name == item.name else np.ones(road.size)
    sweet_twice = before.taste == item.taste == "sweet"
    return np.asarray(again * (1.0 - 0.35 * fatigue if sweet_twice else 1.0))


@lru_cache(maxsize=2)
def _fatigue(road: Road) -> FloatArray:
    """Return how tired of sweetness the rider is, 0 to 1: asked for every pair of foods on the same road."""
    tired = ramp(road.clock_s, FATIGUE_FROM_S, FATIGUE_FULL_S, 0.0, 1.0)
    tired.setflags(write=False)
    return tired


def solids_throughout(road: Road, before: Item, item: Item) -> FloatArray:
    """Keep something solid going in as long as it can be chewed; never gels alone.

    Common practice (no source). It rests in the final hour.

    >>> solids_throughout(imagine_place(), GEL, BAR)
    array([1.])
    >>> solids_throughout(imagine_place(), GEL, GEL)
    array([0.35])
    """
    loose = (not before.traits.slow) + (not item.traits.slow)
    gels = before.traits.unchewed + item.traits.unchewed
    score = 1.0 if loose < 2 else (0.8, 0.6, 0.35)[gels]
    return np.where(in_final_hour(road), 1.0, score)


RULES: tuple[Rule, ...] = (
    ItemRule(
        name="slow_early",
        score=slow_early,
        looks_at=lambda item, portions: (item.traits.slow, item.timing == "early", item.traits.unchewed),
        speaks_for=lambda m: m.item.traits.slow and bool(m.here.clock_s[0] < m.here.elapsed_s / 2),
    ),
    ItemRule(
        name="quick_late",
        score=quick_late,
        looks_at=lambda item, portions: item.timing in ("late", "final_hour"),
        speaks_for=lambda m: m.item.timing in ("late", "final_hour"),
    ),
    ItemRule(
        name="final_hour",
        score=final_hour,
        looks_at=lambda item, portions: (item.timing == "final_hour", item.traits.slow),
        speaks_for=lambda m: not m.item.traits.slow and bool(in_final_hour(m.here)[0]),
    ),
    ItemRule(
        name="caffeine_late",
        score=caffeine_late,
        looks_at=lambda item, portions: portions * item.caffeine_mg / item.portions,
        source="Cox02",
        veto=True,
        speaks_for=lambda m: m.item.caffeine_mg > 0,
    ),
    ItemRule(
        name="caffeine_wanted",
        score=caffeine_wanted,
        looks_at=lambda item, portions: (item.caffeine_mg > 0, item.traits.slow),
        source="Cox02",
    ),
    PairRule(
        name="variety",
        score=variety,
        looks_at=lambda before, item: (before.name == item.name, before.taste == item.taste == "sweet"),
        speaks_for=lambda m: m.before is not None,
    ),
    PairRule(
        name="solids_throughout",
        score=solids_throughout,
        looks_at=lambda *pair: tuple((item.traits.slow, item.traits.unchewed) for item in pair),
        speaks_for=lambda m: m.item.traits.slow,
    ),
)
