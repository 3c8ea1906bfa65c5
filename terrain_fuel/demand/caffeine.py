"""Caffeine: off until the rider allows it, capped by safety opinions, late or before the deciding climb."""

from dataclasses import dataclass

from terrain_fuel.limits import CAFFEINE_HOUR_MG, CAFFEINE_HOUR_MG_PER_KG
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

SOURCES = ("EF15", "IOM")

LAST_SHARE = 2.0 / 3.0
"""Caffeine waits for the last third: taken late it works as well as early [Cox02]_."""

BEFORE_CLIMB_S = 45.0 * 60.0
"""Or it is taken at most so long before the climb that decides: 99 % is absorbed in 45 min [IOM]_."""

DECIDES_FROM_GAIN_M = 60.0
"""A climb that gains less decides nothing: common practice (no source)."""

HALF_LIFE_H, SLOW_HALF_LIFE_H = 5.0, 9.5  # about 5 h, 1.5 to 9.5 h [IOM]_
DISTURBS_SLEEP_MG = 100.0  # near bedtime [EF15]_


@dataclass(frozen=True, slots=True)
class CaffeineCaps:
    """The most caffeine in a ride and in one dose [mg]; zero when off."""

    ride_mg: float
    single_mg: float


def caffeine_caps(rider: Rider) -> CaffeineCaps:
    """Return the rider's caps: the least of the rider's own word and [EF15]_.

    Notes
    -----
    One dose: 200 mg and 3 mg a kilogram, whichever is less. A day: 400 mg, the most that may be allowed, of
    which the ride takes one dose at most: the rest is left for coffee, and no hour can hold more than a dose.
    Under 18 years none may be: data on young people are called insufficient.
    """
    dose_mg = min(CAFFEINE_HOUR_MG.value, CAFFEINE_HOUR_MG_PER_KG.value * rider.body_mass_kg)
    ride_mg = min(rider.caffeine_mg_max, dose_mg)
    return CaffeineCaps(ride_mg, ride_mg)


def caffeine_spans_s(pace: Pace) -> tuple[tuple[float, float], ...]:
    """Return the clock in which caffeine may be taken [s], in order, apart from each other.

    Notes
    -----
    The last third of the clock, and the 45 min before the climb that decides: the one of most gain
    that begins after half-way.
    """
    last = (LAST_SHARE * pace.elapsed_s, pace.elapsed_s)
    foot_s = _deciding_foot_s(pace)
    if foot_s is None:
        return (last,)
    before = (foot_s - BEFORE_CLIMB_S, foot_s)
    if foot_s >= last[0]:
        return ((min(before[0], last[0]), last[1]),)
    return (before, last)


def _deciding_foot_s(pace: Pace) -> float | None:
    """Return when the climb that decides begins [s], None if no climb does."""
    late = [
        part
        for part in pace.terrain.stretches
        if part.kind == "climb"
        and part.gain_m >= DECIDES_FROM_GAIN_M
        and pace.clock_at(part.start_m) >= 0.5 * pace.elapsed_s
    ]
    decides = max(late, key=lambda part: part.gain_m, default=None)
    return None if decides is None else pace.clock_at(decides.start_m)


def caffeine_left_mg(dose_mg: float, hours: float, half_life_h: float = HALF_LIFE_H) -> float:
    """Return what is left of a dose after some hours [mg], ``dose 2^(-t/half-life)`` [IOM]_."""
    return float(dose_mg * 0.5 ** (hours / half_life_h))
