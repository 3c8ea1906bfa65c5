"""Where both hands belong on the bars. No setting switches a veto off."""

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.model import PlaceRule, Rule
from terrain_fuel.rules.road import Road


def hands_on(road: Road) -> FloatArray:
    """Never inside a safety flag: steep, twisting, rough, wet or gusty road wants both hands.

    Common practice (no source); one-handed riding wobbles more [Ji21]_.

    >>> hands_on(imagine_place())
    array([1.])
    >>> hands_on(imagine_place(hands_on=True))
    array([0.])
    """
    return np.where(road.hands_on, 0.0, 1.0)


def approach(road: Road) -> FloatArray:
    """Nor in the 200 m or 20 s before one: the bite must be down and the hand back.

    Common practice (no source).

    >>> approach(imagine_place())
    array([1.])
    >>> approach(imagine_place(veto=True))
    array([0.])
    """
    return np.where(road.veto, 0.0, 1.0)


def last_ten_minutes(road: Road) -> FloatArray:
    """Nothing to eat in the last ten minutes: it would not be absorbed before the finish.

    Common practice (no source).

    >>> last_ten_minutes(imagine_place())
    array([1.])
    >>> last_ten_minutes(imagine_place(clock_s=4 * 3600 - 300.0))
    array([0.])
    """
    return np.where(road.clock_s <= road.last_bite_s, 1.0, 0.0)


def free_hands(road: Road) -> FloatArray:
    """The straighter, gentler and slower the road, the freer the hand.

    Common practice (no source); the score comes from the road's hands model.

    >>> free_hands(imagine_place(hands=1.0))
    array([1.])
    >>> free_hands(imagine_place(hands=0.1))
    array([0.1])
    """
    return road.hands


RULES: tuple[Rule, ...] = (
    PlaceRule(
        name="hands_on",
        score=hands_on,
        source="Ji21",
        veto=True,
        names_place=True,
    ),
    PlaceRule(
        name="approach",
        score=approach,
        veto=True,
        names_place=True,
    ),
    PlaceRule(
        name="last_ten_minutes",
        score=last_ten_minutes,
        veto=True,
        names_place=True,
    ),
    PlaceRule(
        name="free_hands",
        score=free_hands,
        names_place=True,
    ),
)
