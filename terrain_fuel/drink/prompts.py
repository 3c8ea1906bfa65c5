"""How often a rider is asked for something in an hour: food, drink, halts, both hands on the bars."""

from collections.abc import Iterable, Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.drink.room import HOUR_S
from terrain_fuel.food.model import Bite
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace

# Common practice (no source).
MOST_AN_HOUR = 12
"""More than this in an hour nobody follows."""
ONE_ACT_S = 60.0
"""What comes so soon after another is done with it."""


class Prompts:
    """The moments at which something is asked of the rider, asked before every sip between bites."""

    def __init__(self, moments_s: Iterable[float]) -> None:
        self._at_s: list[float] = []
        for at_s in sorted(moments_s):
            self.add(at_s)

    def leave_room(self, at_s: float) -> bool:
        """Return whether one more at a moment leaves every hour that holds it few enough."""
        if self._is_with_another(at_s):
            return True
        near_s = sorted([at_s, *(other_s for other_s in self._at_s if abs(other_s - at_s) < HOUR_S)])
        starts_s = [start_s for start_s in near_s if start_s <= at_s]
        fullest = max(sum(start_s <= each_s < start_s + HOUR_S for each_s in near_s) for start_s in starts_s)
        return fullest <= MOST_AN_HOUR

    def add(self, at_s: float) -> None:
        """Note what is asked at a moment, unless it is done with another."""
        if not self._is_with_another(at_s):
            self._at_s.append(at_s)

    def _is_with_another(self, at_s: float) -> bool:
        return any(0.0 <= at_s - other_s <= ONE_ACT_S for other_s in self._at_s)


def prompts_beside_sips(
    pace: Pace, hands: Hands, bites: Sequence[Bite], refills: Sequence[Refill]
) -> Prompts:
    """Return what is asked of the rider wherever sips have their places."""
    hands_on_m = [caution.start_m for caution in hands.cautions if caution.hands_on]
    moments_s = [pace.clock_at(at_m) for at_m in (*hands_on_m, *(refill.at_m for refill in refills))]
    return Prompts([*moments_s, *(bite.clock_s for bite in bites)])
