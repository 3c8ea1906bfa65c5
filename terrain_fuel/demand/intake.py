"""Carbohydrate to take in: a rate by duration and effort, and a curve that leans to the first half."""

from typing import TYPE_CHECKING

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.limits import LAST_FOOD_S
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, Rider

if TYPE_CHECKING:
    from terrain_fuel.demand.model import Demand

SOURCES = ("J14", "ACSM16", "Bu11")

# Hours of riding and the most that is advised [g/h]: nothing is needed under 45 min, little to 75 min,
# 30 to 60 from one to two and a half hours, up to 90 beyond [J14]_ seen, [ACSM16]_ [Bu11]_ from memory.
DURATION_H = np.array([0.75, 1.25, 1.75, 2.5, 3.5])
ADVISED_G_PER_H = np.array([0.0, 20.0, 40.0, 60.0, OPT_IN_ABOVE_G_PER_H])

BURNED_SHARE_MAX = 0.80
"""Intake stays below what is burned, so an easy ride needs less: [J14]_ asks for less at a low
absolute intensity; the figure is ours (an assumption)."""

FRONT_SHARE = 0.56
"""Share of the intake that the first half of the clock should hold: common practice (no source) is 0.5 to
0.6, and bites lag a little behind a curve."""

FULL_SHARE = 0.96
"""Bites come in lumps: so much of the limit is asked for in any hour (an assumption)."""

FULL_HOURS = 0.9
"""A race that wants this share of the gut's limit has no hour to spare: common practice (no source)."""

TRAINED_G_PER_H = 80.0
"""A gut trained to so much is asked for its whole limit in every hour: common practice (no source)."""


def fills_hours(total_g: float, hours: float, rider: Rider, day: Day) -> bool:
    """Return whether a race wants about all that the rider's gut takes.

    Parameters
    ----------
    total_g : what is to be taken [g]
    hours : in so long [h]
    rider, day : limit; purpose
    """
    return day.purpose == "race" and total_g >= FULL_HOURS * rider.gut_limit_g_per_h * hours


def is_full_race(demand: "Demand", rider: Rider, day: Day) -> bool:
    """Return whether what is to be taken on a ride is that of a race which `fills_hours`."""
    hours = demand.pace.elapsed_s / 3600.0
    return fills_hours(demand.carbohydrate_wanted_g_per_h * hours, hours, rider, day)


def wanted_g_per_h(elapsed_s: float, burned_g: float, rider: Rider) -> float:
    """Return the carbohydrate wanted, averaged over the ride [g/h].

    Parameters
    ----------
    elapsed_s : clock time of the ride [s]
    burned_g : carbohydrate burned in that time [g]
    rider : own target, limit, sugars and opt-in above 90 g/h

    Notes
    -----
    The rider's own target where there is one. Else the least of three: what is advised for the
    duration, 80 % of what is burned, and the rider's own limit. Body mass does not enter [J14]_.
    """
    own = rider.habits.carbohydrate_target_g_per_h
    hours = elapsed_s / 3600.0
    if own is not None or hours <= 0:
        return own or 0.0
    advised = float(np.interp(hours, DURATION_H, ADVISED_G_PER_H))
    if rider.limit_above_90 and hours >= DURATION_H[-1]:
        advised = max(advised, rider.gut_limit_g_per_h)
    return max(0.0, min(advised, BURNED_SHARE_MAX * burned_g / hours, rider.gut_limit_g_per_h))


def intake_curve_g(clock_s: FloatArray, rate_g_per_h: float, rider: Rider) -> FloatArray:
    """Return what should have been taken by each clock time, food and drink together.

    Parameters
    ----------
    clock_s : shape (n,), clock time from 0 to the finish [s]
    rate_g_per_h : from `wanted_g_per_h`
    rider : habits and limit

    Returns
    -------
    ndarray, shape (n,) [g]; level until one step before the first food, which brings that step's worth
    (from the start where the limit leaves no other way), and over the last ten minutes; steeper
    before half-time than after as far as the limit allows. Leaning forward shapes the curve and
    never lowers its end
    """
    finish_s = float(clock_s[-1])
    start_s = max(0.0, 60.0 * (rider.habits.first_food_min - rider.habits.eat_every_min))
    end_s = finish_s - LAST_FOOD_S.value
    half_s = 0.5 * finish_s
    if rate_g_per_h <= 0 or end_s <= start_s:
        return np.zeros_like(clock_s)
    steepest_g_per_s = FULL_SHARE * rider.gut_limit_g_per_h / 3600.0
    total_g = rate_g_per_h * finish_s / 3600.0
    if total_g > steepest_g_per_s * (end_s - start_s):
        start_s = 0.0
        if rider.gut_limit_g_per_h >= TRAINED_G_PER_H:
            steepest_g_per_s = rider.gut_limit_g_per_h / 3600.0
        total_g = min(total_g, steepest_g_per_s * end_s)
    front_g = min(FRONT_SHARE * total_g, steepest_g_per_s * max(0.0, half_s - start_s))
    front_g = max(front_g, total_g - steepest_g_per_s * (end_s - max(half_s, start_s)))
    knots_s = [start_s, max(half_s, start_s), end_s]
    return np.interp(clock_s, knots_s, [0.0, front_g, total_g])
