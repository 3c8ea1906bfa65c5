"""The hard rules once: what no plan may break, whatever the rider's wishes, each with its number and source.

Planner and simulation read them here; the checker keeps a copy of its own, so that an error in one of
the two is found. What the rider's own settings say (gut limit, caffeine cap, longest gap) stands there.
"""

from dataclasses import dataclass

PRACTICE = "common practice (no source)"


@dataclass(frozen=True, slots=True)
class Limit:
    """One hard limit: ``rule`` is its number among the hard rules, ``source`` a key or common practice."""

    rule: int
    name: str
    value: float
    unit: str
    source: str


HANDS_BACK_M = Limit(2, "hands on the bars", 200.0, "m before a safety flag", PRACTICE)
HANDS_BACK_S = Limit(2, "hands on the bars", 20.0, "s before a safety flag", PRACTICE)
LAST_FOOD_S = Limit(2, "last food", 600.0, "s before the finish", PRACTICE)
DRINK_WITHIN_S = Limit(3, "drink with food", 120.0, "s after a bite", PRACTICE)
HOUR_ML = Limit(4, "too much fluid", 1000.0, "ml in any hour", "textbook, from memory")
OVER_SWEAT_ML = Limit(4, "too much fluid", 500.0, "ml beyond the sweat lost", "HB15")
LOSS_SHARE = Limit(5, "water gap", 0.02, "of body mass lost", "ACSM07")
OVERFULL = Limit(5, "full pockets", 0.0, "items beyond what fits", PRACTICE)
OVER_GAP_MIN = Limit(6, "longest_gap", 0.0, "min beyond the rider's longest gap", PRACTICE)

LIMITS = (
    HANDS_BACK_M, HANDS_BACK_S, LAST_FOOD_S, DRINK_WITHIN_S, HOUR_ML, OVER_SWEAT_ML, LOSS_SHARE, OVERFULL,
    OVER_GAP_MIN,
)  # fmt: skip
