"""Where what is eaten can be got at and opened."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.pantry import Item
from terrain_fuel.rules.model import ItemRule, PlaceRule, Rule
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import Road

STIFF_BELOW_C = 5.0
"""Bars and chews are hard to bite from here down: common practice (no source)."""


def one_handed(road: Road, item: Item, portions: int) -> FloatArray:
    """What needs two hands to open waits for a halt, or for the easiest road.

    Common practice (no source).

    >>> one_handed(imagine_place(hands=0.6), BAR, 1)
    array([1.])
    >>> one_handed(imagine_place(hands=0.6), TWO_HANDED, 1)
    array([0.05])
    """
    if item.one_handed:
        return np.ones(road.size)
    return np.where(road.stop >= 0, 1.0, ramp(road.hands, 0.7, 1.0, 0.05, 0.4))


def reach(road: Road) -> FloatArray:
    """What can't be reached isn't eaten: with no pocket or bag in reach, food waits for a halt.

    Common practice (no source).

    >>> reach(imagine_place())
    array([1.])
    >>> reach(imagine_place(slots_in_reach=0))
    array([0.05])
    """
    return np.where((road.stop >= 0) | (road.slots_in_reach > 0), 1.0, 0.05)


def soft_in_cold(road: Road, item: Item, portions: int) -> FloatArray:
    """What turns hard in the cold is eaten where nothing softer is left.

    Common practice (no source).

    >>> soft_in_cold(imagine_place(temperature_c=2.0), RAISINS, 1)
    array([1.])
    >>> soft_in_cold(imagine_place(temperature_c=2.0), BAR, 1)
    array([0.4])
    """
    hard = road.temperature_c <= STIFF_BELOW_C and not item.soft
    return np.full(road.size, 0.4 if hard else 1.0)


RULES: tuple[Rule, ...] = (
    ItemRule(
        name="one_handed",
        score=one_handed,
        looks_at=lambda item, portions: item.one_handed,
        speaks_for=lambda m: m.item.one_handed and bool(m.here.hands[0] < 0.7),
    ),
    PlaceRule(
        name="reach",
        score=reach,
    ),
    ItemRule(
        name="soft_in_cold",
        score=soft_in_cold,
        looks_at=lambda item, portions: item.soft,
        speaks_for=lambda m: m.item.soft and m.here.temperature_c <= STIFF_BELOW_C,
    ),
)
