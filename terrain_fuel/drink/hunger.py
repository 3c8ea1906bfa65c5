"""Drink as food: what a sip must bring so that no gap between food grows too long."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from terrain_fuel.food.model import Bite
from terrain_fuel.limits import FEEDS_G
from terrain_fuel.rules.road import Road

EARLY_S = 30.0
SAFE_G = 0.1
"""So much more than the rule asks for: written figures are rounded."""


@dataclass(slots=True)
class Hunger:
    """The account of when food last came, asked before every draught; sips are told in time order.

    ``bites_s`` are the clock times of the bites and of the moment after which nothing is eaten.
    """

    longest_gap_s: float
    bites_s: list[float]
    fed_s: float = 0.0
    came_g: float = field(default=0.0)

    def wanted_g(self, now_s: float, next_sip_s: float) -> float:
        """Return what a sip must bring, 0 where a later one or the next bite comes in time [g]."""
        self._pass_bites(now_s)
        deadline_s = self.fed_s + self.longest_gap_s - EARLY_S
        next_bite_s = next((bite_s for bite_s in self.bites_s if bite_s > now_s), now_s)
        if min(next_bite_s, next_sip_s) <= deadline_s:
            return 0.0
        return max(0.0, FEEDS_G.value + SAFE_G - self.came_g)

    def add(self, at_s: float, carbohydrate_g: float) -> None:
        """Note a sip."""
        self._pass_bites(at_s)
        self.came_g += carbohydrate_g
        if self.came_g >= FEEDS_G.value:
            self.fed_s, self.came_g = at_s, 0.0

    def _pass_bites(self, now_s: float) -> None:
        for bite_s in self.bites_s[:-1]:
            if self.fed_s < bite_s <= now_s:
                self.fed_s, self.came_g = bite_s, 0.0


def hunger_of(road: Road, bites: Sequence[Bite]) -> Hunger:
    """Return the account at the start of a ride."""
    return Hunger(road.longest_gap_s, [*(bite.clock_s for bite in bites), max(road.last_bite_s, 0.0)])
