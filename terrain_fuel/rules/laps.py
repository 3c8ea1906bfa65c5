"""Where laps are ridden: the same place each lap, so that nothing has to be remembered but the lap."""

from terrain_fuel.frozen import FloatArray
from terrain_fuel.rules.model import PlaceRule, Rule
from terrain_fuel.rules.road import Road

# Common practice (no source).
ELSEWHERE = 0.45


def same_place(road: Road) -> FloatArray:
    """The same place each lap, where the road is open in every one; 1 where no laps are ridden.

    Common practice (no source).

    >>> same_place(imagine_place())
    array([1.])
    >>> same_place(imagine_place(lap_spot=0.0))
    array([0.45])
    """
    return ELSEWHERE + (1.0 - ELSEWHERE) * road.lap_spot


RULES: tuple[Rule, ...] = (PlaceRule(name="same_place", score=same_place, names_place=True),)
