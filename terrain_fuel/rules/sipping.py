"""Where to drink: with every bite, and all the way up."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import DRINK_WITHIN_S
from terrain_fuel.rules.model import Rule, SipRule
from terrain_fuel.rules.ramp import ramp
from terrain_fuel.rules.road import IntArray, Road


def sip_with_bite(road: Road, bites: IntArray) -> FloatArray:
    """A mouthful with every bite, within two minutes: it helps it down and dilutes it.

    Common practice (no source). ``bites`` are indices of places.

    >>> sip_with_bite(imagine_place(), np.array([0]))
    array([1.])
    >>> sip_with_bite(imagine_place(), np.array([], dtype=int))
    array([0.6])
    """
    if bites.size == 0:
        return np.full(road.size, 0.6)
    bite_s = np.sort(road.clock_s[bites])
    latest = np.searchsorted(bite_s, road.clock_s, side="right") - 1
    after_s = road.clock_s - bite_s[np.maximum(latest, 0)]
    return np.where((latest >= 0) & (after_s <= DRINK_WITHIN_S.value), 1.0, 0.6)


def sip_on_climbs(road: Road, bites: IntArray) -> FloatArray:
    """Keep sipping on climbs: reaching the top thirsty and draining a bottle at once is a mistake.

    Common practice (no source).

    >>> sip_on_climbs(imagine_place(on_climb=True), np.array([0]))
    array([1.])
    >>> sip_on_climbs(imagine_place(grade=-0.06), np.array([0]))
    array([0.3])
    """
    return np.where(road.on_climb, 1.0, ramp(road.grade, -0.05, -0.01, 0.3, 0.8))


def sip_hands(road: Road, bites: IntArray) -> FloatArray:
    """Reaching for the bottle takes a hand and a moment's attention.

    Common practice (no source).

    >>> sip_hands(imagine_place(hands=0.9), np.array([0]))
    array([0.9])
    >>> sip_hands(imagine_place(hands=0.2), np.array([0]))
    array([0.2])
    """
    return road.hands


def sip_safety(road: Road, bites: IntArray) -> FloatArray:
    """No sip inside a safety flag or on the approach to one.

    Common practice (no source); one-handed riding wobbles more [Ji21]_.

    >>> sip_safety(imagine_place(), np.array([0]))
    array([1.])
    >>> sip_safety(imagine_place(veto=True), np.array([0]))
    array([0.])
    """
    return np.where(road.veto | road.hands_on, 0.0, 1.0)


RULES: tuple[Rule, ...] = (
    SipRule(
        name="sip_with_bite",
        score=sip_with_bite,
        asks_for=frozenset({"bite"}),
    ),
    SipRule(
        name="sip_on_climbs",
        score=sip_on_climbs,
        asks_for=frozenset({"climb"}),
    ),
    SipRule(
        name="sip_hands",
        score=sip_hands,
    ),
    SipRule(
        name="sip_safety",
        score=sip_safety,
        source="Ji21",
        veto=True,
    ),
)
