"""Two weighings turned into a sweat rate, with its error."""

import math

from terrain_fuel.demand.weighing import KITCHEN_SCALE_KG, sweat_rate_from_weighing
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.review.after import After
from terrain_fuel.review.intake import Intake
from terrain_fuel.review.model import Weighed

DRUNK_SHARE = 0.10
"""How well anyone knows what was drunk, a standard deviation: common practice (no source)."""

SCALE_SD_KG = KITCHEN_SCALE_KG / math.sqrt(3.0)
"""Standard deviation of a reading that is off by a scale's step at most, and by any part of it alike."""


def weigh(
    after: After | None, intake: Intake, elapsed_s: float, modelled_ml_per_h: float
) -> tuple[Weighed | None, tuple[Fact, ...]]:
    """Return the sweat rate of a ride, and what is doubtful about the weighing."""
    if after is None or after.before_kg is None or after.after_kg is None:
        return None, ()
    try:
        found = sweat_rate_from_weighing(
            after.before_kg, after.after_kg, intake.fluid_ml, after.passed_ml, elapsed_s
        )
    except SettingsError:
        return None, (fact("weighing_cannot_be"),)
    scales_ml = 1000.0 * SCALE_SD_KG * math.sqrt(2.0)
    sd = math.hypot(scales_ml, DRUNK_SHARE * intake.fluid_ml) * 3600.0 / elapsed_s
    notes = () if intake.is_known else (fact("drunk_as_planned"),)
    return Weighed(found.rate_ml_per_h, sd, modelled_ml_per_h, found.sentence), notes
