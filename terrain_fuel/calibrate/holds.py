"""What riders hold for how long: the bound above which a calibration is refused or asks."""

FADING = 0.07
"""Power over a long time falls as time to the minus this: a power law [Dr23]_, which calls 0.95 from
20 min to an hour (0.047) too optimistic; the value is common practice (no source)."""

MOST_W_PER_KG = 6.4
"""The highest hour's power in the table of [AC]_ [W/kg]."""

UNUSUAL_W_PER_KG = 4.0
"""An hour's power that good amateur racers have and few others [W/kg]; [AC]_, from memory."""


def held_w(w_per_kg: float, body_mass_kg: float, hours: float) -> float:
    """Return the mean power that goes with an hour's power over another time [W]."""
    return float(w_per_kg * body_mass_kg * hours**-FADING)
