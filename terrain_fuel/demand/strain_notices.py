"""What day, road and age make harder for a body than its power tells: wet cold, wind, thin air, years."""

import math

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.heat import coldest_air_c
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, fact
from terrain_fuel.limits import GUST_M_S, WIND_M_S
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Profile

SOAKED_C = 10.0
"""On a wet road colder than this somewhere clothes are told of: common practice (no source)."""

STRONG_WIND_M_S = 10.8
"""6 Bft, strong breeze [WMO8]_; its gusts may be those of a storm where no forecast tells them."""

THIN_AIR_M = 2500.0
"""From so high on people who live low fall ill [BS13]_."""

OLDER_Y = 65.0
"""From this age on thirst is felt later and water leaves more slowly [ACSM07]_ (from memory)."""


def strain_notices(demand: Demand, rider: Rider, day: Day) -> tuple[Fact, ...]:
    """Return what is to be minded of wet cold, strong wind, heights and age, in a fixed order."""
    profile = demand.pace.terrain.profile
    return (*_soaked(profile, day), *_blown(day), *_high_up(profile), *_older(rider))


def _soaked(profile: Profile, day: Day) -> tuple[Fact, ...]:
    coldest_c = coldest_air_c(profile, day)
    if not day.surface_wet or coldest_c > SOAKED_C:
        return ()
    return (fact("soaked", coldest_c=coldest_c),)


def _blown(day: Day) -> tuple[Fact, ...]:
    if day.gusts_m_s is not None or not STRONG_WIND_M_S <= day.wind_m_s < WIND_M_S.value:
        return ()
    return (fact("strong_wind", wind_km_h=3.6 * day.wind_m_s, gusts_km_h=3.6 * GUST_M_S.value),)


def _high_up(profile: Profile) -> tuple[Fact, ...]:
    top = int(np.argmax(profile.elevation_m))
    height_m = float(profile.elevation_m[top])
    if height_m <= THIN_AIR_M:
        return ()
    return (fact("thin_air", at_m=float(profile.distance_m[top]), height_m=height_m, from_m=THIN_AIR_M),)


def _older(rider: Rider) -> tuple[Fact, ...]:
    if rider.age_y is None or rider.age_y < OLDER_Y:
        return ()
    return (fact("older", age_y=math.floor(rider.age_y)),)
