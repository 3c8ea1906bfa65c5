"""How often a rider is asked for something in an hour: food, drink, halts, both hands on the bars."""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable, Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.drink.room import HOUR_S
from terrain_fuel.flags.told import told_cautions
from terrain_fuel.food.model import Bite
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace

# Common practice (no source).
MOST_AN_HOUR = 12
"""More than this in an hour nobody follows."""
ONE_ACT_S = 60.0
"""What comes so soon after another is done with it."""


class Prompts:
    """The moments at which something is asked of the rider, asked before every sip between bites.

    Parameters
    ----------
    acts_s : when something is eaten or filled [s]
    hands_on_s : when both hands are wanted on the bars [s]; that is never done with something else
    """

    def __init__(self, acts_s: Iterable[float], hands_on_s: Iterable[float] = ()) -> None:
        self._acts_s: list[float] = []
        self._hands_on_s = sorted(hands_on_s)
        for at_s in sorted(acts_s):
            self.add(at_s)

    def leave_room(self, at_s: float) -> bool:
        """Return whether one more at a moment leaves every hour that holds it few enough."""
        if self._is_with_another(at_s):
            return True
        asked_s = (*_within_an_hour(self._acts_s, at_s), *_within_an_hour(self._hands_on_s, at_s))
        near_s = sorted((at_s, *asked_s))
        starts_s = near_s[: bisect_right(near_s, at_s)]
        fullest = max(bisect_left(near_s, s + HOUR_S) - bisect_left(near_s, s) for s in starts_s)
        return fullest <= MOST_AN_HOUR

    def add(self, at_s: float) -> None:
        """Note what is asked at a moment, unless it is done with another."""
        if not self._is_with_another(at_s):
            insort(self._acts_s, at_s)

    def _is_with_another(self, at_s: float) -> bool:
        before = bisect_right(self._acts_s, at_s)
        return before > 0 and at_s - self._acts_s[before - 1] <= ONE_ACT_S


def _within_an_hour(moments_s: Sequence[float], at_s: float) -> Sequence[float]:
    """Return those of some moments, rising, that stand less than an hour from one."""
    return moments_s[bisect_right(moments_s, at_s - HOUR_S) : bisect_left(moments_s, at_s + HOUR_S)]


def prompts_beside_sips(
    pace: Pace, hands: Hands, bites: Sequence[Bite], refills: Sequence[Refill]
) -> Prompts:
    """Return what is asked of the rider wherever sips have their places."""
    taken_m = [*(bite.distance_m for bite in bites), *(refill.at_m for refill in refills)]
    told = told_cautions(hands.cautions, taken_m, pace)
    hands_on_m = [caution.start_m for caution in told if caution.hands_on]
    return Prompts(map(pace.clock_at, taken_m), map(pace.clock_at, hands_on_m))
