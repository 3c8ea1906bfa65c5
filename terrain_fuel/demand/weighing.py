"""A sweat rate from two weighings, before and after a ride."""

import math
from dataclasses import dataclass

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import LOSS_SHARE

SHORTEST_S = 1800.0
LEAST_ML_PER_H, MOST_ML_PER_H = 100.0, 3000.0  # what the rider's settings take
KITCHEN_SCALE_KG = 0.1  # what a bathroom scale shows: common practice (no source)


@dataclass(frozen=True, slots=True)
class SweatRate:
    """What two weighings say; ``mass_change_share`` is negative after a loss."""

    rate_ml_per_h: float
    sweat_ml: float
    mass_change_share: float
    gained: bool
    sentence: Fact


def sweat_rate_from_weighing(
    before_kg: float, after_kg: float, drunk_ml: float, urine_ml: float, duration_s: float
) -> SweatRate:
    """Return the sweat rate of a ride from body mass before and after it.

    Parameters
    ----------
    before_kg, after_kg : body mass, undressed and towelled dry [kg], 20 to 300
    drunk_ml : drunk between the weighings [ml], 0 to 20 000
    urine_ml : passed between the weighings [ml], 0 to 5000
    duration_s : riding time [s], half an hour to 24 hours

    Returns
    -------
    SweatRate, with what to tell the rider

    Raises
    ------
    SettingsError
        If a value cannot be, or the two masses cannot belong to one ride.

    Notes
    -----
    ``sweat = before - after + drunk - urine``, one gram a millilitre [ACSM07]_. Breath is counted as
    sweat, and the mass of food as nothing: it is small, and some of it leaves as breath.
    """
    _check("body mass before", before_kg, 20.0, 300.0, "kg")
    _check("body mass after", after_kg, 20.0, 300.0, "kg")
    _check("what was drunk", drunk_ml, 0.0, 20_000.0, "ml")
    _check("what was passed", urine_ml, 0.0, 5000.0, "ml")
    _check("the time between the weighings", duration_s / 60.0, SHORTEST_S / 60.0, 1440.0, "min")
    change_kg = after_kg - before_kg
    sweat_ml = -1000.0 * change_kg + drunk_ml - urine_ml
    rate = sweat_ml / duration_s * 3600.0
    if not LEAST_ML_PER_H <= rate <= MOST_ML_PER_H:
        raise SettingsError(
            f"sweat: the weighings give {rate:.0f} ml of sweat an hour; {LEAST_ML_PER_H:g} to"
            f" {MOST_ML_PER_H:g} is likely; check both masses, what was drunk and that the clothes were off"
            " both times"
        )
    share = change_kg / before_kg
    return SweatRate(rate, sweat_ml, share, change_kg > 0, _sentence(rate, change_kg, share, duration_s))


def _check(name: str, value: float, low: float, high: float, unit: str) -> None:
    if not math.isfinite(value) or not low <= value <= high:
        raise SettingsError(
            f"sweat: {name} is {value:g} {unit}; allowed is {low:g} to {high:g} {unit}; correct it"
        )


def _sentence(rate: float, change_kg: float, share: float, duration_s: float) -> Fact:
    error_ml_per_h = 1000.0 * KITCHEN_SCALE_KG * math.sqrt(2.0) / duration_s * 3600.0
    if change_kg > 0:
        return fact("sweat_gained", rate_ml_per_h=rate, error_ml_per_h=error_ml_per_h, gained_kg=change_kg)
    return fact(
        "sweat_much_lost" if -share > LOSS_SHARE.value else "sweat_little_lost",
        rate_ml_per_h=rate,
        error_ml_per_h=error_ml_per_h,
        lost_share=-share,
    )
