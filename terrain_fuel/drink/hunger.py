"""Drink as food: what a sip must bring so that no gap between food grows too long."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from terrain_fuel.food.model import Bite
from terrain_fuel.limits import FEEDS_G
from terrain_fuel.rules.road import Road

EARLY_S, BITE_LATE_S = 30.0, 30.0
"""Sips end a gap a little before it is too long; for a bite that comes so little late none is taken."""
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

    @property
    def missing_g(self) -> float:
        """What drink must still bring to count as food [g]."""
        return max(0.0, FEEDS_G.value + SAFE_G - self.came_g)

    def due_s(self, now_s: float, next_sip_s: float) -> float | None:
        """Return by when drink must end the gap, None where the next sip or bite comes in time [s]."""
        self._pass_bites(now_s)
        latest_s = self.fed_s + self.longest_gap_s
        next_bite_s = next((bite_s for bite_s in self.bites_s if bite_s > now_s), now_s)
        in_time = next_bite_s <= latest_s + BITE_LATE_S or next_sip_s <= latest_s - EARLY_S
        return None if in_time else latest_s - EARLY_S

    def wanted_g(self, now_s: float, next_sip_s: float) -> float:
        """Return what a sip must bring, 0 where a later one or the next bite comes in time [g]."""
        return 0.0 if self.due_s(now_s, next_sip_s) is None else self.missing_g

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
