"""Caffeine: off until the rider allows it, capped by safety opinions, none before half-time."""

from dataclasses import dataclass

from terrain_fuel.rider import Rider

SOURCES = ("EF15", "IOM")

SINGLE_MG, SINGLE_MG_PER_KG, DAY_MG, UNDER_18_MG_PER_KG_DAY = 200.0, 3.0, 400.0, 3.0  # [EF15]_
HALF_LIFE_H, SLOW_HALF_LIFE_H = 5.0, 9.5  # about 5 h, 1.5 to 9.5 h [IOM]_
DISTURBS_SLEEP_MG = 100.0  # near bedtime [EF15]_
ADULT_AGE_Y = 18.0


@dataclass(frozen=True, slots=True)
class CaffeineCaps:
    """The most caffeine in a day and in one dose [mg]; zero when off."""

    day_mg: float
    single_mg: float


def caffeine_caps(rider: Rider) -> CaffeineCaps:
    """Return the rider's caps: the least of the rider's own word and [EF15]_.

    Notes
    -----
    One dose: 200 mg and 3 mg a kilogram; a day: 400 mg. Under 18 years 3 mg a kilogram a day is
    proposed, from the single dose of adults: data on young people are called insufficient.
    """
    safe_mg = DAY_MG
    if rider.age_y is not None and rider.age_y < ADULT_AGE_Y:
        safe_mg = min(safe_mg, UNDER_18_MG_PER_KG_DAY * rider.body_mass_kg)
    day_mg = min(rider.caffeine_mg_max, safe_mg)
    return CaffeineCaps(day_mg, min(day_mg, SINGLE_MG, SINGLE_MG_PER_KG * rider.body_mass_kg))


def caffeine_left_mg(dose_mg: float, hours: float, half_life_h: float = HALF_LIFE_H) -> float:
    """Return what is left of a dose after some hours [mg], ``dose 2^(-t/half-life)`` [IOM]_."""
    return float(dose_mg * 0.5 ** (hours / half_life_h))
