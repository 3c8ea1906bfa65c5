"""What riders abreast sweat, wish to drink and can eat: the models of `demand` on the legs of the road."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.day import Day
from terrain_fuel.demand.body import body_surface_m2
from terrain_fuel.demand.carbohydrate import carbohydrate_g_per_h, energy_kj_per_min
from terrain_fuel.demand.fluid import MOST_ML_PER_H
from terrain_fuel.demand.heat_balance import (
    EVAPORATION_WH_PER_G,
    HeatBalance,
    balance_heat,
    required_sweat_g_per_h_m2,
)
from terrain_fuel.demand.intake import ADVISED_G_PER_H, BURNED_SHARE_MAX, DURATION_H
from terrain_fuel.demand.sun import CLEAR_SHARE, SKIN_SHARE, clear_sky_w_per_m2
from terrain_fuel.demand.sweat import LEAST_ML_PER_H, WARM_UP_S
from terrain_fuel.demand.sweat import MOST_ML_PER_H as MOST_SWEAT_ML_PER_H
from terrain_fuel.equations.air import temperature_at
from terrain_fuel.event.riders import Riders
from terrain_fuel.event.road import SUN_EVERY_S, Course
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.abreast import RiddenAbreast
from terrain_fuel.rider import Rider

GROSS_EFFICIENCY = Rider().gross_efficiency


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """What r bodies do on s legs.

    ``sweat_ml`` and ``wish_ml`` to drink have shape (s, r); ``eat_g_per_s`` (r,).
    """

    sweat_ml: FloatArray
    wish_ml: FloatArray
    eat_g_per_s: FloatArray


def follow_bodies(
    course: Course,
    weather: Day,
    riders: Riders,
    ridden: RiddenAbreast,
    start_s: FloatArray,
    day_factor: float,
) -> Bodies:
    """Return sweat and wishes along the road.

    Parameters
    ----------
    course, weather : the road and the day's weather, at the height of the start
    riders, ridden : r riders and how they ride, s legs
    start_s : shape (r,), when each starts after midnight [s]
    day_factor : what all sweat that day beside the model

    Notes
    -----
    The heat balance of `demand.sweat` with the mean power and airflow of each leg, followed as slowly; its
    result times the rider's own factor. Riders wish to drink their share of it, at most 900 ml an hour, and
    to eat what they mean to, at most what is advised for so long a ride and 0.8 of what they burn. What
    sun falls on them is told by their clock without halts.
    """
    power_w = ridden.work_j / ridden.duration_s / Rider().bike.drivetrain_efficiency
    rate = _sweat_ml_per_h(course, weather, riders, ridden, power_w, start_s)
    sweat_ml = rate * day_factor * riders.sweat_factor * ridden.duration_s / 3600.0
    most_ml = MOST_ML_PER_H / 3600.0 * ridden.duration_s
    hours = _down_the_road(ridden.duration_s)[-1] / 3600.0
    burned_g_per_h = carbohydrate_g_per_h(power_w, riders.ftp_w, GROSS_EFFICIENCY, riders.body_mass_kg)
    burned_g = _down_the_road(burned_g_per_h * ridden.duration_s / 3600.0)[-1]
    advised = np.interp(hours, DURATION_H, ADVISED_G_PER_H)
    eat = np.minimum(riders.carbohydrate_g_per_h, np.minimum(advised, BURNED_SHARE_MAX * burned_g / hours))
    return Bodies(sweat_ml, np.minimum(riders.drinking_share * sweat_ml, most_ml), eat / 3600.0)


def _sweat_ml_per_h(
    course: Course,
    weather: Day,
    riders: Riders,
    ridden: RiddenAbreast,
    power_w: FloatArray,
    start_s: FloatArray,
) -> FloatArray:
    surface_m2 = np.array(
        [
            body_surface_m2(mass, height)
            for mass, height in zip(riders.body_mass_kg.tolist(), riders.height_m.tolist(), strict=True)
        ]
    )
    start_m = course.terrain.profile.elevation_m[0]
    warmth = temperature_at(course.height_m, weather.temperature_c, start_m)

    def balance(power: ArrayLike, air_m_s: ArrayLike, air_c: ArrayLike, sun: ArrayLike) -> HeatBalance:
        turnover = energy_kj_per_min(power, GROSS_EFFICIENCY, riders.body_mass_kg) * 1000.0 / 60.0
        work = np.asarray(power) / surface_m2
        return balance_heat(turnover / surface_m2, work, air_m_s, air_c, weather.humidity_pct, sun)

    clock_s = start_s + _down_the_road(ridden.duration_s) - 0.5 * ridden.duration_s
    height_deg = np.interp(clock_s, np.arange(course.sun_deg.size) * SUN_EVERY_S, course.sun_deg)
    sun = CLEAR_SHARE * SKIN_SHARE * clear_sky_w_per_m2(height_deg)
    riding = balance(power_w, ridden.air_m / ridden.duration_s, warmth[:, None], sun)
    standing = balance(0.0, weather.wind_m_s, warmth[0], sun[0])
    keeps = np.exp(-ridden.duration_s / WARM_UP_S)
    required, possible, breath = (_follow_slowly(*both, keeps) for both in zip(riding, standing, strict=True))
    lost = required_sweat_g_per_h_m2(required, possible) + breath / EVAPORATION_WH_PER_G
    return np.clip(surface_m2 * lost, LEAST_ML_PER_H, MOST_SWEAT_ML_PER_H)


def _follow_slowly(values: FloatArray, first: FloatArray, keeps: FloatArray) -> FloatArray:
    """Return the mean over each leg of a first-order lag, shape (s, r).

    A lag towards x from y over a time t with constant T: its mean is x + (y - x) (1 - exp(-t/T)) T/t.
    """
    followed = np.empty_like(values)
    now = np.array(np.broadcast_to(first, values.shape[1:]))
    fading = (1.0 - keeps) / -np.log(keeps)
    for leg in range(values.shape[0]):
        gap = now - values[leg]
        followed[leg] = values[leg] + gap * fading[leg]
        now = values[leg] + gap * keeps[leg]
    return followed


def _down_the_road(by_leg: FloatArray) -> FloatArray:
    """Return sums since the start at the legs' ends, shape (s, r)."""
    return np.cumsum(by_leg, axis=0)
