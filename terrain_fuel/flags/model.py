"""A caution note along the road, and the safety flag that one may be."""

from dataclasses import dataclass

from terrain_fuel.facts import Fact


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution note; ``hands_on`` makes it a safety flag: no hand leaves the bars from start to end.

    ``kind`` is a stable word: technical_descent, no_stop, tunnel, exposed, cold_summit, heat,
    unknown_bends, waypoint, dark, rough_road, tram_rails, level_crossing, ... ``note`` is how the rider
    is told.
    """

    kind: str
    start_m: float
    end_m: float
    hands_on: bool
    note: Fact
