"""Drink as food: what a sip must bring so that no gap between food grows too long."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from terrain_fuel.food.model import Bite
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import FEEDS_G
from terrain_fuel.rules.road import Road

AMPLE = 2.0
"""So many times the feedings that are wanted are enough to drink of as thirst asks."""
EARLY_S, BITE_LATE_S = 30.0, 30.0
"""Sips end a gap a little before it is too long; for a bite that comes so little late none is taken."""
SAFE_G = 0.1
"""So much more than the rule asks for: written figures are rounded."""
STRETCH_S, MOST_STRETCHED_S, SPARE_S = 60.0, 3 * 3600.0, 180.0
"""How finely, and how far, gaps are stretched where there is too little for the longest of the rider's, and
what of a stretched gap is spare: a sip may have to come that much sooner."""


@dataclass(slots=True)
class Hunger:
    """The account of when food last came, asked before every draught; sips are told in time order.

    ``bites_s`` are the clock times of the bites, rising, and of the moment after which nothing is eaten;
    ``gap_s`` is kept between feedings: the longest, or more where what is in the bottles does not last.
    Where it ``is_scarce`` none of it is drunk but to end a gap, as long as there is water.
    """

    longest_gap_s: float
    bites_s: list[float]
    fed_s: float = 0.0
    came_g: float = field(default=0.0)
    stretched_s: float = 0.0
    is_scarce: bool = False

    @property
    def gap_s(self) -> float:
        """The gap between feedings that is kept [s]."""
        return max(self.longest_gap_s, self.stretched_s)

    def share_out(self, carbohydrate_g: float, until_s: float, *, is_last: bool) -> None:
        """Stretch the gaps up to a moment, evenly, if so much in the bottles [g] does not keep the longest.

        ``is_last`` says that there is no more at home.
        """
        ends_s = [bite_s for bite_s in self.bites_s if self.fed_s < bite_s < until_s]
        gaps_s = np.diff([self.fed_s, *ends_s, min(until_s, self.bites_s[-1])])
        feeds = int((carbohydrate_g + self.came_g) / self.whole_g + 1e-9)
        wanted = _feedings(gaps_s, self.longest_gap_s)
        self.stretched_s = self.longest_gap_s
        self.is_scarce = wanted > feeds or (is_last and feeds < AMPLE * wanted)
        if wanted > feeds:
            while (
                _feedings(gaps_s, self.stretched_s - SPARE_S) > feeds and self.stretched_s < MOST_STRETCHED_S
            ):
                self.stretched_s += STRETCH_S

    @property
    def whole_g(self) -> float:
        """What drink brings to count as food [g]."""
        return FEEDS_G.value + SAFE_G

    @property
    def missing_g(self) -> float:
        """What drink must still bring to count as food [g]."""
        return max(0.0, self.whole_g - self.came_g)

    def due_s(self, now_s: float, next_sip_s: float, early_s: float = EARLY_S) -> float | None:
        """Return by when drink must end the gap, None where the next sip or bite comes in time [s]."""
        self._pass_bites(now_s)
        latest_s = self.fed_s + self.gap_s
        after = bisect_right(self.bites_s, now_s)
        next_bite_s = self.bites_s[after] if after < len(self.bites_s) else now_s
        in_time = next_bite_s <= latest_s + BITE_LATE_S or next_sip_s <= latest_s - early_s
        return None if in_time else latest_s - early_s

    def wanted_g(self, now_s: float, next_sip_s: float, early_s: float = EARLY_S) -> float:
        """Return what a sip must bring, 0 where a later one or the next bite comes in time [g]."""
        return 0.0 if self.due_s(now_s, next_sip_s, early_s) is None else self.missing_g

    def is_fed_by_drink(self, now_s: float) -> bool:
        """Return whether no bite comes before the longest gap from now is over."""
        return self.bites_between(now_s, now_s + self.gap_s) == 0

    def bites_between(self, from_s: float, until_s: float) -> int:
        """Return how many bites come after a moment and up to another."""
        bites = len(self.bites_s) - 1
        first = bisect_right(self.bites_s, from_s, 0, bites)
        return bisect_right(self.bites_s, until_s, first, bites) - first

    def add(self, at_s: float, carbohydrate_g: float) -> None:
        """Note a sip."""
        self._pass_bites(at_s)
        self.came_g += carbohydrate_g
        if self.came_g >= FEEDS_G.value:
            self.fed_s, self.came_g = at_s, 0.0

    def _pass_bites(self, now_s: float) -> None:
        passed = bisect_right(self.bites_s, now_s, 0, len(self.bites_s) - 1)
        if passed and self.bites_s[passed - 1] > self.fed_s:
            self.fed_s, self.came_g = self.bites_s[passed - 1], 0.0


def _feedings(gaps_s: FloatArray, longest_s: float) -> int:
    """Return how many feedings keep the gaps between bites from being longer than so much [s]."""
    return int(np.sum(np.ceil(np.maximum(gaps_s - BITE_LATE_S, 0.0) / longest_s).clip(1.0) - 1.0))


def hunger_of(road: Road, bites: Sequence[Bite]) -> Hunger:
    """Return the account at the start of a ride."""
    return Hunger(road.longest_gap_s, [*(bite.clock_s for bite in bites), max(road.last_bite_s, 0.0)])
