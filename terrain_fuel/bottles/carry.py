"""The road on which one filling of the bottles is carried, and what it asks of them."""

from dataclasses import dataclass

from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.refills import Capacity


@dataclass(frozen=True, slots=True)
class Carry:
    """The road from one tap to the next, a pour-over perhaps between: one filling of all bottles.

    ``wanted_ml`` is what the body should drink on it, ``extra_ml`` what is carried beyond that as
    far as there is room: up to the next water, should ``next_tap`` be shut, or for the reserve.
    ``tap`` is None at the start, ``next_tap`` before the finish.
    """

    start_m: float
    end_m: float
    wanted_ml: float
    extra_ml: float
    tap: Refill | None
    next_tap: Refill | None
    pour_over: Refill | None

    def spare_ml(self, capacity: Capacity) -> float:
        """Return what is carried out of reach [ml]: to be poured over, or for a tap found shut."""
        doubtful = self.next_tap is not None and not self.next_tap.sure
        if self.pour_over is None and not doubtful:
            return 0.0
        return max(0.0, min(self.wanted_ml + self.extra_ml - capacity.riding_ml, capacity.spare_ml))
