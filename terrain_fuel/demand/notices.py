"""What the rider is warned of once the need is known: one function a matter."""

import math

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.heat import (
    beyond_scale,
    heat_band,
    heat_index_f,
    hottest_air,
    wet_bulb_band,
    wet_bulb_globe_c,
)
from terrain_fuel.demand.model import Demand
from terrain_fuel.demand.strain_notices import strain_notices
from terrain_fuel.demand.sugars import split_mix
from terrain_fuel.demand.sweat import MODELLED_SPREAD, MOST_ML_PER_H
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import YOUNG_RIDE_H, YOUTH_RIDE_H
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, SINGLE_SUGAR_MAX_G_PER_H, YOUTH_AGE_Y, Rider
from terrain_fuel.terrain.model import Profile

FREEZING_C = 0.0
STIFF_CHEWS_C = 5.0

LONG_YOUNG_H, LONG_YOUTH_H = 3.0, 5.0
"""Hours in the saddle that are long under 16, and from 16 to 17: common practice (no source)."""

NEEDS_FOOD_H = 1.5
"""A longer ride without any carbohydrate is told of, whoever wants none: common practice (no source)."""

THIRST_FROM_H, LITTLE_SWEAT_ML_PER_H = 4.0, 400.0
"""Beyond so many hours too much may be drunk [HB15]_, above all where little is sweated (the rate: common
practice, no source)."""

AT_MOST_H = 0.25
"""For so long the estimate of the sweat may stand at its end unsaid: common practice (no source)."""

HEAT_CODES = {
    "caution": "heat_caution",
    "extreme_caution": "heat_extreme_caution",
    "danger": "heat_danger",
    "extreme_danger": "heat_extreme_danger",
}
WET_BULB_CODES = {
    "discretion": "wet_bulb_discretion",
    "limit": "wet_bulb_limit",
    "cancel": "wet_bulb_cancel",
}


def demand_notices(demand: Demand, rider: Rider, day: Day) -> tuple[Fact, ...]:
    """Return every warning about the need itself, in a fixed order."""
    return (
        *carbohydrate_notices(demand, rider),
        *fluid_notices(demand, rider),
        *weather_notices(demand.pace.terrain.profile, rider, day),
        *strain_notices(demand, rider, day),
        *young_notices(demand, rider),
    )


def young_notices(demand: Demand, rider: Rider) -> tuple[Fact, ...]:
    """Return words for the parent or coach of a rider under 18."""
    if rider.age_y is None or not rider.is_minor:
        return ()
    hours = demand.pace.moving_time_s / 3600.0
    younger = rider.age_y < YOUTH_AGE_Y
    long_h, most_h = (LONG_YOUNG_H, YOUNG_RIDE_H) if younger else (LONG_YOUTH_H, YOUTH_RIDE_H)
    told = long_h < hours <= most_h.value  # a longer one is not to be ridden, which says enough
    long = (fact("long_for_the_young", hours=hours, age_y=math.floor(rider.age_y)),) if told else ()
    return (*long, fact("for_parent", limit_g_per_h=rider.gut_limit_g_per_h))


def carbohydrate_notices(demand: Demand, rider: Rider) -> tuple[Fact, ...]:
    """Return warnings about how much carbohydrate is asked for."""
    total_g = float(demand.carbohydrate_target_g[-1])
    rate = total_g * 3600.0 / demand.pace.elapsed_s
    if total_g <= 0:
        hours = demand.pace.elapsed_s / 3600.0
        unwanted = rider.habits.carbohydrate_target_g_per_h == 0.0 and hours > NEEDS_FOOD_H
        return (fact("nothing_wanted", hours=hours) if unwanted else fact("short_ride"),)
    if rate > OPT_IN_ABOVE_G_PER_H:
        return (fact("above_90", rate_g_per_h=rate),)
    if rate > SINGLE_SUGAR_MAX_G_PER_H:
        glucose_g, fructose_g = split_mix(rate)
        return (fact("mixed_sugars", rate_g_per_h=rate, glucose_g=glucose_g, fructose_g=fructose_g),)
    return ()


def fluid_notices(demand: Demand, rider: Rider) -> tuple[Fact, ...]:
    """Return how sure the sweat is where nobody weighed it, and where thirst alone should decide."""
    notices = []
    hours = demand.pace.elapsed_s / 3600.0
    rate = float(demand.sweat_ml[-1]) / hours
    if hours > THIRST_FROM_H and rate < LITTLE_SWEAT_ML_PER_H:
        notices.append(fact("thirst_decides", hours=THIRST_FROM_H))
    if rider.sweat_rate_ml_per_h is None:
        low, high = rate * (1.0 - MODELLED_SPREAD), rate * (1.0 + MODELLED_SPREAD)
        notices.append(fact("sweat_estimated", low_ml_per_h=low, high_ml_per_h=high))
        most_h = _hours_at_most(demand)
        if most_h > AT_MOST_H:
            notices.append(fact("sweat_at_most", hours=most_h, most_ml_per_h=MOST_ML_PER_H))
    return tuple(notices)


def _hours_at_most(demand: Demand) -> float:
    """Return for how long the sweat stands at the most that its estimate is trusted with [h]."""
    spans_h = np.diff(demand.pace.clock_s) / 3600.0
    at_most = np.diff(demand.sweat_ml) >= (MOST_ML_PER_H - 1.0) * spans_h
    return float(spans_h[at_most].sum())


def weather_notices(profile: Profile, rider: Rider, day: Day) -> tuple[Fact, ...]:
    """Return warnings about heat where the road is lowest, by two published scales, and about cold."""
    notices = []
    hottest = hottest_air(profile, day)
    temperature_f = 1.8 * hottest.temperature_c + 32.0
    index_f = heat_index_f(temperature_f, hottest.humidity_pct)
    band = heat_band(index_f)
    if beyond_scale(temperature_f, index_f):
        notices.append(fact("heat_beyond_scale", temperature_c=hottest.temperature_c))
    elif band != "none":
        notices.append(fact(HEAT_CODES[band], feels_c=(index_f - 32.0) / 1.8))
    advised = wet_bulb_band(
        wet_bulb_globe_c(hottest.temperature_c, hottest.humidity_pct),
        acclimatised=rider.heat_acclimatised,
        minor=rider.is_minor,
    )
    if advised != "normal":
        notices.append(fact(WET_BULB_CODES[advised]))
    if notices and hottest.is_elsewhere:
        there = {"at_m": hottest.at_m, "temperature_c": hottest.temperature_c}
        notices.append(fact("heat_lower_down", **there, warmer_c=hottest.warmer_c))
    if day.temperature_c <= FREEZING_C:
        notices.append(fact("freezing"))
    elif day.temperature_c <= STIFF_CHEWS_C:
        notices.append(fact("cold"))
    return tuple(notices)
